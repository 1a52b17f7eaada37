//! How a relay's contacts close and open.

use super::made_by::made_by;
use crate::{figures, number::number};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{Answer, Model, MovingContact, SuppressionRow, TimingAnswer};

/// The motion of the first contact, the times of all, and what suppression costs; nothing without a motion.
pub fn section(answer: &Answer) -> Markup {
    let Some(timing) = &answer.timing else { return html! {} };
    html! {
        section {
            h2 { "Closing and opening" }
            (made_by(&answer.models, &[Model::Times]))
            @for finding in &timing.findings { p { (finding) } }
            @if let Some(first) = timing.contacts.first() {
                figure { (PreEscaped(figures::draw_motion(first, "motion").inline())) }
            }
            (contacts(timing))
            (suppressions(timing))
            p class="note" {
                "One mass on one spring, each contact followed alone, iron that does not saturate; bounce is a band over \
                 the stated restitution and knows nothing of the blades' higher modes. Inductance of the coil: "
                (number(timing.open_inductance, "mH")) " mH with open contacts, "
                (number(timing.closed_inductance, "mH")) " mH with closed ones."
            }
        }
    }
}

fn contacts(timing: &TimingAnswer) -> Markup {
    let heads = [
        "operate, ms",
        "bounce, ms",
        "least to most",
        "release, ms",
        "impact, m/s",
        "on its spring, Hz",
    ];
    let row = |one: &MovingContact| {
        let ms = |value: f64| number(value, "ms");
        html! {
            tr {
                th scope="row" { (one.contact) }
                td class="n strong" { (ms(one.operate)) }
                td class="n" { (ms(one.bounce[1])) }
                td class="n" { (ms(one.bounce[0])) " to " (ms(one.bounce[2])) }
                td class="n strong" { (ms(one.release)) }
                td class="n" { (number(one.impact, "m/s")) }
                td class="n" { (number(one.frequency, "Hz")) }
            }
        }
    };
    html! {
        div class="scroll" { table {
            caption { "Times of the nominal relay; their limits over all tolerances stand among the figures" }
            thead { tr {
                th scope="col" { "" }
                @for head in heads { th scope="col" class="n" { (head) } }
            } }
            tbody { @for one in &timing.contacts { (row(one)) } }
        } }
    }
}

fn suppressions(timing: &TimingAnswer) -> Markup {
    let row = |row: &SuppressionRow| {
        html! {
            tr {
                th scope="row" { (row.kind) @if row.stated { " (this design)" } }
                td { (row.parts) }
                td class="n strong" { (number(row.release, "ms")) }
                td class="n" {
                    @match row.peak {
                        Some(volts) => { (number(volts, "V")) },
                        None => { "unbounded" },
                    }
                }
                td class="n" { (number(row.standing, "mW")) }
            }
        }
    };
    html! {
        div class="scroll" { table {
            caption { "What suppression of the coil costs in release time: the last contact to part" }
            thead { tr {
                th scope="col" { "" }
                th scope="col" { "Parts" }
                th scope="col" class="n" { "release, ms" }
                th scope="col" class="n" { "across the switch, V" }
                th scope="col" class="n" { "while on, mW" }
            } }
            tbody { @for one in &timing.suppressions { (row(one)) } }
        } }
    }
}
