//! The report: figures as SVG and PNG, tables as CSV, and one self-contained HTML page that carries
//! its input, its provenance and its cautions.
//!
//! Nothing here computes physics: every number comes from the engine's [`Answer`], every place from
//! its [`Drawing`], every region from its [`Map`].

pub mod brief;
pub mod csv;
pub mod ends;
pub mod figure_rows;
pub mod figures;
pub mod fonts;
pub mod number;
mod page;
pub mod palette;
mod png;
mod references;
mod shard;
pub mod spread_rows;
mod style;

pub use png::{PngError, png};
use reedmace_engine::{Answer, Drawing, Map, answer::SpreadAnswer};
pub use shard::{Shard, ShardError};

/// What a report is made of.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The answers.
    pub answer: &'a Answer,
    /// Where everything is.
    pub drawing: &'a Drawing,
    /// The design file, word for word.
    pub design_text: &'a str,
    /// A map to show on the sheet.
    pub map: Option<&'a Map>,
    /// What many units do.
    pub spread: Option<&'a SpreadAnswer>,
    /// The date in the title block, as it is to be printed.
    pub date: &'a str,
}

/// The report as one HTML page: no scripts, nothing fetched, light and dark, ready for A4.
pub fn html(sheet: &Sheet<'_>) -> String {
    page::render(sheet)
}
