//! Style sheets: the classes of the figures, once with fixed colours for files that stand alone and
//! once with custom properties so that a page can turn them dark.

use crate::{
    figures::FINENESS,
    fonts,
    palette::{BAND_TINT, CLOSES_TINT, HOLDS_TINT, Tone},
};
use std::fmt::Write;

/// Classes of the figures; `paint` says how a tone is written (`#1d2430` or `var(--ink)`).
fn figure_classes(paint: &dyn Fn(Tone) -> String) -> String {
    let mut css = String::new();
    // Strokes first: a shape with both classes keeps its fill.
    for tone in Tone::ALL {
        let _ = writeln!(css, ".s-{}{{stroke:{};fill:none}}", tone.name(), paint(tone));
    }
    for tone in Tone::ALL {
        let _ = writeln!(css, ".f-{}{{fill:{}}}", tone.name(), paint(tone));
    }
    let (met, drive, paper) = (paint(Tone::Met), paint(Tone::Drive), paint(Tone::Paper));
    let _ = writeln!(
        css,
        ".hair{{stroke-width:.6}}.thin{{stroke-width:.9}}.line{{stroke-width:1.4}}.double{{stroke-width:2.8}}.bold{{stroke-width:2.4}}\
         .round{{stroke-linecap:round;stroke-linejoin:round}}\
         .dashed{{stroke-dasharray:6 4}}.dotted{{stroke-dasharray:1.5 3}}.hidden{{stroke-dasharray:4 2.5}}\
         .chain{{stroke-dasharray:14 3 2 3}}.ghost{{stroke-dasharray:12 3 2 3 2 3}}\
         .closes{{fill:{met};fill-opacity:{CLOSES_TINT}}}.holds{{fill:{met};fill-opacity:{HOLDS_TINT}}}\
         .band{{fill:{drive};fill-opacity:{BAND_TINT}}}.edge{{fill:{met};fill-opacity:.20}}\
         text{{font-family:{};font-size:12px;font-variant-numeric:tabular-nums}}\
         .strong{{font-weight:700}}.through{{fill-opacity:.82}}.head{{font-size:14px;font-weight:700}}\
         .fine text{{font-size:{}px}}.dashed-fine{{stroke-dasharray:{} {}}}\
         .halo{{paint-order:stroke;stroke:{paper};stroke-width:4px;stroke-linejoin:round}}",
        fonts::TEXT,
        12.0 * FINENESS,
        4.0 * FINENESS,
        2.5 * FINENESS,
    );
    css
}

/// Style of a figure that stands alone: on paper.
pub fn standalone() -> String {
    figure_classes(&|tone| tone.light().hex())
}

/// Style of a small figure on a light or a dark page.
pub fn picture(dark: bool) -> String {
    figure_classes(&|tone| if dark { tone.dark() } else { tone.light() }.hex())
}

/// Style of figures inside a page.
pub fn inline() -> String {
    figure_classes(&|tone| format!("var(--{})", tone.name()))
}

/// The palette as custom properties: light, dark when the reader's system asks for it, and always
/// light in print.
pub fn properties() -> String {
    let block = |colour: &dyn Fn(Tone) -> String| -> String {
        Tone::ALL.iter().map(|t| format!("--{}:{};", t.name(), colour(*t))).collect()
    };
    let light = block(&|t| t.light().hex());
    let dark = block(&|t| t.dark().hex());
    // Printed paper is its own background; the warm sheet would only cost ink.
    format!(
        ":root{{color-scheme:light dark;{light}}}\n\
         @media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}\n\
         @media print{{:root{{--paper:#ffffff}}}}\n"
    )
}
