//! A figure as a bitmap, with the bundled fonts and nothing from the machine it runs on.

use crate::fonts;
use resvg::{tiny_skia, usvg};

/// Why there is no bitmap.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The text is not a drawing.
    #[error("not a readable SVG: {0}")]
    Svg(#[from] usvg::Error),
    /// The scale makes a bitmap of no or of unreasonable size.
    #[error("a scale of {scale} makes {width} × {height} pixels; between 1 and 20000 are possible")]
    Size {
        /// The scale asked for.
        scale: f32,
        /// Pixels across.
        width: f32,
        /// Pixels down.
        height: f32,
    },
    /// The bitmap could not be written as PNG.
    #[error("PNG encoding failed: {0}")]
    Encode(String),
}

/// Draw an SVG at `scale` pixels per CSS pixel (96 per inch) and encode it as PNG.
pub fn png(svg: &str, scale: f32) -> Result<Vec<u8>, PngError> {
    let mut options = usvg::Options { font_family: "Noto Sans".into(), ..Default::default() };
    for face in fonts::TRUETYPE {
        options.fontdb_mut().load_font_data(face.to_vec());
    }
    options.fontdb_mut().set_sans_serif_family("Noto Sans");
    options.fontdb_mut().set_monospace_family("Noto Sans Mono");
    let tree = usvg::Tree::from_str(svg, &options)?;
    let (width, height) =
        ((tree.size().width() * scale).ceil(), (tree.size().height() * scale).ceil());
    let within = |pixels: f32| (1.0..=20_000.0).contains(&pixels);
    let bitmap = if within(width) && within(height) {
        tiny_skia::Pixmap::new(width as u32, height as u32)
    } else {
        None
    };
    let mut bitmap = bitmap.ok_or(PngError::Size { scale, width, height })?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut bitmap.as_mut());
    bitmap.encode_png().map_err(|e| PngError::Encode(e.to_string()))
}
