//! What a contact's construction is worth: stand-off, resistance, blades, seal, and micrometres in ampere-turns.

use crate::answer::{ConstructionAnswer, ConstructionRow, ContactAnswer, Sprung, Worth};
use crate::applied::construction::Made;
use crate::error::EngineError;
use crate::quantity::Quantified;
use crate::realise::Workshop;
use crate::spring::{Snapped, snap, worth};
use crate::units::tidy;
use reedmace_applied::beam::Shock;
use reedmace_applied::holm::{contact_resistance, gap_capacitance, thermal_emf};
use reedmace_applied::pull_in::Snap;
use reedmace_applied::seal::{EASY_TENSION, Seal};
use reedmace_contact::CircuitError;
use reedmace_design::{ConstructionFigure, Contact, Fill};
use reedmace_units::{Quantity, Temperature, Toleranced, format_number};

/// Of nickel-iron against copper, V/K. From memory, unverified.
const THERMAL: [f64; 2] = [25e-6, 45e-6];
/// Second coefficient of a face: known to a factor of ten either way.
const GAMMAS: [f64; 2] = [0.1, 0.001];
/// Poisson's ratio of nickel-iron. From memory.
const POISSON: f64 = 0.3;
/// Resistance times area of a thin film that electrons still tunnel through, Ω·m². From memory; others have a
/// thousand times as much.
const THIN_FILM: f64 = 1e-13;
/// Sharpness of a blade's resonance. Common practice, no source.
const QUALITY: [f64; 3] = [60.0, 200.0, 20.0];
/// Pulses of half a sine at which shocks are told, s: what relays are tested with. Common practice, no source.
const SHOCKS: [f64; 2] = [0.5e-3, 11e-3];
/// Standard acceleration of free fall, m/s². `[nist811]`
const FREE_FALL: f64 = 9.80665;

/// What is told of every contact that states more than its metal. `contacts`: the answers, with their forces.
pub(crate) fn answers(
    workshop: &Workshop,
    contacts: &[ContactAnswer],
) -> Result<Vec<ConstructionAnswer>, EngineError> {
    let told = workshop.design.contacts.iter().zip(contacts);
    let told =
        told.filter(|(contact, answer)| contact.construction.is_told() && answer.like.is_none());
    let mut answers: Vec<ConstructionAnswer> = Vec::new();
    for (contact, answer) in told {
        let made = one(workshop, contact, answer)
            .map_err(|why| EngineError::from(why).of(&contact.name))?;
        let like = contacts.iter().filter(|other| other.like.as_ref() == Some(&contact.name));
        let names = std::iter::once(answer).chain(like).map(|one| one.name.clone());
        let alike = |known: &&mut ConstructionAnswer| {
            known.rows == made.rows && known.worth == made.worth && known.findings == made.findings
        };
        match answers.iter_mut().find(alike) {
            Some(known) => known.contacts.extend(names),
            None => answers.push(ConstructionAnswer { contacts: names.collect(), ..made }),
        }
    }
    Ok(answers)
}

fn one(
    workshop: &Workshop,
    contact: &Contact,
    answer: &ContactAnswer,
) -> Result<ConstructionAnswer, CircuitError> {
    let nominal = |q: &dyn Quantified| q.limits().nominal;
    let made = Made::one(contact, &nominal);
    let snapped = snap(workshop, contact)?;
    let pull = answer.strongest.as_ref().map(|strongest| 1e-3 * strongest.force);
    let force = snapped.as_ref().zip(pull).map(|(snapped, pull)| pull - snapped.held());
    let mut rows = insulation(&made);
    rows.extend(conduction(contact, &made, force));
    rows.extend(blades(contact, &made));
    let ambient = Temperature::from_si(nominal(&workshop.design.surroundings.temperature));
    let mut findings = Vec::new();
    if let Some((seal, finding)) = seal(contact, ambient) {
        rows.extend(seal);
        findings.push(finding);
    }
    let mut worths = Vec::new();
    let spring = snapped.as_ref().map(|snapped| Sprung {
        operate: tidy(snapped.operate),
        release: tidy(snapped.releases()),
        force: tidy(1e3 * snapped.force()),
    });
    if let Some(snapped) = &snapped {
        rows.extend(springs(&made, snapped, force));
        let each = worth(workshop, contact, snapped)?;
        findings.push(sprung(contact, &made, snapped, &each));
        worths.extend(each);
    }
    Ok(ConstructionAnswer { contacts: Vec::new(), rows, spring, worth: worths, findings })
}

fn row(what: &str, [value, low, high]: [f64; 3], unit: &str, source: &str) -> ConstructionRow {
    ConstructionRow {
        what: what.into(),
        value: tidy(value),
        low: tidy(low),
        high: tidy(high),
        unit: unit.into(),
        source: source.into(),
    }
}

/// One that is a figure as well, with limits over the tolerances; called as that is.
fn figure(of: ConstructionFigure, band: [f64; 3], unit: &str, source: &str) -> ConstructionRow {
    row(of.facts().0, band, unit, source)
}

fn insulation(made: &Made) -> Vec<ConstructionRow> {
    let capacitance = 1e12 * gap_capacitance(made.overlap * made.width, made.gap);
    let capacitance = figure(
        ConstructionFigure::Capacitance,
        [capacitance; 3],
        "pF",
        "ε0 A/g of flat faces; a lower bound, blades and leads add as much and more",
    );
    let stand_off = match made.fill {
        None => None,
        Some(Fill::Gas(_)) => {
            let [low, high] = GAMMAS.map(|gamma| made.stand_off(Some(gamma)));
            let value = made.stand_off(None);
            Some((
                [value, low, high],
                "Paschen's law [lieberman2005], what an ion frees of the face known to a factor of ten; across the \
                 glass outside less",
            ))
        }
        Some(Fill::Vacuum) => {
            let low = made.stand_off(None);
            Some((
                [low, low, 2.0 * low],
                "20 kV/mm, from memory, up to 40 kV/mm as clean as the faces are; no Paschen curve holds in vacuum",
            ))
        }
    };
    let told = |(band, source)| figure(ConstructionFigure::StandOff, band, "V", source);
    let stand_off = stand_off.map(told);
    stand_off.into_iter().chain([capacitance]).collect()
}

fn conduction(contact: &Contact, made: &Made, force: Option<f64>) -> Vec<ConstructionRow> {
    let construction = &contact.construction;
    let mut rows = Vec::new();
    if let Some(alloy) = &construction.alloy {
        let leads = ends(&alloy.resistivity).map(|r| 1e3 * r * made.shape_of_leads());
        let source =
            format!("length over section; resistivity by the alloy's row: {}", alloy.origin.source);
        rows.push(figure(ConstructionFigure::Leads, leads, "mΩ", &source));
        let [low, high] = THERMAL.map(|per_kelvin| 1e6 * thermal_emf(per_kelvin, 1.0));
        rows.push(row(
            "thermoelectric offset, leads' joints 1 K apart",
            [0.5 * (low + high), low, high],
            "µV",
            "nickel-iron against copper, from memory, unverified; in proportion to the difference",
        ));
    }
    let metal = construction.metal.as_ref();
    let facts = metal
        .and_then(|metal| Some((metal, metal.resistivity.as_ref()?, metal.hardness.as_ref()?)));
    if let (Some((metal, resistivity, hardness)), Some(force)) = (facts, force.filter(|f| *f > 0.0))
    {
        let [resistivity, hardness] = [ends(resistivity), ends(hardness)];
        let under = |film: f64| {
            [0, 1, 2].map(|k| 1e3 * contact_resistance(resistivity[k], hardness[k], force, film))
        };
        let newtons = format_number(1e3 * force, 3);
        rows.push(row(
            &format!("constriction of {} at {newtons} mN", metal.name),
            under(0.0),
            "mΩ",
            "one spot pressed flat [holm1967], hardness and resistivity from memory; clean faces",
        ));
        rows.push(row(
            "the same under a thin film",
            under(THIN_FILM),
            "mΩ",
            "0.1 Ω·µm² on the spot [holm1967], from memory, for a film that electrons tunnel through; thicker ones \
             have a thousand times as much",
        ));
    }
    rows
}

/// Nominal, low and high of a row of a table.
fn ends<Q: Quantity>(value: &Toleranced<Q>) -> [f64; 3] {
    [value.nominal.si(), value.low.si(), value.high.si()]
}

fn blades(contact: &Contact, made: &Made) -> Vec<ConstructionRow> {
    let Some(alloy) = &contact.construction.alloy else { return Vec::new() };
    let density = alloy.density.nominal.si();
    let blades = ends(&alloy.elastic_modulus).map(|modulus| made.blade(modulus, density));
    let closes = blades.map(|blade| blade.closes(made.way()) / FREE_FALL);
    let mut rows = vec![
        row(
            "stiffness of both blades in series",
            blades.map(|blade| 0.5 * blade.stiffness()),
            "N/m",
            "clamped beams [timoshenko1974]; an upper bound, the round part and the glass give way",
        ),
        figure(
            ConstructionFigure::Frequency,
            blades.map(|blade| blade.frequency(1)),
            "Hz",
            "clamped beam in vacuum [timoshenko1974]; an upper bound for the same reasons",
        ),
        figure(
            ConstructionFigure::Acceleration,
            closes,
            "gn",
            "clamped beam [timoshenko1974]: one blade alone bends over the whole gap, without magnetic pull; with like \
             blades far more",
        ),
    ];
    for duration in SHOCKS {
        let amplified = Shock { peak: 1.0, duration }.amplification(blades[0].frequency(1));
        rows.push(row(
            &format!("shock of {} ms that closes it", format_number(1e3 * duration, 2)),
            closes.map(|steady| steady / amplified),
            "gn",
            "peak of half a sine [harris2002], the same blade, undamped",
        ));
    }
    rows.push(row(
        "vibration at resonance that closes it",
        [0, 1, 2].map(|k| closes[k] / QUALITY[k]),
        "gn",
        "the same blade with a sharpness of 60, 20 to 200: common practice, no source; blades of unlike frequency",
    ));
    rows
}

/// What spring and pull make of each other.
fn springs(made: &Made, snapped: &Snapped, force: Option<f64>) -> Vec<ConstructionRow> {
    let lumped = Snap {
        stiffness: snapped.stiffness,
        gap: made.gap,
        area: made.overlap * made.width,
        core: 0.0,
    };
    let mut rows = vec![
        row(
            "stiffness that the operate value asks for",
            [snapped.stiffness; 3],
            "N/m",
            "the spring against the pull of the contact's circuit solved anew at each gap, linear iron",
        ),
        row(
            "pull-in of the gap alone",
            [lumped.pull_in(); 3],
            "AT",
            "the same spring and a lumped gap without blades and air [senturia2001]: ampere-turns across the gap, \
             not in the coil",
        ),
        row(
            "gap at which it snaps",
            [1e6 * snapped.at; 3],
            "µm",
            "where the pull first rises faster than the spring",
        ),
        row(
            "pull at operate, closed",
            [1e3 * snapped.pull(snapped.operate, snapped.closed); 3],
            "mN",
            "the circuit with closed gap at the operate value, linear iron",
        ),
    ];
    rows.extend(force.map(|force| {
        row(
            "contact force where the drive is strongest",
            [1e3 * force; 3],
            "mN",
            "pull of saturating iron on the faces less that spring",
        )
    }));
    rows
}

/// The finding of both.
fn sprung(contact: &Contact, made: &Made, snapped: &Snapped, worth: &[Worth; 4]) -> String {
    let [gap, _, _, metals] = worth;
    let beams = contact.construction.alloy.as_ref().map(|alloy| {
        let modulus = alloy.elastic_modulus.nominal.si();
        0.5 * made.blade(modulus, alloy.density.nominal.si()).stiffness()
    });
    let beams = beams.map_or_else(String::new, |beams| {
        format!(
            " The operate value asks for {} N/m of spring, clamped beams of these dimensions give at most {}.",
            format_number(snapped.stiffness, 3),
            format_number(beams, 3)
        )
    });
    format!(
        "A micrometre of gap is worth {} AT of operate, one of plating {} AT of release; by the same spring the \
         contact would release at {} AT, {} AT are stated.{beams}",
        format_number(gap.operate, 2),
        format_number(metals.release, 2),
        format_number(snapped.releases(), 3),
        format_number(snapped.release, 3)
    )
}

/// Match of glass and alloy, and a finding.
fn seal(contact: &Contact, ambient: Temperature) -> Option<(Vec<ConstructionRow>, String)> {
    let (alloy, glass) =
        (contact.construction.alloy.as_ref()?, contact.construction.glass.as_ref()?);
    let [metal, bead] = [ends(&alloy.expansion), ends(&glass.expansion)];
    let [metal_modulus, glass_modulus] =
        [alloy.elastic_modulus.nominal.si(), glass.elastic_modulus.nominal.si()];
    let of = |metal_expansion: f64, glass_expansion: f64, setting: f64| Seal {
        metal: [metal_modulus, POISSON],
        glass: [glass_modulus, glass.poisson_ratio.nominal.si()],
        metal_expansion,
        glass_expansion,
        cooling: setting - ambient.si(),
    };
    let setting = ends(&glass.setting_temperature);
    // Least and greatest mismatch at the greatest cooling.
    let all = [
        of(metal[0], bead[0], setting[0]),
        of(metal[1], bead[2], setting[2]),
        of(metal[2], bead[1], setting[2]),
    ];
    let mismatch = all.map(|seal| 1e6 * seal.mismatch());
    let stress = all.map(|seal| 1e-6 * seal.radial_stress());
    let tension = all.map(|seal| seal.tension()).into_iter().fold(0.0, f64::max);
    let rows = vec![
        row("mismatch of metal and glass", mismatch, "ppm", &glass.origin.source),
        row(
            "radial stress at the seal",
            stress,
            "MPa",
            "Lamé's solution [timoshenko1970] for a thick bead; axial stress of like size comes on top. Above 0 the \
             metal pulls away",
        ),
    ];
    let megapascal = format_number(1e-6 * tension, 3);
    let easy = format_number(1e-6 * EASY_TENSION, 3);
    let finding = if tension <= EASY_TENSION {
        format!(
            "{} in {} is an easy match: at most {megapascal} MPa of tension, where {easy} MPa need no look (from memory).",
            alloy.name, glass.name
        )
    } else {
        format!(
            "{} in {} may have {megapascal} MPa of tension in the glass, more than the {easy} MPa that need no look (from memory): anneal slowly and look at the seals under polarized light.",
            alloy.name, glass.name
        )
    };
    Some((rows, finding))
}
