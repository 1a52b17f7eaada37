//! The first sheet: arrangement, drive along the sweep, map, title block with its stamp.

use super::made_by::{DRIVE, made_by};
use super::{sign, verdict_of};
use crate::{Sheet, brief, csv, figures, number::with_unit};
use maud::{Markup, PreEscaped, html};

/// Letters beyond which a title is set smaller, to stay on its line.
const LONG_TITLE: usize = 44;

/// The drawing sheet.
pub fn drawing_sheet(sheet: &Sheet<'_>) -> Markup {
    let answer = sheet.answer;
    let arrangement = figures::draw_arrangement(answer, sheet.drawing);
    let scale = arrangement.scale.clone();
    let charts: Vec<(usize, Markup)> = brief::at_length(answer)
        .filter(|(_, contact)| brief::as_driven(answer, contact).is_none())
        .filter_map(|(index, _)| {
            let chart = figures::draw_sweep_chart(answer, index, &format!("sweep{index}"))?;
            Some((index, PreEscaped(chart.inline())))
        })
        .collect();
    let on_sheet = usize::from(arrangement.leaves_room);
    html! {
        div class="sheet" {
            figure { (PreEscaped(arrangement.canvas.inline())) }
            @for (_, chart) in charts.iter().take(on_sheet) { figure { (chart) } }
            (title_block(sheet, &scale))
        }
        div class="fresh" {}
        @for (_, chart) in charts.iter().skip(on_sheet) {
            section { figure { (chart) } (made_by(&answer.models, DRIVE)) }
        }
        @if let Some(map) = sheet.map {
            section {
                figure {
                    (PreEscaped(figures::draw_map(answer, sheet.drawing, map, None).inline()))
                }
                (made_by(&answer.models, DRIVE))
            }
        }
        @for (index, _) in &charts {
            details {
                summary { "Drive of " (answer.contacts[*index].name) " along the sweep as CSV" }
                pre tabindex="0" { (csv::trace(answer, &answer.contacts[*index])) }
            }
        }
    }
}

fn title_block(sheet: &Sheet<'_>, scale: &str) -> Markup {
    let answer = sheet.answer;
    let made = &answer.provenance;
    let sweep = &answer.sweep;
    let (tone, word) = verdict_of(answer.verdict);
    let model = answer.models.first();
    let short: String = made.design_sha256.chars().take(16).collect();
    html! {
        dl class="block" {
            (cell("w9", "Title", html! {
                h1 class=[(answer.title.chars().count() > LONG_TITLE).then_some("long")] { (answer.title) }
            }))
            div class="cell stamp-cell" {
                dt class="sr" { "Verdict" }
                dd class={ "stamp v-" (tone.name()) @if word.len() > 8 { " wide" } } {
                    @if let Some(verdict) = answer.verdict { (sign(verdict)) " " }
                    (word)
                }
            }
            (cell("w5", "Sweep", html! {
                (sweep.coordinate) ", from " (with_unit(sweep.from, &sweep.unit))
                " to " (with_unit(sweep.to, &sweep.unit))
            }))
            (cell("w2", "Scale", html! { (scale) span class="note" { ", first angle" } }))
            (cell("w2", "Date", html! { (sheet.date) }))
            (cell("w3", "Design file", html! {
                code { (made.design) } br;
                span class="note" {
                    "sha256 " code { (short) } "…" br;
                    "made by Reedmace " (made.version) ", seed " (made.seed)
                }
            }))
            (cell("w9 last", "Model", html! {
                @if let Some(model) = model {
                    // In full under "Model accuracy"; here it must leave the sheet on one page.
                    div class="small" { (model.name) ": " (model.how) }
                    div class="note" { (model.accuracy.split(';').next().unwrap_or_default()) }
                    (made_by(&answer.models, DRIVE))
                } @else { "–" }
            }))
        }
    }
}

fn cell(class: &str, label: &str, value: Markup) -> Markup {
    html! {
        div class={ "cell " (class) } { dt { (label) } dd { (value) } }
    }
}
