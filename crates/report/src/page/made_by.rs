//! Which models made the numbers of a section, and from what: a quiet line, the same everywhere.

use crate::references;
use maud::{Markup, html};
use reedmace_engine::answer::{Model, ModelNote};

/// What makes a drive, and where it operates and releases a contact.
pub const DRIVE: &[Model] = &[
    Model::Contact,
    Model::Shared,
    Model::Magnets,
    Model::Grades,
    Model::Coils,
    Model::Conductors,
    Model::Motors,
    Model::Steel,
    Model::Events,
];

/// Under a heading: of these models those that the answer rests on, with all their sources.
pub fn made_by(notes: &[ModelNote], models: &[Model]) -> Markup {
    let find = |model: &Model| notes.iter().find(|note| note.name == model.name());
    let found: Vec<&ModelNote> = models.iter().filter_map(find).collect();
    html! {
        @if !found.is_empty() {
            p class="note made" {
                @if found.len() == 1 { "Model: " } @else { "Models: " }
                @for (k, note) in found.iter().enumerate() {
                    @if k > 0 { "; " }
                    (named(&note.name))
                    @for key in &note.references { " " (reference(key)) }
                }
            }
        }
    }
}

/// A model and where a formula of it is from, in the course of a line.
pub fn basis(model: &str, source: &str) -> Markup {
    html! { span class="made" { "Model: " (named(model)) ". Source: " (cited(source)) } }
}

/// Text whose keys in square brackets lead to their citations.
pub fn cited(text: &str) -> Markup {
    html! {
        @for (k, piece) in text.split('[').enumerate() {
            @match piece.split_once(']').filter(|(key, _)| k > 0 && references::citation(key).is_some()) {
                Some((key, rest)) => { (reference(key)) (rest) }
                None => { @if k > 0 { "[" } (piece) }
            }
        }
    }
}

/// The anchor of a model in the list of all.
pub fn anchor(name: &str) -> String {
    format!("model-{}", name.to_lowercase().replace(' ', "-"))
}

/// A key with a link to its citation.
pub fn reference(key: &str) -> Markup {
    html! { a class="nowrap" href={ "#ref-" (key) } { "[" (key) "]" } }
}

/// A model's name with a link to how good it is.
pub fn named(name: &str) -> Markup {
    html! { a class="nowrap" href={ "#" (anchor(name)) } { (name) } }
}
