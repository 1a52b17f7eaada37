//! The design text itself, with line numbers that the tables link to.

use crate::Sheet;
use maud::{Markup, html};

/// The design file, word for word.
pub fn section(sheet: &Sheet<'_>) -> Markup {
    html! {
        section class="fresh" {
            h2 { "Design " code { (sheet.answer.provenance.design) } }
            ol class="listing" {
                @for (i, line) in sheet.design_text.lines().enumerate() {
                    li id={ "line-" (i + 1) } { (line) }
                }
            }
        }
    }
}
