//! What a contact switches: its ratings with the rules, what it goes through, what protects it.

use super::made_by::{cited, made_by};
use super::verdict;
use crate::{
    brief, figures,
    number::{number, unit_label},
};
use maud::{Markup, PreEscaped, html};
use reedmace_engine::answer::{
    Answer, LoadAnswer, LoadRule, Model, PartAnswer, ProtectionAnswer, Switching, Tried,
};

/// A section for each load; nothing without any.
pub fn section(answer: &Answer) -> Markup {
    html! { @for (k, load) in answer.loads.iter().enumerate() { (one(answer, load, k)) } }
}

fn one(answer: &Answer, load: &LoadAnswer, k: usize) -> Markup {
    let figure = figures::draw_waveforms(load, &format!("load{k}"));
    html! {
        section class="load" {
            h2 { "The load: " (load.name) }
            (made_by(&answer.models, &[Model::Loads]))
            p { "Switched by " (load.contact) ": " (load.about) "." }
            @for finding in &load.findings { p { (finding) } }
            div class="scroll" { table {
                caption {
                    "Ratings of the contact against the load"
                    @if let Some(with) = &load.protection { ", protected with \"" (with.kind) "\"" }
                    ", low to high over the tolerances of both"
                }
                thead { tr {
                    th scope="col" { "Rule" }
                    th scope="col" class="n" { "Left side" }
                    th scope="col" { "Right side" }
                    th scope="col" class="n" { "Share, %" }
                    th scope="col" { "Verdict" }
                } }
                tbody { @for (k, rule) in load.rules.iter().enumerate() { (row(rule, &load.rules[..k])) } }
            } }
            figure { (PreEscaped(figure.inline())) }
            (gone_through(load))
            @if let Some(protection) = &load.protection { (parts(protection)) }
            div class="scroll" { table {
                caption { "What each kind of protection would do, sized by its rule" }
                thead { tr {
                    th scope="col" { "Kind" }
                    th scope="col" { "Parts" }
                    th scope="col" class="n" { "Opening, V" }
                    th scope="col" class="n" { "Arc, ms" }
                    th scope="col" class="n" { "Closing, A" }
                    th scope="col" { "" }
                } }
                tbody { @for tried in &load.tried { (tried_row(tried)) } }
            } }
            p class="note" {
                "What it goes through, and each kind of protection, is followed once, with every quantity of the \
                 load at its hardest; the ratings are of all units. The contact moves at once and does not bounce; a \
                 narrow gap that breaks down again after an arc is not counted."
            }
        }
    }
}

/// A source longer than this is told once, characters.
const LONG: usize = 60;

/// `above`: the rules before it.
fn row(rule: &LoadRule, above: &[LoadRule]) -> Markup {
    let (value, share) = (&rule.value, &rule.share);
    let told = |other: &LoadRule| other.source == rule.source && rule.source.len() > LONG;
    html! {
        tr {
            th scope="row" { (rule.rule) br; span class="note" {
                @match above.iter().find(|other| told(other)) {
                    Some(other) => { "source as of " (other.rule) }
                    None => { (cited(&rule.source)) }
                }
            } }
            td class="n" {
                (number(value.low, &value.unit)) " to " (number(value.high, &value.unit))
                " " span class="unit" { (unit_label(&value.unit)) }
            }
            td { (rule.limit) }
            td class="n" { (brief::share(share)) }
            td { (verdict(rule.verdict)) }
        }
    }
}

fn gone_through(load: &LoadAnswer) -> Markup {
    let with = load.protection.as_ref();
    let cells = |words: &str, switching: &Switching| {
        let (opens, closes) = (&switching.opens, &switching.closes);
        let burns = opens.arc > 0.0;
        html! {
            tr {
                th scope="row" { (words) }
                td class="n" { (number(opens.peak_voltage, "V")) }
                td class="n" { @if burns { (number(opens.arc, "ms")) } @else { "none" } }
                td class="n" { @if burns { (number(opens.energy, "mJ")) } @else { "–" } }
                td class="n" { (number(closes.peak_current, "A")) }
                td class="n" { (number(closes.energy, "mJ")) }
            }
        }
    };
    html! {
        div class="scroll" { table {
            caption { "What the contact goes through" }
            thead { tr {
                th scope="col" { "" }
                th scope="col" class="n" { "Opening, V" }
                th scope="col" class="n" { "Arc, ms" }
                th scope="col" class="n" { "Energy, mJ" }
                th scope="col" class="n" { "Closing, A" }
                th scope="col" class="n" { "Energy, mJ" }
            } }
            tbody {
                (cells("without protection", &load.bare))
                @if let Some(with) = with { (cells(&format!("with {}", with.kind), &with.with)) }
            }
        } }
    }
}

fn parts(protection: &ProtectionAnswer) -> Markup {
    let row = |part: &PartAnswer| {
        html! {
            tr {
                th scope="row" { (part.name) }
                td class="n strong" { (part.value) }
                td { "at least " (part.ratings.join(", ")) }
            }
        }
    };
    html! {
        div class="scroll" { table {
            caption { "Parts of the protection \"" (protection.kind) "\", with twice what they take" }
            thead { tr {
                th scope="col" { "Part" }
                th scope="col" class="n" { "Value" }
                th scope="col" { "Rated" }
            } }
            tbody { @for part in &protection.parts { (row(part)) } }
        } }
        p class="note" { (protection.rule) "." }
    }
}

fn tried_row(tried: &Tried) -> Markup {
    html! {
        tr {
            th scope="row" { (tried.kind) }
            @match &tried.done {
                Some(done) => {
                    td { (tried.parts) }
                    td class="n" { (number(done.peak_voltage, "V")) }
                    td class="n" {
                        @if done.arc > 0.0 { (number(done.arc, "ms")) } @else { "none" }
                    }
                    td class="n" { (number(done.peak_current, "A")) }
                    td {
                        @if done.mends() { span class="strong" { "mends it" } } @else { (done.fails) }
                    }
                }
                None => { td colspan="5" { (tried.parts) } }
            }
        }
    }
}
