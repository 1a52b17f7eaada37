//! What a contact goes through with its load: rules, waveforms before and after, what each protection does.

use crate::answer::{
    Band, FigureAnswer, LoadAnswer, LoadRule, Moving, PartAnswer, ProtectionAnswer, Switching,
    Tried, TriedResult, Verdict,
};
use crate::applied::load::{LoadAt, hardest};
use crate::error::EngineError;
use crate::units::tidy;
use reedmace_applied::load_circuit::{LoadCircuit, Protection};
use reedmace_applied::network::{Contact as Moves, NetworkError};
use reedmace_applied::protect::{Chosen, Kind, Part, Stated, choose};
use reedmace_applied::spice;
use reedmace_applied::transient::{Sample, Transient};
use reedmace_design::{Contact, Design, LoadFigure, LoadKind, Switched, Value};
use reedmace_units::{Quantity, format_number};

/// Stretches of time of each of which the least and the greatest sample are told.
const STRETCHES: usize = 240;

/// What is told of every load. `figures`: those of the answer, whose bands the rules are judged by.
///
/// # Errors
/// [`EngineError::Load`] if the circuit cannot be followed even without protection.
pub(crate) fn answers(
    design: &Design,
    figures: &[FigureAnswer],
) -> Result<Vec<LoadAnswer>, EngineError> {
    let hardest = LoadAt::of(design, &hardest);
    let of = |(load, at): (&Switched, &LoadAt)| answer(design, load, at, figures);
    design.loads.iter().zip(&hardest).map(of).collect()
}

fn answer(
    design: &Design,
    load: &Switched,
    at: &LoadAt,
    figures: &[FigureAnswer],
) -> Result<LoadAnswer, EngineError> {
    let contact = &design.contacts[load.contact];
    let unlike =
        |why: NetworkError| EngineError::Load { load: load.name.clone(), why: why.to_string() };
    let bare = switching(at, Protection::None).map_err(unlike)?;
    let asked = load.protect.as_ref().map(|protect| choose(protect.kind, &at.case(), at.stated));
    let (protection, refused) = match (asked, &load.protect) {
        (Some(Ok(chosen)), Some(protect)) => match switching(at, chosen.protection) {
            Ok(with) => (
                Some(ProtectionAnswer {
                    kind: protect.kind.word().into(),
                    rule: chosen.rule.into(),
                    parts: chosen.parts.iter().map(part).collect(),
                    with,
                }),
                None,
            ),
            Err(why) => (None, Some(why.to_string())),
        },
        (Some(Err(why)), _) => (None, Some(why.to_owned())),
        _ => (None, None),
    };
    let tried: Vec<Tried> = Kind::WORDS.into_iter().map(|(_, kind)| tried(at, kind)).collect();
    let mut findings =
        findings(contact, load, &bare, protection.as_ref(), refused.as_deref(), &tried);
    findings.splice(1..1, breaks_down(contact, &bare.opens, figures));
    Ok(LoadAnswer {
        name: load.name.clone(),
        contact: contact.name.clone(),
        about: about(load),
        rules: rules(load, contact, figures),
        bare,
        protection,
        refused,
        tried,
        findings,
    })
}

fn about(load: &Switched) -> String {
    let kind = match load.kind {
        LoadKind::Resistive => "resistive load",
        LoadKind::Lamp => "lamp",
        LoadKind::Motor(_) => "motor",
        LoadKind::Inductive(_) => "inductive load",
        LoadKind::Capacitive { .. } => "capacitive load",
        LoadKind::Cable { .. } => "load behind a cable",
    };
    match &load.frequency {
        Some(frequency) => format!("{kind} on {}, {}", load.supply.is, frequency.is),
        None => format!("{kind} on {} d.c.", load.supply.is),
    }
}

/// A rule: the share that tells it, its left side, and how both are called.
fn rules(load: &Switched, contact: &Contact, figures: &[FigureAnswer]) -> Vec<LoadRule> {
    use LoadFigure::*;
    let rated = &contact.ratings;
    let text = |value: Option<String>| value.unwrap_or_default();
    fn of<Q: Quantity>(value: &Option<Value<Q>>) -> Option<String> {
        value.as_ref().map(|value| value.is.to_string())
    }
    let metal = contact.construction.metal.as_ref();
    let arc = contact.construction.arc_limits().map(|arc| {
        format!(
            "{} V and {} A of an arc",
            format_number(arc.volts, 3),
            format_number(arc.amperes, 3)
        )
    });
    let melts = metal.map(|metal| format!("{} melts", metal.melting_voltage));
    let rating = "the contact's rating";
    let of_metal = metal.map_or("", |metal| metal.origin.source.as_str());
    let all = [
        (OfVoltage, Voltage, "voltage ≤ switching voltage", of(&rated.switching_voltage), rating),
        (
            OfCurrent,
            Make,
            "current at make and break ≤ switching current",
            of(&rated.switching_current),
            rating,
        ),
        (
            OfPower,
            Power,
            "voltage × current at break ≤ switching power",
            of(&rated.switching_power),
            rating,
        ),
        (OfCarry, Carried, "carried current ≤ carry current", of(&rated.carry_current), rating),
        (OfArc, Break, "current at break ≤ I_arc V/(V − V_arc)", arc, of_metal),
        (OfMelting, Make, "current at make × resistance ≤ melting voltage", melts, of_metal),
        (OfLeastVoltage, Voltage, "voltage ≥ least voltage", of(&rated.least_voltage), rating),
        (
            OfLeastCurrent,
            Break,
            "current at break ≥ least current",
            of(&rated.least_current),
            rating,
        ),
    ];
    let band = |figure: LoadFigure| -> Option<Band> {
        let name = load.figure_name(figure);
        figures.iter().find(|one| one.name == name).map(|one| one.value.clone())
    };
    let told = all.into_iter().filter_map(|(share, value, rule, limit, source)| {
        let share_band = band(share)?;
        let at_least = matches!(share, OfLeastVoltage | OfLeastCurrent);
        let (worst, nominal) = match at_least {
            true => (share_band.low >= 100.0, share_band.value? >= 100.0),
            false => (share_band.high <= 100.0, share_band.value? <= 100.0),
        };
        Some(LoadRule {
            rule: rule.into(),
            value: band(value)?,
            limit: text(limit),
            share: share_band,
            verdict: match (worst, nominal) {
                (true, _) => Verdict::Met,
                (false, true) => Verdict::AtRisk,
                (false, false) => Verdict::Missed,
            },
            source: source.into(),
        })
    });
    told.collect()
}

fn switching(at: &LoadAt, protection: Protection) -> Result<Switching, NetworkError> {
    let with = |closing: bool| LoadCircuit { protection, ..at.circuit(closing) };
    let (opening, closing) = (with(false), with(true));
    Ok(Switching {
        opens: moving(&opening, Moves::Open, opening.opens(at.arc)?)?,
        closes: moving(&closing, Moves::Closed, closing.closes()?)?,
    })
}

/// A movement as it is told, with what there was before as its first sample.
fn moving(circuit: &LoadCircuit, to: Moves, run: Transient) -> Result<Moving, NetworkError> {
    let network = circuit.network();
    let (before, from) = match to {
        Moves::Open => (Moves::Closed, 0.0),
        Moves::Closed => (Moves::Open, network.own_discharge()),
    };
    let voltage = network.before(before, 0.0)?[network.contact - 1];
    let current = if to == Moves::Open { voltage / circuit.contact_ohms } else { 0.0 };
    let mut shown = vec![Sample { time: 0.0, voltage, current }];
    shown.extend(thinned(&run.samples, from));
    let of = |number: fn(&Sample) -> f64| shown.iter().map(|s| short(number(s))).collect();
    Ok(Moving {
        peak_voltage: tidy(run.peak_voltage()),
        peak_current: tidy(run.peak_current(from).max(current.abs())),
        arc: tidy(run.arc_time * 1e3),
        energy: tidy(run.energy * 1e3),
        time: of(|s| s.time * 1e3),
        voltage: of(|s| s.voltage),
        current: of(|s| s.current),
    })
}

/// Five digits are enough to draw.
fn short(number: f64) -> f64 {
    format!("{number:.4e}").parse().unwrap_or(number)
}

/// The last sample, and of each stretch of time those of least and greatest voltage and current.
fn thinned(samples: &[Sample], from: f64) -> Vec<Sample> {
    let Some(last) = samples.last() else { return Vec::new() };
    let behind: Vec<Sample> = samples.iter().copied().filter(|s| s.time >= from).collect();
    let which = |s: &Sample| ((s.time / last.time) * STRETCHES as f64) as usize;
    let mut shown = Vec::new();
    for stretch in behind.chunk_by(|a, b| which(a) == which(b)) {
        let by = |of: fn(&Sample) -> f64| {
            let order = |a: &&Sample, b: &&Sample| of(a).total_cmp(&of(b));
            [stretch.iter().min_by(order), stretch.iter().max_by(order)]
        };
        let mut kept: Vec<Sample> = [by(|s| s.voltage), by(|s| s.current)]
            .concat()
            .into_iter()
            .flatten()
            .copied()
            .collect();
        kept.sort_by(|a, b| a.time.total_cmp(&b.time));
        kept.dedup();
        shown.extend(kept);
    }
    shown.push(*last);
    shown.dedup();
    shown
}

fn part(part: &Part) -> PartAnswer {
    PartAnswer {
        name: part.name.into(),
        value: part.value.map_or(String::new(), |(value, unit)| told(value, unit)),
        ratings: part
            .ratings
            .iter()
            .map(|(words, value, unit)| format!("{words} {}", told(*value, unit)))
            .collect(),
    }
}

/// A value with the prefix that leaves one to three digits before the point.
fn told(value: f64, unit: &str) -> String {
    const PREFIXES: [(&str, f64); 7] =
        [("M", 1e6), ("k", 1e3), ("", 1.0), ("m", 1e-3), ("µ", 1e-6), ("n", 1e-9), ("p", 1e-12)];
    let fits = PREFIXES.into_iter().find(|(_, factor)| value >= 0.9999 * factor);
    let (prefix, factor) = fits.unwrap_or(("", 1.0));
    format!("{} {prefix}{unit}", format_number(value / factor, 3))
}

fn tried(at: &LoadAt, kind: Kind) -> Tried {
    let case = at.case();
    let of = |chosen: &Chosen| {
        let values = chosen.parts.iter().map(part).map(|part| match part.value.as_str() {
            "" => part.name,
            value => value.to_owned(),
        });
        values.collect::<Vec<_>>().join(", ")
    };
    let kind_word = kind.word().to_owned();
    let chosen = match choose(kind, &case, Stated::default()) {
        Ok(chosen) => chosen,
        Err(why) => return Tried { kind: kind_word, parts: why.into(), done: None },
    };
    match switching(at, chosen.protection) {
        Ok(Switching { opens, closes }) => Tried {
            kind: kind_word,
            parts: of(&chosen),
            done: Some(TriedResult {
                fails: fails(&opens, &closes, case.most_volts, case.most_amperes),
                peak_voltage: opens.peak_voltage,
                peak_current: closes.peak_current,
                arc: opens.arc,
                energy: opens.energy,
            }),
        },
        Err(why) => Tried { kind: kind_word, parts: why.to_string(), done: None },
    }
}

/// Why a protection does not mend a load; nothing of one that does.
fn fails(opens: &Moving, closes: &Moving, most_volts: f64, most_amperes: f64) -> String {
    let limits = [
        (opens.arc > 0.0, "an arc burns".to_owned()),
        (
            opens.peak_voltage > most_volts,
            format!("more than the {} it may switch", told(most_volts, "V")),
        ),
        (
            closes.peak_current > most_amperes,
            format!("more than the {} it may switch", told(most_amperes, "A")),
        ),
    ];
    let failed: Vec<String> =
        limits.into_iter().filter(|(fails, _)| *fails).map(|(_, why)| why).collect();
    failed.join(", ")
}

/// That a gap breaks down before the circuit alone would have let its voltage rise so far; nothing where it does
/// not, or where its stand-off voltage is not known.
fn breaks_down(contact: &Contact, bare: &Moving, figures: &[FigureAnswer]) -> Option<String> {
    let name = format!("stand-off voltage of {}", contact.name);
    let stands = figures.iter().find(|figure| figure.name == name)?.value.value?;
    (bare.peak_voltage > stands).then(|| {
        format!(
            "Unprotected the circuit alone would drive the open gap to {}: from some {} on it breaks down, and \
             the arc strikes again and again until the energy of the load is spent in the faces.",
            told(bare.peak_voltage, "V"),
            told(stands, "V")
        )
    })
}

fn findings(
    contact: &Contact,
    load: &Switched,
    bare: &Switching,
    protection: Option<&ProtectionAnswer>,
    refused: Option<&str>,
    tried: &[Tried],
) -> Vec<String> {
    let n = |value: f64| format_number(value, 3);
    let has_arcs = contact.construction.arc_limits().is_some();
    let opening = |moving: &Moving| {
        let rises = format!("the voltage across the contact rises to {} V", n(moving.peak_voltage));
        match (has_arcs, moving.arc > 0.0) {
            (true, true) => format!(
                "an arc burns for {} ms at each opening and leaves {} mJ in the faces",
                n(moving.arc),
                n(moving.energy)
            ),
            (true, false) => format!("no arc burns at opening; {rises}"),
            (false, _) => format!(
                "{rises} at opening; the metal of the faces is not stated, so arcs are not judged"
            ),
        }
    };
    let closing = |moving: &Moving| format!("it closes on a peak of {} A", n(moving.peak_current));
    let mut found =
        vec![format!("Without protection {}; {}.", opening(&bare.opens), closing(&bare.closes))];
    if let Some(protection) = protection {
        found.push(format!(
            "With \"{}\" {}; {}.",
            protection.kind,
            opening(&protection.with.opens),
            closing(&protection.with.closes)
        ));
    }
    if let (Some(why), Some(protect)) = (refused, &load.protect) {
        found.push(format!("\"{}\" cannot serve: {why}.", protect.kind.word()));
    }
    let mends: Vec<String> = tried
        .iter()
        .filter(|tried| tried.done.as_ref().is_some_and(TriedResult::mends))
        .map(|tried| format!("\"{}\" ({})", tried.kind, tried.parts))
        .collect();
    found.push(match &mends[..] {
        [] => "No kind of protection sized by its rule leaves no arc and stays within what the contact may \
               switch: take a contact that may switch more, or let it switch a relay or a semiconductor."
            .into(),
        some => format!(
            "Without an arc and within what the contact may switch: {}.",
            some.join(", ")
        ),
    });
    found
}

/// A circuit as a netlist, with what is found of it to compare.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Netlist {
    /// The load.
    pub load: String,
    /// `opens` or `closes`.
    pub moves: String,
    /// The text.
    pub text: String,
    /// What a simulator is asked of it and what is found here, without arcs: a measurement in its language,
    /// and a number in SI.
    pub asked: Vec<(String, f64)>,
}

/// The circuits of a design's loads as netlists, every quantity of the loads at its hardest: two of each load, one
/// where its contact opens and one where it closes.
///
/// # Errors
/// In a sentence, if a protection cannot serve or the circuit cannot be followed.
pub fn netlists(design: &Design, protected: bool) -> Result<Vec<Netlist>, String> {
    let mut all = Vec::new();
    for (load, at) in design.loads.iter().zip(LoadAt::of(design, &hardest)) {
        let protect = load.protect.as_ref().filter(|_| protected);
        let protection = match protect.map(|p| choose(p.kind, &at.case(), at.stated)) {
            None => Protection::None,
            Some(Ok(chosen)) => chosen.protection,
            Some(Err(why)) => return Err(format!("load \"{}\": {why}", load.name)),
        };
        for to in [Moves::Open, Moves::Closed] {
            let circuit = LoadCircuit { protection, ..at.circuit(to == Moves::Closed) };
            let list = netlist(design, load, &circuit, to);
            all.push(list.map_err(|why| format!("load \"{}\": {why}", load.name))?);
        }
    }
    Ok(all)
}

fn netlist(
    design: &Design,
    load: &Switched,
    circuit: &LoadCircuit,
    to: Moves,
) -> Result<Netlist, NetworkError> {
    let (network, until) = (circuit.network(), circuit.settling(to));
    let moves = if to == Moves::Open { "opens" } else { "closes" };
    let title = format!(
        "{}: the contact of {} {moves}\n{}, every quantity at its hardest; arcs are left out",
        design.title,
        load.name,
        about(load)
    );
    let text = spice::netlist(&network, &title, to, until)?;
    let run = match to {
        Moves::Open => circuit.opens(None)?,
        Moves::Closed => circuit.closes()?,
    };
    let asked = run.asked(&network, to, until);
    Ok(Netlist { load: load.name.clone(), moves: moves.into(), text, asked })
}
