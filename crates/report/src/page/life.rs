//! Life of the contacts by a test.

use crate::number::number;
use maud::{Markup, html};
use reedmace_engine::answer::{Answer, LifeTestAnswer};

/// What the test says; nothing of a design that states nothing of life.
pub fn section(answer: &Answer) -> Markup {
    let Some(life) = &answer.life else { return html! {} };
    html! {
        section class="life" {
            h2 { "Life" }
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
                td class="n strong" { (large(value)) }
                td class="n" { (large(low)) " to " (large(high)) }
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
            "Scale " (large(test.scale)) " operations. Maximum likelihood with units taken off the test counted, bounds \
             by the likelihood ratio [meeker1998]."
        }
    }
}

/// A number of operations: whole ones with their thousands apart.
pub fn large(value: f64) -> String {
    if value < 1e4 {
        return number(value, "");
    }
    let power = 10f64.powf(value.log10().floor() - 3.0);
    let digits = format!("{:.0}", (value / power).round() * power);
    let mut text = String::new();
    for (k, digit) in digits.chars().enumerate() {
        if k > 0 && (digits.len() - k) % 3 == 0 {
            text.push('\u{a0}');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    #[test]
    fn prop_large_numbers_keep_four_digits() {
        assert_eq!(super::large(1_234_567.0), "1\u{a0}235\u{a0}000");
        assert_eq!(super::large(2.1), "2.10");
        assert_eq!(super::large(12_345.6), "12\u{a0}350");
    }
}
