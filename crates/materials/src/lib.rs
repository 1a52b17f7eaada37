//! Magnet grades, soft alloys, contact metals, wire, glasses and liquids: data files with a source per row.
//!
//! Every figure is a toleranced quantity and every row says where it is from ([`Origin`]). The
//! built-in tables can be extended or overridden by a user's own text:
//!
//! ```
//! use reedmace_materials::Grades;
//! let grades = Grades::builtin();
//! let grade = grades.find("NdFeB 240/80").unwrap();
//! assert_eq!(grade.family, "NdFeB");
//! assert_eq!(grades.nearest("NdFeB 240/81"), Some("NdFeB 240/80"));
//! ```

mod alloys;
mod bh_curves;
mod contact_metals;
mod demagnetization;
mod glasses;
mod grades;
mod kinds;
mod liquids;
mod rows;
mod water;
mod wires;

pub use alloys::{Alloys, SoftAlloy};
pub use bh_curves::{MagnetizationCurve, MagnetizationCurves};
pub use contact_metals::{ContactMetal, ContactMetals};
pub use demagnetization::DemagnetizationCurve;
pub use glasses::{Glass, Glasses};
pub use grades::{Grade, Grades, REFERENCE_TEMPERATURE};
pub use kinds::{ElasticModulus, EnergyProduct, Hardness, PerKelvin, Resistivity};
pub use liquids::{LIQUID_TEMPERATURE, Liquid, Liquids};
pub use rows::{Basis, DataError, Origin};
pub use water::density as water_density;
pub use wires::{EnamelGrade, EnamelledWire, WireMetal, WireMetals, Wires};
