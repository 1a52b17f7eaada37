//! The bundled fonts: subsets of Noto, OFL 1.1, made by `fonts/subset.sh`.

use base64::{Engine, engine::general_purpose::STANDARD};

/// Families for running text, in order of preference.
pub const TEXT: &str = "'Noto Sans','Noto Sans Math',sans-serif";
/// Families for the design text.
pub const MONO: &str = "'Noto Sans Mono',monospace";

/// The faces as TrueType, for rasterising.
pub const TRUETYPE: [&[u8]; 4] = [
    include_bytes!("../fonts/NotoSans-Regular.ttf"),
    include_bytes!("../fonts/NotoSans-Bold.ttf"),
    include_bytes!("../fonts/NotoSansMath-Regular.ttf"),
    include_bytes!("../fonts/NotoSansMono-Regular.ttf"),
];

/// The faces as `@font-face` rules with the data inside.
pub fn font_faces() -> String {
    let faces: [(&str, u32, &[u8]); 4] = [
        ("Noto Sans", 400, include_bytes!("../fonts/NotoSans-Regular.woff2")),
        ("Noto Sans", 700, include_bytes!("../fonts/NotoSans-Bold.woff2")),
        ("Noto Sans Math", 400, include_bytes!("../fonts/NotoSansMath-Regular.woff2")),
        ("Noto Sans Mono", 400, include_bytes!("../fonts/NotoSansMono-Regular.woff2")),
    ];
    faces
        .iter()
        .map(|(family, weight, data)| {
            format!(
                "@font-face{{font-family:'{family}';font-weight:{weight};\
                 src:url(data:font/woff2;base64,{}) format('woff2')}}\n",
                STANDARD.encode(data)
            )
        })
        .collect()
}
