//! `[[correlation]]`: quantities that go together from unit to unit.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::model::Correlation;
use crate::reader::Reader;
use reedmace_sampling::{Copula, Correlation as Pair, SamplingError};
use reedmace_units::Ratio;
use std::collections::HashMap;
use std::ops::Range;

/// Paths stated in one table, each with its place.
type Paths = Vec<(String, Range<usize>)>;

/// Reads all tables. Every other quantity of the design must have been read.
pub(crate) fn correlations(tables: &[Reader<'_>]) -> Option<Vec<Correlation>> {
    let read: Vec<Option<(Correlation, Paths)>> = tables.iter().map(correlation).collect();
    let read = read.into_iter().collect::<Option<Vec<_>>>()?;
    let whole = hold_together(tables, &read);
    whole.then(|| read.into_iter().map(|(correlation, _)| correlation).collect())
}

fn correlation(table: &Reader<'_>) -> Option<(Correlation, Paths)> {
    let rank = table.one::<Ratio>("rank").filter(|rank| {
        let exact = rank.is.is_exact();
        if !exact {
            table.faults.add(
                Diagnostic::error(codes::NOT_CORRELATED, "a rank correlation has no tolerance")
                    .at(&rank.span, "must be one number, -1 to 1"),
            );
        }
        exact
    });
    let paths = table.node("of").and_then(|_| table.texts("of"))?;
    let mut good = true;
    for (index, (path, span)) in paths.iter().enumerate() {
        good &= quantity(table, path, span);
        if paths[..index].iter().any(|(earlier, _)| earlier == path) {
            good = false;
            table.faults.add(
                Diagnostic::error(codes::NOT_CORRELATED, "a quantity is correlated with itself")
                    .at(span, "named twice")
                    .help("name each quantity once"),
            );
        }
    }
    if paths.len() < 2 {
        good = false;
        table.faults.add(
            Diagnostic::error(codes::NOT_CORRELATED, "a correlation is of two quantities or more")
                .at(&table.span_of("of"), format!("{} named", paths.len()))
                .help(format!("for example of = {}", table.key("of").example)),
        );
    }
    let of = paths.iter().map(|(path, _)| path.clone()).collect();
    let correlation = Correlation { of, rank: rank?.si(), span: table.header.clone() };
    good.then_some((correlation, paths))
}

/// Whether the design has the quantity, and it may be correlated.
fn quantity(table: &Reader<'_>, path: &str, span: &Range<usize>) -> bool {
    let faults = table.faults;
    let Some(known) = faults.known(path) else {
        if !faults.damaged.get() {
            let paths = faults.paths();
            let help = match path.split_once(['.', '[']) {
                Some(_) => {
                    let known: Vec<&str> = paths.iter().map(String::as_str).collect();
                    suggest(path, &known, "quantities")
                }
                None => "name it as the answer does, for example contact[lid].operate".into(),
            };
            let message = format!("the design has no quantity `{path}`");
            faults.add(
                Diagnostic::error(codes::NO_QUANTITY, message)
                    .at(span, "no quantity of that path")
                    .help(help),
            );
        }
        return false;
    };
    if known.mixed {
        faults.add(
            Diagnostic::error(codes::NOT_CORRELATED, format!("`{path}` is a mixture"))
                .at(span, "a mixture cannot be correlated")
                .beside(&known.span, "the mixture")
                .help("correlate quantities that have one distribution each, or leave the correlation out"),
        );
        return false;
    }
    if known.exact {
        faults.add(
            Diagnostic::warning(codes::NOTHING_VARIES, format!("`{path}` carries no tolerance"))
                .at(span, "goes together with nothing")
                .beside(&known.span, "the same in every unit")
                .help("give it a tolerance, or leave the correlation out"),
        );
    }
    true
}

/// Whether no pair is correlated twice, and all correlations can hold at once.
fn hold_together(tables: &[Reader<'_>], read: &[(Correlation, Paths)]) -> bool {
    let mut coordinates: HashMap<&str, usize> = HashMap::new();
    let mut stated: HashMap<[usize; 2], &Range<usize>> = HashMap::new();
    let mut pairs: Vec<Pair> = Vec::new();
    for (table, (correlation, paths)) in tables.iter().zip(read) {
        let members: Vec<usize> = paths
            .iter()
            .map(|(path, _)| {
                let next = coordinates.len();
                *coordinates.entry(path).or_insert(next)
            })
            .collect();
        for (index, &other) in members.iter().enumerate() {
            for &one in &members[..index] {
                let span = &paths[index].1;
                if let Some(before) = stated.insert([one.min(other), one.max(other)], span) {
                    table.faults.add(
                        Diagnostic::error(
                            codes::CORRELATIONS_CLASH,
                            "two quantities are correlated twice",
                        )
                        .at(span, "once more")
                        .beside(before, "correlated before")
                        .help("state the correlation of two quantities once"),
                    );
                    return false;
                }
                pairs.push(Pair { one, other, rank: correlation.rank });
            }
        }
    }
    let Err(SamplingError::Incompatible { coordinate }) = Copula::gaussian(&pairs) else {
        return true;
    };
    let which = coordinates.iter().find(|(_, at)| **at == coordinate).map(|(path, _)| *path);
    let named = |(table, (_, paths)): (&Reader<'_>, &(Correlation, Paths))| {
        let (_, span) = paths.iter().find(|(path, _)| Some(path.as_str()) == which)?;
        Some((span.clone(), table.span_of("rank")))
    };
    let mut places = tables.iter().zip(read).filter_map(named).rev();
    if let Some((span, rank)) = places.next() {
        let fault = Diagnostic::error(codes::CORRELATIONS_CLASH, "correlations contradict each other")
            .at(&span, "cannot go together with the others like this")
            .beside(&rank, "with this rank correlation")
            .help("two quantities that go along with a third go along with each other, and where no correlation of them is stated they have none; n quantities that all go against each other have a rank correlation above -1 / (n - 1)");
        tables[0]
            .faults
            .add(places.fold(fault, |fault, (span, _)| fault.beside(&span, "and here")));
    }
    false
}
