//! Magnets of a grade: where they work on their curve at both ends of the temperature range.

use super::made_by::made_by;
use crate::{
    brief::{self, Alike},
    figures,
    number::{number, unit_label, with_unit},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{Answer, MagnetAnswer, MagnetState, Model};

/// The table of states and a figure for each magnet; nothing when no magnet has a grade.
pub fn section(answer: &Answer) -> Markup {
    let alike = brief::magnets(&answer.magnets);
    html! {
        @if !answer.magnets.is_empty() {
            section {
                h2 { "Magnets at temperature" }
                (made_by(&answer.models, &[Model::Grades, Model::WorkingPoints]))
                p {
                    "Each magnet's inside is sampled all over, at the place of the sweep where its own field \
                     and that of all others oppose it most. Room is what is left before the knee of its \
                     curve, in parts of the knee's field; what lies beyond the knee loses strength for good."
                }
                (table(answer, &alike))
                @for index in alike.iter().filter_map(|alike| place(answer, alike.one)) {
                    @if let Some(figure) = figures::draw_load_line(answer, index, &format!("load{index}")) {
                        figure { (PreEscaped(figure.inline())) }
                    }
                }
                p class="note" {
                    @for alike in &alike { (coefficients(alike)) " " }
                    "The curve is two straight lines, so that a loss is an estimate: the real knee is \
                     round, and grade values are those of the table. H along the polarization, negative where \
                     it opposes; permeance is −B/(μ0 H) of the mean, the slope of the load line of B."
                }
            }
        }
    }
}

/// Where a magnet stands among all.
fn place(answer: &Answer, magnet: &MagnetAnswer) -> Option<usize> {
    answer.magnets.iter().position(|other| other.name == magnet.name)
}

fn table(answer: &Answer, alike: &[Alike<'_, MagnetAnswer>]) -> Markup {
    html! {
        div class="scroll" { table class="dense" {
            caption { "Fields in kA/m" }
            thead { tr {
                th scope="col" { "Magnet" }
                @for head in ["°C", "Br, T", "HcJ", "knee", "permeance", "mean H", "mean B, T", "worst H",
                    "room, mean", "room, worst", "beyond knee", "lost for good"] {
                    th scope="col" class="n" { (head) }
                }
            } }
            tbody { @for magnet in alike { @for state in &magnet.one.states {
                (row(answer, &magnet.names, state))
            } } }
        } }
    }
}

fn row(answer: &Answer, names: &str, state: &MagnetState) -> Markup {
    let percent = |value: f64| with_unit(value, "%");
    let class = |value: f64| if value < 0.0 { "n flag" } else { "n" };
    html! {
        tr {
            th scope="row" class="strong" {
                (names)
                @if let Some(at) = state.worst_at {
                    br;
                    span class="note nowrap" {
                        "worst at " (number(at, &answer.sweep.unit)) " " (unit_label(&answer.sweep.unit))
                    }
                }
            }
            td class="n" { (number(state.temperature, "°C")) }
            td class="n" { (number(state.remanence, "T")) }
            td class="n" { (number(state.intrinsic_coercivity, "kA/m")) }
            td class="n" { (number(state.knee, "kA/m")) }
            td class="n" {
                @if let Some(slope) = state.permeance_coefficient { (number(slope, "")) } @else { "–" }
            }
            td class="n" { (number(state.mean.h, "kA/m")) }
            td class="n" { (number(state.mean.b, "T")) }
            td class="n" { (number(state.worst.h, "kA/m")) }
            td class=(class(state.mean.knee_margin)) { (percent(state.mean.knee_margin)) }
            td class=(class(state.worst.knee_margin)) { (percent(state.worst.knee_margin)) }
            td class=(class(-state.beyond_knee)) { (percent(state.beyond_knee)) }
            td class=(class(-state.loss)) { (percent(state.loss)) }
        }
    }
}

fn coefficients(alike: &Alike<'_, MagnetAnswer>) -> Markup {
    let magnet = alike.one;
    html! {
        (alike.names) ", " (magnet.grade) ": remanence "
        (number(magnet.remanence_drift, "%/K")) " %/K, coercivity "
        (number(magnet.coercivity_drift, "%/K")) " %/K, recoil permeability "
        (number(magnet.recoil_permeability, "")) "."
    }
}
