//! What is told once of things that are alike: equal contacts of one table, demands on each of them, magnets
//! in one state, warnings of one kind.

use crate::number::number;
use reedmace_engine::{
    Answer,
    answer::{
        Band, ContactAnswer, Conversion, DemandAnswer, Driver, Event, FigureAnswer, LatchAtContact,
        MagnetAnswer, Warning,
    },
};

/// From so many on, warnings of one kind and what is alike in a study are told by the first of them.
pub(crate) const MANY: usize = 4;

/// A share of this many percent is far above what counts.
const FAR: f64 = 1000.0;

/// Several things told by one of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Alike<'a, T> {
    /// `stage 1`, or `stage 1 to stage 16`.
    pub names: String,
    /// The one that is told: of demands the one with the least room.
    pub one: &'a T,
    /// How many there are.
    pub count: usize,
}

/// A share in percent, without its unit; far above what counts no more than that.
pub fn capped(percent: f64) -> String {
    if percent > FAR { "over\u{a0}1000".to_owned() } else { number(percent, "%") }
}

/// A share in percent, low to high.
pub fn share(share: &Band) -> String {
    match share.low > FAR {
        true => capped(share.low),
        false => format!("{} to {}", capped(share.low), capped(share.high)),
    }
}

/// Contacts that are told at length: all but those that repeat another one and stand in a table.
pub fn at_length(answer: &Answer) -> impl Iterator<Item = (usize, &ContactAnswer)> {
    let tabled = has_table(answer);
    answer.contacts.iter().enumerate().filter(move |(_, c)| !tabled || c.like.is_none())
}

/// The names of a contact and of those that repeat it.
pub fn names(answer: &Answer, contact: &ContactAnswer) -> String {
    let like = |other: &&ContactAnswer| other.like.as_ref() == Some(&contact.name);
    range(&contact.name, answer.contacts.iter().rfind(like).map(|last| &last.name))
}

/// True of what is told of a contact at length: not of one that repeats another.
pub fn is_told(answer: &Answer, contact: &str) -> bool {
    at_length(answer).any(|(_, told)| told.name == contact)
}

/// Figures without those of single contacts and their neighbours where a table of all contacts tells them.
pub fn figures(answer: &Answer) -> Vec<&FigureAnswer> {
    let tabled = has_table(answer);
    answer.figures.iter().filter(|figure| !tabled || figure.contacts.is_empty()).collect()
}

/// True where the contacts stand in one table: several on a level stem.
pub fn has_table(answer: &Answer) -> bool {
    answer.level.as_ref().is_some_and(|level| level.stages.len() > 1)
}

/// Demands, those of one line with one verdict as one.
pub fn demands(answer: &Answer) -> Vec<Alike<'_, DemandAnswer>> {
    let alike = |a: &DemandAnswer, b: &DemandAnswer| {
        (a.line, &a.text, a.verdict) == (b.line, &b.text, b.verdict)
    };
    let room = |demand: &DemandAnswer| demand.margin_worst.unwrap_or(f64::INFINITY);
    runs(&answer.demands, alike, |demand| &demand.contact, |a, b| room(b) < room(a))
}

/// Magnets of a grade, those in one state as one.
pub fn magnets(magnets: &[MagnetAnswer]) -> Vec<Alike<'_, MagnetAnswer>> {
    let alike = |a: &MagnetAnswer, b: &MagnetAnswer| {
        let state = |m: &MagnetAnswer| {
            let mut states = m.states.clone();
            // Of equal magnets on a wheel each is at its worst at its own place.
            states.iter_mut().for_each(|state| state.worst_at = None);
            states
        };
        table(&a.name) == table(&b.name) && a.grade == b.grade && same_states(&state(a), &state(b))
    };
    runs(magnets, alike, |magnet| &magnet.name, |_, _| false)
}

/// The name of the table that several equal things are stated in: theirs without the number; of one that has
/// none its own name.
pub(crate) fn table(name: &str) -> &str {
    let numbered = name.rsplit_once(' ').filter(|(_, n)| n.bytes().all(|b| b.is_ascii_digit()));
    numbered.map_or(name, |(table, _)| table)
}

/// Equal but for what rounding does.
fn same_states(
    a: &[reedmace_engine::answer::MagnetState],
    b: &[reedmace_engine::answer::MagnetState],
) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= 1e-3 * x.abs().max(y.abs()).max(1e-3);
    a.len() == b.len()
        && a.iter().zip(b).all(|(a, b)| {
            near(a.temperature, b.temperature)
                && near(a.remanence, b.remanence)
                && near(a.worst.h, b.worst.h)
                && near(a.mean.b, b.mean.b)
                && near(a.loss, b.loss)
        })
}

/// Events of a contact with what drives them; from so many on that are driven alike only the first of them, as of
/// a wheel with equal magnets.
pub fn driven(contact: &ContactAnswer) -> Vec<(&Event, usize)> {
    let with: Vec<&Event> = contact.events.iter().filter(|e| !e.drivers.is_empty()).collect();
    let mut told: Vec<(&Event, usize)> = Vec::new();
    for event in &with {
        let count = with.iter().filter(|other| driven_alike(event, other)).count();
        if count < MANY {
            told.push((event, 1));
        } else if !told.iter().any(|(known, n)| *n > 1 && driven_alike(known, event)) {
            told.push((event, count));
        }
    }
    told
}

/// Events of one kind moved as far by the same quantities, or by those of another one of equal things.
fn driven_alike(a: &Event, b: &Event) -> bool {
    let longest = a.drivers.iter().map(|d| d.at_low.abs().max(d.at_high.abs())).fold(0.0, f64::max);
    let near = |x: f64, y: f64| (x.abs() - y.abs()).abs() <= 0.02 * longest;
    let ends = |d: &Driver| {
        let [low, high] = [d.at_low.abs(), d.at_high.abs()];
        [low.min(high), low.max(high)]
    };
    let same = |x: &Driver, y: &Driver| {
        let ([a, b], [c, d]) = (ends(x), ends(y));
        of_equals(&x.path) == of_equals(&y.path) && near(a, c) && near(b, d)
    };
    // Shorter ones come in any order.
    let felt = |e: &Event| e.drivers.iter().filter(|d| ends(d)[1] > 0.1 * longest).count();
    a.kind == b.kind
        && felt(a) == felt(b)
        && a.drivers.iter().take(felt(a)).zip(&b.drivers).all(|(x, y)| same(x, y))
}

/// A path without the number of one of several equal things: `magnet[pole].diameter`.
fn of_equals(path: &str) -> String {
    let parted = path.split_once('[').and_then(|(kind, rest)| Some((kind, rest.split_once(']')?)));
    parted.map_or_else(
        || path.to_owned(),
        |(kind, (name, rest))| format!("{kind}[{}]{rest}", table(name)),
    )
}

/// The contact told before this one whose sensitivities are the same, if there is one.
pub fn as_sensitive<'a>(answer: &'a Answer, contact: &ContactAnswer) -> Option<&'a str> {
    let print = |band: &Band| {
        [band.value.unwrap_or(f64::NAN), band.low, band.high].map(|v| number(v, &band.unit))
    };
    let said = |contact: &ContactAnswer| -> Vec<_> {
        let row = |c: &Conversion| (c.arrangement.clone(), print(&c.operate), print(&c.release));
        contact.conversions.iter().map(row).collect()
    };
    let before =
        at_length(answer).map(|(_, told)| told).take_while(|told| told.name != contact.name);
    before.into_iter().find(|told| said(told) == said(contact)).map(|told| told.name.as_str())
}

/// The contact told before this one that operates and releases between the same limits, has the same sensitivities
/// and is as strongly driven, if there is one: as of contacts in one coil, whose nominal events alone differ.
pub fn as_driven<'a>(answer: &'a Answer, contact: &ContactAnswer) -> Option<&'a str> {
    let event = |e: &Event| {
        let limits = [e.at.low, e.at.high].map(|v| number(v, &e.at.unit));
        (e.kind, e.direction, e.lobe, limits, e.monotone, e.in_every_unit)
    };
    let said = |contact: &ContactAnswer| {
        let strongest = contact
            .strongest
            .as_ref()
            .map(|top| [top.at, top.overdrive, top.force, top.taken].map(|v| number(v, &top.unit)));
        (contact.events.iter().map(event).collect::<Vec<_>>(), strongest)
    };
    let as_sensitive = as_sensitive(answer, contact)?;
    let before = at_length(answer).map(|(_, told)| told);
    let mut before = before.take_while(|told| told.name != contact.name);
    before
        .find(|told| told.name == as_sensitive && said(told) == said(contact))
        .filter(|told| !told.events.is_empty())
        .map(|told| told.name.as_str())
}

/// Warnings: each, or the first of many with one code and one help.
pub fn warnings(warnings: &[Warning]) -> Vec<Alike<'_, Warning>> {
    let mut told: Vec<Alike<'_, Warning>> = Vec::new();
    for warning in warnings {
        let alike = |one: &Warning| (&one.code, &one.help) == (&warning.code, &warning.help);
        let count = warnings.iter().filter(|other| alike(other)).count();
        if count < MANY {
            told.push(Alike { names: String::new(), one: warning, count: 1 });
        } else if !told.iter().any(|known| alike(known.one)) {
            told.push(Alike { names: String::new(), one: warning, count });
        }
    }
    told
}

/// What many warnings of one kind say beside the first of them.
pub fn more(warning: &Alike<'_, Warning>) -> Option<String> {
    (warning.count > 1).then(|| format!("the same of {} more", warning.count - 1))
}

/// Neighbours that are alike as one; `lesser`: the second of two is the one to tell.
fn runs<'a, T>(
    all: &'a [T],
    alike: impl Fn(&T, &T) -> bool,
    name: impl Fn(&T) -> &String,
    lesser: impl Fn(&T, &T) -> bool,
) -> Vec<Alike<'a, T>> {
    let tell = |run: &'a [T]| Alike {
        names: range(name(&run[0]), run.last().filter(|_| run.len() > 1).map(&name)),
        one: run[1..]
            .iter()
            .fold(&run[0], |told, next| if lesser(told, next) { next } else { told }),
        count: run.len(),
    };
    all.chunk_by(alike).map(tell).collect()
}

/// `stage 1 to stage 16`.
pub(crate) fn range(first: &str, last: Option<&String>) -> String {
    last.map_or_else(|| first.to_owned(), |last| format!("{first} to {last}"))
}

/// What a contact does while what changes is away.
pub fn keeps(held: &LatchAtContact) -> &'static str {
    match (held.stays_set, held.stays_reset) {
        (true, true) => "keeps either state",
        (true, false) => "always closes",
        (false, true) => "always opens",
        (false, false) => "keeps neither state",
    }
}
