//! Design files: TOML to a checked design, with diagnostics that point into the text.
//!
//! ```
//! let text = reedmace_design::template("approach").unwrap();
//! let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
//! let (design, warnings) = reedmace_design::parse(text, &nothing).unwrap();
//! assert_eq!(design.contacts.len(), 1);
//! assert!(warnings.is_empty());
//!
//! let faulty = text.replace("sweep", "sweeep");
//! let faults = reedmace_design::parse(&faulty, &nothing).unwrap_err();
//! let shown = reedmace_design::render_short(&faults, "lid.toml", &faulty);
//! assert!(shown.contains("error[G0002]: a design has no `sweeep`"));
//! ```
//!
//! Every key, with its range, default and meaning, is described once in [`keys`]; that description
//! feeds the reader, its messages, [`json_schema()`] and [`file_reference`].

mod basis;
pub mod catalogue;
mod check_contact;
mod check_steel;
mod check_whole;
mod choose;
pub mod codes;
mod construction;
mod diagnostic;
mod door;
mod faults;
mod figures;
mod files;
mod json_schema;
pub mod keys;
mod latch;
mod level;
mod life;
mod load;
mod measured;
mod model;
mod motion;
mod naming;
mod poses;
mod quantities;
mod reach;
mod read_choose;
mod read_circle;
mod read_coil;
mod read_construction;
mod read_contact;
mod read_correlation;
mod read_demand;
mod read_design;
mod read_door;
mod read_latch;
mod read_level;
mod read_life;
mod read_load;
mod read_mixture;
mod read_relay;
mod read_repeat;
mod read_rotor;
mod read_sources;
mod read_steel;
mod read_sweep;
mod read_target;
mod read_winding;
mod reader;
mod reference;
mod relay;
mod render;
mod rotor;
pub mod schema;
mod solid;
mod steel;
mod target;
mod templates;
mod value;

pub use basis::{Basis, Model};
pub use catalogue::Catalogue;
pub use choose::*;
pub use construction::{Construction, ConstructionFigure, Fill};
pub use diagnostic::{Diagnostic, Label, Severity, line_column};
pub use door::Door;
pub use figures::{COLDEST, End, Figure};
pub use files::Load;
pub use json_schema::json_schema;
pub use latch::Latch;
pub use level::*;
pub use life::*;
pub use load::*;
pub use model::*;
pub use motion::*;
pub use read_design::{FORMAT, parse, parse_with};
pub use reference::file_reference;
pub use relay::*;
pub use render::{JsonDiagnostic, JsonLabel, render_short, render_text, to_json};
pub use rotor::*;
pub use steel::*;
pub use target::Target;
pub use templates::{TEMPLATES, template};
pub use value::{Part, SourceMark, Value};
