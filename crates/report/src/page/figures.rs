//! What is told of every unit besides its events, group by group.

use crate::figure_rows::{Row, rows};
use maud::{Markup, html};
use reedmace_engine::answer::Answer;

/// Drivers named of each figure.
const DRIVERS: usize = 3;

/// A table of the figures of each group.
pub fn section(answer: &Answer) -> Markup {
    let rows = rows(answer);
    let groups: Vec<&[Row<'_>]> = rows.chunk_by(|a, b| a.one.group == b.one.group).collect();
    html! {
        @if !groups.is_empty() {
            section class="figures" {
                h2 { "Figures" }
                @for rows in &groups { (of_group(&rows[0].one.group, rows)) }
            }
        }
    }
}

fn of_group(group: &str, rows: &[Row<'_>]) -> Markup {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    for Row { name, one, .. } in rows {
        match said.iter_mut().find(|(about, _)| *about == one.about) {
            Some((_, names)) => names.push(name),
            None => said.push((&one.about, vec![name])),
        }
    }
    let several = rows.iter().any(|row| row.name != row.one.name);
    html! {
        div class="scroll" { table {
            caption {
                "Figures of the " (group) ": nominal, and low to high over the tolerances"
                @if several { "; where several contacts are told as one, what moves the first" }
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
            @for (about, names) in said {
                p class="note" { span class="strong" { (in_short(&names)) } ": " (about) }
            }
        }
    }
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
                @for end in row.ends() { span class="unit" { (end) "; " } }
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
