//! `[[demand]]`, and demands against the sweep and each other.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::figures::Figure;
use crate::motion::{Demand, DemandKind, Sweep};
use crate::naming;
use crate::reach::{self, Scale};
use crate::reader::Reader;
use std::ops::Range;

/// What a demand may be about.
pub(crate) struct Known<'k> {
    /// Names of the design's contacts.
    pub contacts: &'k [String],
    /// Common names of equal contacts, and which they are.
    pub groups: &'k [(String, Range<usize>)],
    pub sweep: Option<&'k Sweep>,
    pub scale: Option<&'k Scale>,
    /// `None` while the rest of the design is faulty.
    pub figures: Option<&'k [Figure]>,
}

/// Reads one table: a demand, or one for each of several equal contacts.
pub(crate) fn demands(reader: &Reader<'_>, known: &Known<'_>) -> Option<Vec<Demand>> {
    let name = reader.find("name").and_then(|_| reader.text("name"));
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let kind = kind(reader, known);
    let contacts = match reader.find("figure") {
        Some(_) => vec![None],
        None => contacts(reader, known)?.map(Some).collect(),
    };
    let (kind, text, span) = kind?;
    let demand = |contact| Demand {
        name: name.clone(),
        contact,
        kind: kind.clone(),
        text: text.clone(),
        note: note.clone(),
        span: span.clone(),
    };
    Some(contacts.into_iter().map(demand).collect())
}

/// The contact that a demand names, or all of that common name.
fn contacts(reader: &Reader<'_>, known: &Known<'_>) -> Option<Range<usize>> {
    let contacts = known.contacts;
    if reader.find("contact").is_none() && !reader.may_lack() {
        reader.faults.add(
            Diagnostic::error(codes::MISSING_KEY, "the demand is about no contact")
                .at(&reader.header, "needs `contact`, or `figure`")
                .help(suggest(
                    "",
                    &contacts.iter().map(String::as_str).collect::<Vec<_>>(),
                    "contacts of this design",
                )),
        );
        return None;
    }
    let (name, span) = reader.marked_text("contact")?;
    let one = || contacts.iter().position(|contact| *contact == name).map(|k| k..k + 1);
    let found = one().or_else(|| {
        known.groups.iter().find(|(of, _)| *of == name).map(|(_, which)| which.clone())
    });
    if found.is_none() {
        let known: Vec<&str> = contacts.iter().map(String::as_str).collect();
        reader.faults.add(naming::unknown(&name, &span, "contact", &known));
    }
    found
}

const KINDS: [&str; 4] = ["closed", "open", "closures", "figure"];

/// What is demanded, its text and its place.
type Demanded = (DemandKind, String, Range<usize>);

fn kind(reader: &Reader<'_>, known: &Known<'_>) -> Option<Demanded> {
    let stated: Vec<&str> = KINDS.into_iter().filter(|kind| reader.find(kind).is_some()).collect();
    match stated[..] {
        [] => {
            if !reader.may_lack() {
                reader.faults.add(
                    Diagnostic::error(
                        codes::NOTHING_DEMANDED,
                        "the demand does not say what it demands",
                    )
                    .at(&reader.header, "needs `closed`, `open`, `closures` or `figure`")
                    .help("add e.g. closed = \"<= 8 mm\", open = \">= 22 mm\" or closures = 1"),
                );
            }
            None
        }
        ["closures"] => {
            let (count, span) = reader.count("closures")?;
            Some((DemandKind::Closures(count), format!("closures {count}"), span))
        }
        ["figure"] => figure(reader, known.figures?),
        [word] => {
            // Without a kind of sweep the region's quantity is unknown; that is reported there.
            let (reach, text, span) = reach::region(reader, word, known.scale?)?;
            on_sweep(reader, known.sweep?, (reach.low, reach.high), &span);
            let kind = match word {
                "closed" => DemandKind::Closed(reach),
                _ => DemandKind::Open(reach),
            };
            Some((kind, format!("{word} {text}"), span))
        }
        [first, second, ..] => {
            reader.faults.add(
                Diagnostic::error(codes::SEVERAL_DEMANDED, "a demand says more than one thing")
                    .at(&reader.span_of(second), "this belongs into a demand of its own")
                    .beside(&reader.span_of(first), "the demand says this already")
                    .help("write another [[demand]], so that each gets its own verdict"),
            );
            None
        }
    }
}

/// A figure and where it must lie.
fn figure(reader: &Reader<'_>, figures: &[Figure]) -> Option<Demanded> {
    if reader.find("contact").is_some() {
        reader.faults.add(
            Diagnostic::error(codes::SEVERAL_DEMANDED, "a demand says more than one thing")
                .at(&reader.span_of("contact"), "a figure's name says what it is of")
                .beside(&reader.span_of("figure"), "the figure")
                .help("leave `contact` out"),
        );
        return None;
    }
    let (name, span) = reader.marked_text("figure")?;
    let Some(k) = figures.iter().position(|figure| figure.name == name) else {
        let known: Vec<&str> = figures.iter().map(|figure| figure.name.as_str()).collect();
        let help = match known.is_empty() {
            true => "a design with this sweep tells none".to_owned(),
            false => suggest(&name, &known, "figures of this design"),
        };
        reader.faults.add(
            Diagnostic::error(codes::UNKNOWN_FIGURE, format!("there is no figure \"{name}\""))
                .at(&span, "not a figure of this design")
                .help(help),
        );
        return None;
    };
    if reader.find("within").is_none() {
        reader.report_missing("within");
        return None;
    }
    let measure = figures[k].measure;
    let (reach, text, span) = reach::region_in(reader, "within", measure, &|| {
        let message = format!("`within` is not in a unit of \"{name}\"");
        (message, figures[k].about.to_owned())
    })?;
    Some((DemandKind::Figure(k, reach), text, span))
}

/// Reports what of a region the sweep never reaches.
fn on_sweep(reader: &Reader<'_>, sweep: &Sweep, region: (f64, f64), span: &Range<usize>) {
    let (from, to) = sweep.coordinate_range();
    let (low, high) = (from.min(to), from.max(to));
    // Ends that were meant to be equal may differ in the last bit.
    let room = 1e-9 * (high - low);
    let measure = sweep.coordinate_measure();
    let unit = measure.units()[0];
    let show = |si: f64| {
        let number = format!("{:.6}", (si - unit.offset) / unit.factor);
        let number = number.trim_end_matches('0').trim_end_matches('.').to_owned();
        if unit.symbol.is_empty() { number } else { format!("{number} {}", unit.symbol) }
    };
    let goes = format!("the sweep goes from {} to {}", show(from), show(to));
    let coordinate = sweep.coordinate_phrase();
    if region.1 < low - room || region.0 > high + room {
        reader.faults.add(
            Diagnostic::error(codes::REGION_OFF_SWEEP, "the demand lies outside the sweep")
                .at(span, goes)
                .help(format!("regions are in the sweep's own coordinate, {coordinate}; extend the sweep or mend the region")),
        );
    } else if (region.0.is_finite() && region.0 < low - room)
        || (region.1.is_finite() && region.1 > high + room)
    {
        reader.faults.add(
            Diagnostic::warning(
                codes::REGION_PARTLY_OFF,
                "part of the demand lies outside the sweep",
            )
            .at(span, goes)
            .help("only the part inside is judged; extend the sweep to have all of it judged"),
        );
    }
}

/// Reports places where one contact is demanded both closed and open.
pub(crate) fn contradictions(
    demands: &[Demand],
    sweep: &Sweep,
    contacts: &[String],
) -> Vec<Diagnostic> {
    let (from, to) = sweep.coordinate_range();
    let sweep = (from.min(to), from.max(to));
    let mut found = Vec::new();
    for (index, later) in demands.iter().enumerate() {
        for earlier in &demands[..index] {
            let regions = match (&earlier.kind, &later.kind) {
                (DemandKind::Closed(a), DemandKind::Open(b))
                | (DemandKind::Open(a), DemandKind::Closed(b)) => {
                    ((a.low, a.high), (b.low, b.high))
                }
                _ => continue,
            };
            let (a, b) = regions;
            let both = (a.0.max(b.0).max(sweep.0), a.1.min(b.1).min(sweep.1));
            if earlier.contact == later.contact && both.0 <= both.1 {
                let name = later.contact.map_or("", |contact| &contacts[contact]);
                found.push(
                    Diagnostic::error(
                        codes::CONTRADICTION,
                        format!("contact \"{name}\" cannot be both closed and open"),
                    )
                    .at(&later.span, "overlaps the region of another demand")
                    .beside(&earlier.span, "demanded here")
                    .help("leave room between the two regions for operate and release to differ"),
                );
            }
        }
    }
    found
}
