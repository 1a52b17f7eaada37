//! Assumptions, model accuracy, warnings and references.

use super::made_by::{anchor, made_by, reference};
use crate::{brief, references};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, Model, ModelNote, SpreadAnswer};
use std::collections::BTreeSet;

/// What is taken for granted, and which values rest on a guess.
pub fn assumptions(answer: &Answer) -> Markup {
    let stated = |source: &str| {
        answer.quantities.iter().filter(|q| q.source.as_deref() == Some(source)).collect::<Vec<_>>()
    };
    let guesses = stated("guess");
    let unstated = answer.quantities.iter().filter(|q| q.source.is_none() && q.line > 0).count();
    let catalogue = answer.quantities.iter().filter(|q| q.line == 0).count();
    let known: usize = ["measured", "supplier", "standard"].map(|s| stated(s).len()).iter().sum();
    html! {
        section {
            h2 { "Assumptions" }
            p {
                "Operate and release are static: the sweep is slow against the contact's own operate, \
                 bounce and release times. Drive is the equivalent uniform axial flux density that would \
                 put the same flux through the contact's gap. The contact operates where the magnitude of \
                 the drive of the open contact rises through its operate value, and releases where that \
                 of the closed contact falls through its release value."
            }
            p {
                "A value written with ± has its limits at three sigma of a normal distribution cut off \
                 there; a value written a..b is equally likely everywhere between. Nothing magnetic \
                 stands near the arrangement beyond what the design lists."
            }
            p {
                "Of the quantities this answer rests on, "
                (known) " " (state(known)) " a measurement, a supplier or a standard as source, "
                (unstated) " of the design file " (state(unstated)) " none, "
                (catalogue) " " (are(catalogue)) " from the catalogue or a default, and "
                (guesses.len()) " " (are(guesses.len())) " marked as "
                @if guesses.len() == 1 { "a guess" } @else { "guesses" }
                @if guesses.is_empty() { "." } @else { ":" }
            }
            @if !guesses.is_empty() {
                table {
                    caption { "Guesses to be replaced by measured values" }
                    thead { tr {
                        th scope="col" { "Quantity" } th scope="col" { "As written" } th scope="col" { "Note" }
                    } }
                    tbody { @for guess in guesses { tr {
                        th scope="row" { a href={ "#line-" (guess.line) } { code { (guess.path) } } }
                        td class="nowrap" { (guess.text) }
                        td class="note" { (guess.note.as_deref().unwrap_or("")) }
                    } } }
                }
            }
        }
    }
}

fn state(count: usize) -> &'static str {
    if count == 1 { "states" } else { "state" }
}

fn are(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

/// Text whose `names` stand between grave accents, as diagnostics write them.
fn marked(text: &str) -> Markup {
    html! {
        @for (i, piece) in text.split('`').enumerate() {
            @if i % 2 == 1 { code { (piece) } } @else { (piece) }
        }
    }
}

/// Each model and how good it is.
pub fn models(answer: &Answer, spread: Option<&SpreadAnswer>) -> Markup {
    html! {
        section {
            h2 { "Model accuracy" }
            table {
                thead { tr {
                    th scope="col" { "Model" } th scope="col" { "Accuracy" } th scope="col" { "Sources" }
                } }
                tbody { @for model in every_model(answer, spread) { tr {
                    th scope="row" id=(anchor(&model.name)) {
                        span class="strong" { (model.name) } ": " (model.how)
                    }
                    td { (model.accuracy) }
                    td { @for (i, key) in model.references.iter().enumerate() {
                        @if i > 0 { " " }
                        (reference(key))
                    } }
                } } }
            }
        }
    }
}

/// Models of the answer, and those that only the study of many units used.
fn every_model<'a>(answer: &'a Answer, spread: Option<&'a SpreadAnswer>) -> Vec<&'a ModelNote> {
    let known = |model: &ModelNote| answer.models.iter().any(|own| own.name == model.name);
    let more = spread.into_iter().flat_map(|s| &s.models).filter(|model| !known(model));
    answer.models.iter().chain(more).collect()
}

/// What makes the numbers of warnings, by how their codes begin.
const WARNED: [(&str, &[Model]); 4] = [
    ("W01", &[Model::Saturation, Model::Events]),
    ("W02", &[Model::WorkingPoints]),
    ("W03", &[Model::Steel]),
    ("W04", &[Model::WarmCoils]),
];

/// What to know before building this.
pub fn warnings(answer: &Answer) -> Markup {
    let warned = |begins: &str| answer.warnings.iter().any(|one| one.code.starts_with(begins));
    let models = WARNED.into_iter().filter(|(begins, _)| warned(begins));
    let models: Vec<Model> = models.flat_map(|(_, models)| models).copied().collect();
    html! {
        @if !answer.warnings.is_empty() {
            section {
                h2 { "Warnings" }
                (made_by(&answer.models, &models))
                @for alike in brief::warnings(&answer.warnings) {
                    div class="warning" {
                        p {
                            span class="strong" { (alike.one.code) } " " (marked(&alike.one.message))
                            @if let Some(more) = brief::more(&alike) { "; " (more) }
                        }
                        p class="note" { (marked(&alike.one.help)) }
                    }
                }
            }
        }
    }
}

/// Full citations of every key this answer used.
pub fn references(answer: &Answer, spread: Option<&SpreadAnswer>) -> Markup {
    let keys: BTreeSet<&str> = answer
        .provenance
        .references
        .iter()
        .chain(every_model(answer, spread).into_iter().flat_map(|m| &m.references))
        .map(String::as_str)
        .collect();
    html! {
        @if !keys.is_empty() {
            section {
                h2 { "References" }
                dl class="refs" { @for key in keys {
                    dt id={ "ref-" (key) } { "[" (key) "]" }
                    dd { (references::citation(key).unwrap_or("not in REFERENCES.md of this version")) }
                } }
            }
        }
    }
}
