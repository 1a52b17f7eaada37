//! What is told of every unit besides its events, group by group.

use crate::{
    brief,
    number::{number, unit_label, with_unit},
};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, FigureAnswer};

/// Drivers named of each figure.
const DRIVERS: usize = 3;

/// A table of the figures of each group.
pub fn section(answer: &Answer) -> Markup {
    let mut groups: Vec<(&str, Vec<&FigureAnswer>)> = Vec::new();
    for figure in brief::figures(answer) {
        match groups.last_mut().filter(|(group, _)| *group == figure.group) {
            Some((_, figures)) => figures.push(figure),
            None => groups.push((&figure.group, vec![figure])),
        }
    }
    html! {
        @if !groups.is_empty() {
            section class="figures" {
                h2 { "Figures" }
                @for (group, figures) in &groups { (of_group(group, figures)) }
            }
        }
    }
}

fn of_group(group: &str, figures: &[&FigureAnswer]) -> Markup {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    for figure in figures {
        match said.iter_mut().find(|(about, _)| *about == figure.about) {
            Some((_, names)) => names.push(&figure.name),
            None => said.push((&figure.about, vec![&figure.name])),
        }
    }
    html! {
        div class="scroll" { table {
            caption { "Figures of the " (group) ": nominal, and low to high over the tolerances" }
            thead { tr {
                th scope="col" { "Figure" }
                th scope="col" class="n" { "Nominal" }
                th scope="col" class="n" { "Low to high" }
                th scope="col" { "What moves it most" }
            } }
            tbody { @for figure in figures { (row(figure)) } }
        } }
        @for (about, names) in said {
            p class="note" { span class="strong" { (in_short(&names)) } ": " (about) }
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

fn row(figure: &FigureAnswer) -> Markup {
    let band = &figure.value;
    html! {
        tr {
            th scope="row" { (figure.name) }
            td class="n strong" {
                @if let Some(value) = band.value { (with_unit(value, &band.unit)) } @else { "none" }
            }
            td class="n" {
                (number(band.low, &band.unit)) " to " (number(band.high, &band.unit))
                " " span class="unit" { (unit_label(&band.unit)) }
            }
            td {
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
