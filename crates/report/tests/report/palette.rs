//! Contrast of every pair of colours that carries meaning, by the formula of WCAG 2 [wcag22].

use reedmace_report::palette::{BAND_TINT, CLOSES_TINT, HOLDS_TINT, Rgb, TEXT, Tone, contrast};

/// Level AA for text of ordinary size.
const AA: f64 = 4.5;

#[test]
fn val_contrast_of_black_on_white_is_21() {
    assert!((contrast(Rgb(0, 0, 0), Rgb(255, 255, 255)) - 21.0).abs() < 1e-12);
    // #777777 on white: the best-known grey that just fails, 4.48.
    assert!((contrast(Rgb(0x77, 0x77, 0x77), Rgb(255, 255, 255)) - 4.48).abs() < 5e-3);
}

#[test]
fn prop_every_text_tone_passes_aa_on_both_backgrounds_and_on_their_tints() {
    for (mode, of) in [("light", Tone::light as fn(Tone) -> Rgb), ("dark", Tone::dark)] {
        let paper = of(Tone::Paper);
        let met = of(Tone::Met);
        let grounds = [
            ("paper", paper),
            ("closes", met.over(paper, CLOSES_TINT)),
            ("holds", met.over(paper, HOLDS_TINT)),
            ("drive band", of(Tone::Drive).over(paper, BAND_TINT)),
        ];
        for tone in TEXT {
            // Figures put only ink on tints; every tone is text on paper.
            for (name, ground) in grounds.iter().filter(|g| g.0 == "paper" || tone == Tone::Ink) {
                let ratio = contrast(of(tone), *ground);
                assert!(ratio >= AA, "{mode}: {} on {name} is {ratio:.2}", tone.name());
            }
        }
    }
}

#[test]
fn prop_print_is_darker_on_white_than_on_the_sheet() {
    for tone in TEXT {
        let white = contrast(tone.light(), Rgb(255, 255, 255));
        assert!(white >= contrast(tone.light(), Tone::Paper.light()));
    }
}
