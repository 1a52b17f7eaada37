//! What a contact's construction is worth.

use super::made_by::{cited, made_by};
use crate::number::{number, signed, unit_label};
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, ConstructionAnswer, Model};

/// A section for each contact that states its construction; nothing without any.
pub fn section(answer: &Answer) -> Markup {
    html! { @for one in &answer.construction { (of(answer, one)) } }
}

fn of(answer: &Answer, one: &ConstructionAnswer) -> Markup {
    html! {
        section class="construction" {
            h2 { "Construction of " (one.contacts.join(", ")) }
            (made_by(&answer.models, &[Model::Construction]))
            @for finding in &one.findings { p { (finding) } }
            div class="scroll" { table {
                caption { "At nominal dimensions; low to high by what is not known of the materials" }
                thead { tr {
                    th scope="col" { "" }
                    th scope="col" class="n" { "Likeliest" }
                    th scope="col" class="n" { "Low to high" }
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
                        td { (cited(&row.source)) }
                    }
                } }
            } }
            @if !one.worth.is_empty() {
                div class="scroll" { table {
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
