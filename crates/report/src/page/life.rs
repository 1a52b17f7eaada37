//! Life of the contacts by a test.

use super::made_by::made_by;
use crate::number::number;
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, LifeTestAnswer, Model};

/// What the test says; nothing of a design that states nothing of life.
pub fn section(answer: &Answer) -> Markup {
    let Some(life) = &answer.life else { return html! {} };
    html! {
        section class="life" {
            h2 { "Life" }
            (made_by(&answer.models, &[Model::Life]))
            @if let Some(test) = &life.test { (table(test)) }
            @for said in &life.says { p { (said) } }
        }
    }
}

fn table(test: &LifeTestAnswer) -> Markup {
    let load = test.load.as_deref().unwrap_or("not stated");
    let row = |words: &str, [value, low, high]: [f64; 3]| {
        html! {
            tr {
                th scope="row" { (words) }
                td class="n strong" { (number(value, "")) }
                td class="n" { (number(low, "")) " to " (number(high, "")) }
            }
        }
    };
    html! {
        div class="scroll" { table {
            caption {
                "Weibull distribution of " (test.units) " units, " (test.failures) " of which failed; load: " (load)
            }
            thead { tr {
                th scope="col" { "" }
                th scope="col" class="n" { "Likeliest" }
                th scope="col" class="n" { (number(test.confidence_percent, "%")) " % bounds" }
            } }
            tbody {
                (row("shape", test.shape))
                (row("B10, operations", test.b10))
            }
        } }
        p class="note" {
            "Scale " (number(test.scale, "")) " operations. Maximum likelihood with units taken off the test counted, bounds \
             by the likelihood ratio."
        }
    }
}
