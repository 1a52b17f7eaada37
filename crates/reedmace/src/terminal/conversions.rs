//! The same sensitivity said in the other units of the trade, shortly.

use super::{
    Ink,
    layout::{Side, table, wrap},
    numbers, paint,
};
use reedmace_engine::answer::ContactAnswer;
use std::iter::once;

/// A line per arrangement; `None` when there is none.
pub(crate) fn conversions(contact: &ContactAnswer) -> Option<String> {
    if contact.conversions.is_empty() {
        return None;
    }
    let mut rows = vec![["operate", "release"].map(String::from).to_vec()];
    rows.extend(
        contact
            .conversions
            .iter()
            .map(|same| [&same.operate, &same.release].map(numbers::band).to_vec()),
    );
    let bands = table(&[Side::Left; 2], &rows);
    let width = bands.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    let said = contact.conversions.iter().map(|same| same.arrangement.as_str());
    let mut out = String::new();
    for (index, (band, said)) in bands.iter().zip(once("said in").chain(said)).enumerate() {
        let line = wrap(&format!("  {band:<width$}  "), said);
        let faint = |line: &str| paint(Ink::Faint, line.trim_end()) + "\n";
        out.push_str(&if index == 0 { faint(&line) } else { line });
    }
    Some(out)
}
