//! Warnings, the models behind the numbers, and where the report went.

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

/// The models that made the numbers, each with how good it is, shortly; `None` when none is named.
pub(crate) fn models(models: &[ModelNote]) -> Option<String> {
    let one = |note: &ModelNote| {
        // The first clause says how good it is; the rest is in the report.
        let ends = ["; ", ". "].iter().filter_map(|end| note.accuracy.find(end)).min();
        let accuracy = &note.accuracy[..ends.unwrap_or(note.accuracy.len())];
        wrap("  ", &format!("{}: {accuracy}", note.name))
    };
    let head = format!("{}\n", paint(Ink::Heading, "Models, and how good each is"));
    (!models.is_empty()).then(|| head + &models.iter().map(one).collect::<String>())
}

/// Where the report is.
pub(crate) fn report(path: &Path) -> String {
    format!("Report: {}\n", path.display())
}
