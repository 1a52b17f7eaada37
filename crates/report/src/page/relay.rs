//! A relay: its coil in section, and the voltages that it needs over temperature.

use super::made_by::made_by;
use crate::{figures, number::number};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{Answer, Band, Model, RelayRow};

/// The coil, the chart and the table; nothing without a relay.
pub fn section(answer: &Answer) -> Markup {
    let Some(relay) = &answer.relay else { return html! {} };
    html! {
        section {
            h2 { "The relay" }
            (made_by(&answer.models, &[Model::Windings, Model::WarmCoils, Model::Events, Model::WorstCase]))
            @if let Some(winding) = &relay.winding {
                figure { (PreEscaped(figures::draw_winding(winding, "winding").inline())) }
            }
            @if let Some(chart) = figures::draw_voltages(relay, "voltages") {
                figure { (PreEscaped(chart.inline())) }
            }
            div class="scroll" { table {
                caption { "Voltages across " (relay.coil) ": the last contact to close, the last to open; in brackets the limits of any contact in any unit" }
                thead { tr {
                    @for head in ["around, °C", "coil, Ω", "operate, V", "limits", "warmed, V", "release, V", "limits",
                        "power, mW", "rise, K"] {
                        th scope="col" class="n" { (head) }
                    }
                } }
                tbody { @for row in &relay.rows { (cells(row)) } }
            } }
            p class="note" {
                "Resistance, operate and release: the wire as warm as the surroundings. Warmed: the nominal coil, warmed \
                 through by its nominal supply; power and rise are those of that coil. The ampere-turns that a \
                 contact needs are taken as the same at all temperatures."
            }
        }
    }
}

fn cells(row: &RelayRow) -> Markup {
    let volts = |v: f64| number(v, "V");
    let limits = |band: &Band| format!("{} .. {}", volts(band.low), volts(band.high));
    html! {
        tr {
            td class="n" { (number(row.temperature, "°C")) }
            td class="n" { (number(row.resistance, "Ω")) }
            td class="n" { (row.operate.value.map_or_else(String::new, volts)) }
            td class="n" { (limits(&row.operate)) }
            td class="n" { (volts(row.operate_warmed)) }
            td class="n" { (row.release.value.map_or_else(String::new, volts)) }
            td class="n" { (limits(&row.release)) }
            td class="n" { (number(row.power, "mW")) }
            td class="n" { (number(row.rise, "K")) }
        }
    }
}
