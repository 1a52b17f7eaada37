//! The bundled fonts: subsets of Noto, OFL 1.1, made by `fonts/subset.sh`.

use base64::{Engine, engine::general_purpose::STANDARD};

/// Families for running text, in order of preference.
pub(crate) const TEXT: &str = "'Noto Sans','Noto Sans Math',sans-serif";
/// Families for the design text.
pub(crate) const MONO: &str = "'Noto Sans Mono',monospace";

/// The faces as TrueType, for rasterising.
pub(crate) const TRUETYPE: [&[u8]; 4] = [
    include_bytes!("../fonts/NotoSans-Regular.ttf"),
    include_bytes!("../fonts/NotoSans-Bold.ttf"),
    include_bytes!("../fonts/NotoSansMath-Regular.ttf"),
    include_bytes!("../fonts/NotoSansMono-Regular.ttf"),
];

/// A face as a page fetches it.
#[derive(Debug, Clone, Copy)]
pub struct Face {
    /// Its family.
    pub family: &'static str,
    /// Its weight.
    pub weight: u32,
    /// What its file is called.
    pub file: &'static str,
    /// Its file, WOFF2.
    pub data: &'static [u8],
}

macro_rules! face {
    ($family:literal, $weight:literal, $file:literal) => {
        Face {
            family: $family,
            weight: $weight,
            file: $file,
            data: include_bytes!(concat!("../fonts/", $file)),
        }
    };
}

/// The faces for pages.
pub const FACES: [Face; 4] = [
    face!("Noto Sans", 400, "NotoSans-Regular.woff2"),
    face!("Noto Sans", 700, "NotoSans-Bold.woff2"),
    face!("Noto Sans Math", 400, "NotoSansMath-Regular.woff2"),
    face!("Noto Sans Mono", 400, "NotoSansMono-Regular.woff2"),
];

/// The faces as `@font-face` rules with the data inside.
pub(crate) fn font_faces() -> String {
    FACES
        .iter()
        .map(|Face { family, weight, data, .. }| {
            format!(
                "@font-face{{font-family:'{family}';font-weight:{weight};\
                 src:url(data:font/woff2;base64,{}) format('woff2')}}\n",
                STANDARD.encode(data)
            )
        })
        .collect()
}
