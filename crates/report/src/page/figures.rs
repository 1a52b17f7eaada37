//! What is told of every unit besides its events, group by group.

use super::construction;
use super::made_by::{basis, cited, named};
use crate::figure_rows::{Row, rows};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, FigureAnswer, Model};

/// Drivers named of each figure.
const DRIVERS: usize = 3;

/// A table of the figures of each group.
pub fn section(answer: &Answer) -> Markup {
    let rows: Vec<Row<'_>> =
        rows(answer).into_iter().filter(|row| !construction::tells(answer, row.one)).collect();
    let groups: Vec<&[Row<'_>]> = rows.chunk_by(|a, b| a.one.group == b.one.group).collect();
    html! {
        @if !groups.is_empty() {
            section class="figures" {
                h2 { "Figures" }
                p class="note" {
                    "Each with the model that makes it and where its formula is from"
                    @if answer.models.iter().any(|note| note.name == Model::WorstCase.name()) {
                        "; low to high by "
                        (named(Model::WorstCase.name()))
                    }
                    "."
                }
                @for rows in &groups { (of_group(&rows[0].one.group, rows)) }
            }
        }
    }
}

fn of_group(group: &str, rows: &[Row<'_>]) -> Markup {
    let mut said: Vec<(&FigureAnswer, Vec<&str>)> = Vec::new();
    for Row { name, one, .. } in rows {
        let alike = |known: &FigureAnswer| known.about == one.about && made_alike(known, one);
        match said.iter_mut().find(|(known, _)| alike(known)) {
            Some((_, names)) => names.push(name),
            None => said.push((one, vec![name])),
        }
    }
    // What all of a group share is told once.
    let first = rows[0].one;
    let one_model = rows.iter().all(|row| row.one.model == first.model);
    let one_source = one_model && rows.iter().all(|row| row.one.source == first.source);
    let several = rows.iter().any(|row| row.name != row.one.name);
    html! {
        div class="scroll" { table {
            caption {
                "Figures of the " (group) ": nominal, and low to high over the tolerances"
                @if several { "; where several contacts are told as one, what moves the first" }
                @if one_source {
                    ". " (basis(&first.model, &first.source))
                } @else if one_model {
                    span class="made" { ". Model: " (named(&first.model)) }
                }
            }
            thead { tr {
                th scope="col" { "Figure" }
                th scope="col" class="n" { "Nominal" }
                th scope="col" class="n" { "Low to high" }
                th scope="col" { "What moves it most" }
            } }
            tbody { @for row in rows { (told(row)) } }
        } }
        div class="abouts" {
            @for (one, names) in said {
                p class="note" {
                    span class="strong" { (in_short(&names)) } ": " (one.about)
                    @if !one_model {
                        " " (basis(&one.model, &one.source))
                    } @else if !one_source {
                        span class="made" { " Source: " (cited(&one.source)) }
                    }
                }
            }
        }
    }
}

/// True of figures that one model makes from the same source.
fn made_alike(a: &FigureAnswer, b: &FigureAnswer) -> bool {
    (&a.model, &a.source) == (&b.model, &b.source)
}

/// The first of several names, and how many more there are.
fn in_short(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first, second] => format!("{first}, {second}"),
        [first, more @ ..] => format!("{first} and {} more", more.len()),
    }
}

fn told(row: &Row<'_>) -> Markup {
    let figure = row.one;
    let [low, high] = row.limits();
    html! {
        tr {
            th scope="row" { (row.name) }
            td class="n strong" {
                @if let Some(nominal) = row.nominal() { (nominal) (row.unit()) } @else { "none" }
            }
            td class="n" {
                (low) @if low != high { " to " (high) }
                span class="unit" { (row.unit()) }
            }
            td {
                @for (k, end) in row.ends().iter().enumerate() {
                    @if k > 0 { "; " }
                    span class="unit" { (end) }
                }
                @if !row.ends().is_empty() && !figure.drivers.is_empty() { "; " }
                @if !figure.in_every_unit { span class="flag" { "some units only" } " " }
                @if !figure.monotone {
                    span class="flag" { "not monotone: the corners may not bound it" } " "
                }
                @for (k, driver) in figure.drivers.iter().take(DRIVERS).enumerate() {
                    @if k > 0 { ", " }
                    code { (driver.path) }
                }
            }
        }
    }
}
