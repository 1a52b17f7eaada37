//! Warnings, the model behind the numbers, and where the report went.

use super::{Ink, layout::wrap, paint};
use reedmace_engine::answer::{ModelNote, Warning};
use reedmace_report::brief::{self, Alike};
use std::path::Path;

/// Every warning with its help; `None` when there is none.
pub(crate) fn warnings(warnings: &[Warning]) -> Option<String> {
    if warnings.is_empty() {
        return None;
    }
    Some(brief::warnings(warnings).iter().map(warning).collect())
}

fn warning(alike: &Alike<'_, Warning>) -> String {
    let warning = alike.one;
    let word = format!("warning[{}]:", warning.code);
    let more = brief::more(alike).map(|more| format!("; {more}")).unwrap_or_default();
    let message = wrap("", &format!("{word} {}{more}", warning.message));
    let help = wrap("  = help: ", &warning.help);
    message.replacen(&word, &paint(Ink::AtRisk, &word), 1) + &help
}

/// The leading model and how good it is, shortly; `None` when none is named.
pub(crate) fn model(models: &[ModelNote]) -> Option<String> {
    let first = models.first()?;
    // The first clause says how good it is; the rest is in the report.
    let accuracy = first.accuracy.split("; ").next().unwrap_or_default();
    Some(wrap("Model: ", &format!("{}; {accuracy}", first.how)))
}

/// Where the report is.
pub(crate) fn report(path: &Path) -> String {
    format!("Report: {}\n", path.display())
}
