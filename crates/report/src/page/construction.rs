//! What a contact's construction is worth.

use super::made_by::{cited, made_by};
use crate::number::{number, signed, unit_label};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, ConstructionAnswer, ConstructionRow, FigureAnswer, Model};

/// A section for each contact that states its construction; nothing without any.
pub fn section(answer: &Answer) -> Markup {
    html! { @for one in &answer.construction { (of(answer, one)) } }
}

/// The figures that a row of a contact's construction tells too, one of each contact that is made so.
fn figures_of<'a>(
    answer: &'a Answer,
    one: &'a ConstructionAnswer,
    row: &'a ConstructionRow,
) -> impl Iterator<Item = &'a FigureAnswer> {
    let names = one.contacts.iter().map(|contact| format!("{} of {contact}", row.what));
    names.filter_map(|name| answer.figures.iter().find(|figure| figure.name == name))
}

/// True of a figure that stands in the table of a construction.
pub fn tells(answer: &Answer, figure: &FigureAnswer) -> bool {
    let rows =
        answer.construction.iter().flat_map(|one| one.rows.iter().map(move |row| (one, row)));
    rows.into_iter()
        .any(|(one, row)| figures_of(answer, one, row).any(|known| std::ptr::eq(known, figure)))
}

/// From the lowest to the highest of all contacts; nothing of what is no figure.
fn over_tolerances(answer: &Answer, one: &ConstructionAnswer, row: &ConstructionRow) -> String {
    let limits = figures_of(answer, one, row).map(|figure| [figure.value.low, figure.value.high]);
    let all = limits.reduce(|[low, high], [a, b]| [low.min(a), high.max(b)]);
    let told = |value: f64| number(value, &row.unit);
    match all {
        None => String::new(),
        Some([low, high]) if told(low) == told(high) => "no tolerance".into(),
        Some([low, high]) => format!("{} to {}", told(low), told(high)),
    }
}

fn of(answer: &Answer, one: &ConstructionAnswer) -> Markup {
    let toleranced = one.rows.iter().any(|row| figures_of(answer, one, row).next().is_some());
    html! {
        section class="construction" {
            h2 { "Construction of " (one.contacts.join(", ")) }
            (made_by(&answer.models, &[Model::Construction]))
            @for finding in &one.findings { p { (finding) } }
            div class="scroll" { table {
                caption {
                    "At nominal dimensions, low to high by what is not known of the materials"
                    @if toleranced { "; then over the tolerances, of materials as they are likeliest" }
                }
                thead { tr {
                    th scope="col" { "" }
                    th scope="col" class="n" { "Likeliest" }
                    th scope="col" class="n" { "Low to high" }
                    @if toleranced { th scope="col" class="n" { "Over tolerances" } }
                    th scope="col" { "Source" }
                } }
                tbody { @for row in &one.rows {
                    tr {
                        th scope="row" { (row.what) }
                        td class="n strong" { (number(row.value, &row.unit)) }
                        td class="n" {
                            @if row.low != row.high {
                                (number(row.low, &row.unit)) " to " (number(row.high, &row.unit)) " "
                            }
                            span class="unit" { (unit_label(&row.unit)) }
                        }
                        @if toleranced { td class="n" { (over_tolerances(answer, one, row)) } }
                        td { (cited(&row.source)) }
                    }
                } }
            } }
            @if !one.worth.is_empty() {
                div class="scroll keep" { table {
                    caption { "What a micrometre is worth in the test coil" }
                    thead { tr {
                        th scope="col" { "More of" }
                        th scope="col" class="n" { "Operate, AT" }
                        th scope="col" class="n" { "Release, AT" }
                        th scope="col" class="n" { "Force at operate, mN" }
                    } }
                    tbody { @for worth in &one.worth {
                        tr {
                            th scope="row" { (worth.of) }
                            td class="n" { (signed(worth.operate, "AT/µm")) }
                            td class="n" { (signed(worth.release, "AT/µm")) }
                            td class="n" { (signed(worth.force, "mN/µm")) }
                        }
                    } }
                } }
                p class="note" {
                    "The contact's circuit solved anew beside a spring that is put so that the nominal contact operates \
                     where it is stated to; blades that lie flat on each other, without friction or magnetic memory."
                }
            }
        }
    }
}
