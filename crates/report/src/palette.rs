//! The colours of the drawing office, in one place: on paper and on the dark board.
//!
//! Everything is also said by word, shape or hatching, so that a print in black and white loses
//! nothing.

/// An sRGB colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rgb(pub u8, pub u8, pub u8);

impl Rgb {
    /// As CSS and SVG write it: `#1d2430`.
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Relative luminance by WCAG 2 `[wcag22]`, from 0 (black) to 1 (white).
    pub fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// What the eye sees when this colour lies over `under` with `opacity` from 0 to 1.
    pub fn over(self, under: Self, opacity: f64) -> Self {
        let mix =
            |a: u8, b: u8| (f64::from(a) * opacity + f64::from(b) * (1.0 - opacity)).round() as u8;
        Self(mix(self.0, under.0), mix(self.1, under.1), mix(self.2, under.2))
    }
}

/// Contrast ratio of two colours by WCAG 2 `[wcag22]`, from 1 to 21.
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (a.luminance(), b.luminance());
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// What a colour is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The sheet.
    Paper,
    /// Text and outlines.
    Ink,
    /// Captions and notes: less loud than ink, still text.
    Faded,
    /// Rules and grid; never text.
    Hairline,
    /// A demand met; regions where the contact closes or holds.
    Met,
    /// A demand some units miss.
    AtRisk,
    /// A demand missed.
    Missed,
    /// The drive.
    Drive,
}

impl Tone {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Paper,
        Self::Ink,
        Self::Faded,
        Self::Hairline,
        Self::Met,
        Self::AtRisk,
        Self::Missed,
        Self::Drive,
    ];

    /// Its name in class names and custom properties.
    pub fn name(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Ink => "ink",
            Self::Faded => "faded",
            Self::Hairline => "hairline",
            Self::Met => "met",
            Self::AtRisk => "at-risk",
            Self::Missed => "missed",
            Self::Drive => "drive",
        }
    }

    /// On paper.
    pub fn light(self) -> Rgb {
        match self {
            Self::Paper => Rgb(0xfb, 0xfa, 0xf6),
            Self::Ink => Rgb(0x1d, 0x24, 0x30),
            Self::Faded => Rgb(0x55, 0x5b, 0x66),
            Self::Hairline => Rgb(0xc9, 0xc4, 0xb8),
            Self::Met => Rgb(0x2f, 0x6b, 0x4f),
            Self::AtRisk => Rgb(0x8f, 0x5c, 0x10),
            Self::Missed => Rgb(0xa3, 0x3b, 0x2a),
            Self::Drive => Rgb(0x3b, 0x5b, 0x92),
        }
    }

    /// On the dark board.
    pub fn dark(self) -> Rgb {
        match self {
            Self::Paper => Rgb(0x14, 0x18, 0x1d),
            Self::Ink => Rgb(0xe8, 0xe4, 0xda),
            Self::Faded => Rgb(0xa6, 0xac, 0xb3),
            Self::Hairline => Rgb(0x3a, 0x42, 0x4c),
            Self::Met => Rgb(0x6f, 0xbf, 0x97),
            Self::AtRisk => Rgb(0xe0, 0xa8, 0x4a),
            Self::Missed => Rgb(0xea, 0x85, 0x73),
            Self::Drive => Rgb(0x8f, 0xb0, 0xe6),
        }
    }
}

/// Opacity of the tint where the contact closes.
pub const CLOSES_TINT: f64 = 0.18;
/// Opacity of the tint where a closed contact holds.
pub const HOLDS_TINT: f64 = 0.08;
/// Opacity of the fill of a band.
pub const BAND_TINT: f64 = 0.16;
/// Tones that are printed as text.
pub const TEXT: [Tone; 6] =
    [Tone::Ink, Tone::Faded, Tone::Met, Tone::AtRisk, Tone::Missed, Tone::Drive];
