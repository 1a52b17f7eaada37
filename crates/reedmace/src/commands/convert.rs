//! `reedmace convert`

use crate::{
    cli::Shared,
    failure::Failure,
    output,
    tasks::{self, ConvertWish},
};
use clap::Args;
use std::{path::PathBuf, process::ExitCode};

/// Say a sensitivity in another unit: another test coil, a field, a distance from a magnet.
///
/// How ampere-turns and millitesla compare depends on the contact: its blades and leads collect
/// the field along their whole length. So every conversion is for one contact, which is named in
/// the output.
#[derive(Debug, Args)]
#[command(after_help = "\
Targets, for --to:
  uniform                   mT of uniform field along the contact
  AT 20 mm x 8 mm           ampere-turns in a coil 20 mm long, 8 mm mean diameter
  mT 20 mm x 8 mm           mT at the centre of that coil
  magnet NAME               distance from a magnet of the catalogue

Examples:
  reedmace convert \"30 AT\" --coil \"25 mm x 9.25 mm\" --to uniform
  reedmace convert \"20..25 AT\" --coil \"25 mm x 9.25 mm\" --to \"AT 20 mm x 8 mm\" --to uniform
  reedmace convert \"2.1 mT\" --design lid.toml --contact lid --to \"AT 25 mm x 9.25 mm\"

`reedmace catalogue` lists the families and magnets.")]
pub(crate) struct Convert {
    /// The sensitivity in AT (with --coil) or in mT, with or without tolerance.
    #[arg(value_name = "SENSITIVITY")]
    from: String,
    /// The coil it is stated in, as \"LENGTH x MEAN DIAMETER\"; mT are then those at its centre,
    /// without a coil those of a uniform field.
    #[arg(long, value_name = "L x D")]
    coil: Option<String>,
    /// In what to say it; may be given several times.
    #[arg(long, value_name = "TARGET", default_value = "uniform")]
    to: Vec<String>,
    /// Contact family of the catalogue [default: named in the output].
    #[arg(long, value_name = "NAME", conflicts_with = "design")]
    family: Option<String>,
    /// Take the contact from this design instead; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    design: Option<PathBuf>,
    /// Which contact of the design, by name [default: the first].
    #[arg(long, value_name = "NAME", requires = "design")]
    contact: Option<String>,
}

impl Convert {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        let converted = tasks::convert(
            &ConvertWish {
                from: &self.from,
                coil: self.coil.as_deref(),
                to: &self.to,
                family: self.family.as_deref(),
                design: self.design.as_deref(),
                contact: self.contact.as_deref(),
            },
            shared,
        )?;
        if shared.json {
            output::json(&converted)?;
        } else {
            output::print(&converted.text())?;
        }
        Ok(ExitCode::SUCCESS)
    }
}
