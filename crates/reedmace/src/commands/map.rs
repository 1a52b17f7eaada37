//! `reedmace map`

use crate::{
    cli::Shared,
    failure::Failure,
    input::{Beside, Source},
    output,
    tasks::{self, MapWish},
};
use clap::{Args, ValueEnum};
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    str::FromStr,
};

/// Draw where the contact closes and where it holds, for every place of what moves.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace map lid.toml                       writes lid.map.svg
  reedmace map lid.toml --plane xz --offset \"0 mm\" -o lid.svg -o lid.csv
  reedmace map lid.toml --extent \"-40..40 mm x 0..30 mm\" --cells 400x150 -o lid.png
  reedmace map gate.toml --contact upper --json > upper.json")]
pub(crate) struct Map {
    /// The design; `-` is standard input.
    file: PathBuf,
    /// The plane, named by the axes to the right and up.
    #[arg(long, value_enum, default_value = "xz")]
    plane: Plane,
    /// Where the plane cuts the third axis [default: where the sweep starts].
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    offset: Option<String>,
    /// What the map covers, as \"LEFT..RIGHT mm x BOTTOM..TOP mm\" [default: contact and sweep].
    #[arg(long, value_name = "A..B x C..D", allow_hyphen_values = true)]
    extent: Option<String>,
    /// Places across and up.
    #[arg(long, value_name = "NxM", default_value = "200x120")]
    cells: Cells,
    /// Which contact, by name [default: the first].
    #[arg(long, value_name = "NAME")]
    contact: Option<String>,
    /// Where to write it, as .svg, .png or .csv; may be given several times
    /// [default: NAME.map.svg in the current directory].
    #[arg(short, long, value_name = "FILE")]
    output: Vec<PathBuf>,
}

/// The planes, as asked for.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Plane {
    /// x to the right, y up
    Xy,
    /// x to the right, z up
    Xz,
    /// y to the right, z up
    Yz,
}

/// `200x120`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cells(pub(crate) [usize; 2]);

impl FromStr for Cells {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let count = |part: &str| part.trim().parse().ok().filter(|n| (2..=4000).contains(n));
        let parts = text.split_once(['x', '×']);
        parts
            .and_then(|(across, up)| Some(Self([count(across)?, count(up)?])))
            .ok_or_else(|| "write two counts from 2 to 4000, such as 200x120".into())
    }
}

impl Map {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let source = Source::new(&self.file);
        let files = self.files(&source, shared)?;
        let design = tasks::read(&source, &Beside::new(&source), shared)?;
        let wish = MapWish {
            plane: self.plane,
            offset: self.offset.as_deref(),
            extent: self.extent.as_deref(),
            cells: self.cells.0,
            contact: self.contact.as_deref(),
            drawn: files.iter().any(|(_, form)| *form != Form::Csv),
        };
        let drawn = tasks::map(&design, &wish)?;
        for (path, form) in &files {
            output::write(path, &drawn.file(*form)?)?;
        }
        if shared.json {
            output::json(drawn.map())?;
        } else {
            let lines: String =
                files.iter().map(|(path, _)| format!("Wrote {}\n", path.display())).collect();
            output::print(&lines)?;
        }
        Ok(ExitCode::SUCCESS)
    }

    /// What to write and in which form; with `--json` nothing unless asked for.
    fn files(&self, source: &Source, shared: &Shared) -> Result<Vec<(PathBuf, Form)>, Failure> {
        if self.output.is_empty() && !shared.json {
            return Ok(vec![(PathBuf::from(format!("{}.map.svg", source.stem())), Form::Svg)]);
        }
        self.output.iter().map(|path| Ok((path.clone(), Form::of(path)?))).collect()
    }
}

/// A form a map can be written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Svg,
    Png,
    Csv,
}

impl Form {
    fn of(path: &Path) -> Result<Self, Failure> {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("svg") => Ok(Self::Svg),
            Some("png") => Ok(Self::Png),
            Some("csv") => Ok(Self::Csv),
            _ => Err(Failure::Refused(format!(
                "{}: a map is written as .svg, .png or .csv",
                path.display()
            ))),
        }
    }
}
