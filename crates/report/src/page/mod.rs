//! The report as one self-contained page.

mod answers;
mod cautions;
mod construction;
mod css;
mod door;
mod figures;
mod latch;
mod level;
mod life;
mod listing;
mod load;
mod made_by;
mod magnets;
mod notes;
mod relay;
mod rotor;
mod sheet;
mod spread;
mod steel;
mod target;
mod timing;
mod tolerances;

use crate::{Sheet, palette::Tone};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use reedmace_engine::answer::Verdict;

/// The whole report.
pub fn render(sheet: &Sheet<'_>) -> String {
    let answer = sheet.answer;
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(format!("Reedmace {}", answer.provenance.version));
                title { (answer.title) " – drive, operate and release" }
                link rel="icon" href="data:,";
                style { (PreEscaped(css::sheet())) }
            }
            body {
                main {
                    (sheet::drawing_sheet(sheet))
                    (answers::section(answer))
                    (level::section(answer, sheet.drawing))
                    (figures::section(answer))
                    (door::section(answer))
                    (rotor::section(answer, sheet.drawing))
                    (latch::section(answer))
                    (relay::section(answer))
                    (timing::section(answer))
                    (construction::section(answer))
                    (load::section(answer))
                    (life::section(answer))
                    (target::section(answer, sheet.drawing))
                    (steel::section(answer))
                    (magnets::section(answer))
                    (tolerances::section(answer))
                    (spread::section(sheet.spread))
                    (notes::assumptions(answer))
                    (notes::models(answer, sheet.spread))
                    (notes::warnings(answer))
                    (cautions::section())
                    (notes::references(answer, sheet.spread))
                    (listing::section(sheet))
                }
                (footer(sheet))
            }
        }
    };
    markup.into_string()
}

/// Tone and word of a verdict; a design that demands nothing has none.
pub(crate) fn verdict_of(verdict: Option<Verdict>) -> (Tone, &'static str) {
    match verdict {
        Some(Verdict::Met) => (Tone::Met, Verdict::Met.word()),
        Some(Verdict::AtRisk) => (Tone::AtRisk, Verdict::AtRisk.word()),
        Some(Verdict::Missed) => (Tone::Missed, Verdict::Missed.word()),
        None => (Tone::Faded, "no demands"),
    }
}

/// A verdict as sign, word and colour: a tick in a circle, a mark of exclamation in a triangle, a
/// cross in a square.
fn verdict(verdict: Verdict) -> Markup {
    let (tone, word) = verdict_of(Some(verdict));
    html! {
        span class={ "verdict v-" (tone.name()) } { (sign(verdict)) " " (word) }
    }
}

/// The shape of a verdict.
fn sign(verdict: Verdict) -> Markup {
    let tone = verdict_of(Some(verdict)).0.name();
    let (outline, mark) = match verdict {
        Verdict::Met => ("M8 1a7 7 0 1 0 0 14a7 7 0 1 0 0-14Z", "M4.5 8.2l2.4 2.5L11.5 5.4"),
        Verdict::AtRisk => ("M8 1.5L15.2 14.5H.8Z", "M8 6v4.4M8 12v1"),
        Verdict::Missed => ("M1.5 1.5H14.5V14.5H1.5Z", "M4.6 4.6l6.8 6.8M11.4 4.6l-6.8 6.8"),
    };
    html! {
        svg class="sign" viewBox="0 0 16 16" aria-hidden="true" {
            path class={ "s-" (tone) } stroke-width="1.5" d=(outline) {}
            path class={ "s-" (tone) } stroke-width="2" d=(mark) {}
        }
    }
}

fn footer(sheet: &Sheet<'_>) -> Markup {
    let made = &sheet.answer.provenance;
    html! {
        footer {
            p {
                "Made by Reedmace " (made.version) " on " (sheet.date) " from " code { (made.design) }
                ", sha256 " code class="hash" { (made.design_sha256) } ", seed " (made.seed) ", "
                (made.scenes) " scenes evaluated. A design aid: qualification testing decides."
            }
        }
    }
}
