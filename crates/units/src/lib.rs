//! Quantities, the text they are written in and the tolerance they carry.
//!
//! SI inside, units at the door: every quantity is a newtype over an `f64` in its SI unit, and every
//! number a user writes is text with a unit and, if known, a tolerance.
//!
//! ```
//! use reedmace_units::{Length, Toleranced};
//! let gap: Toleranced<Length> = "8 ± 0.3 mm".parse().unwrap();
//! assert_eq!(gap.nominal, Length::mm(8.0));
//! assert_eq!(gap.high, Length::mm(8.3));
//! assert_eq!(gap.to_string(), "8 ± 0.3 mm");
//! ```

mod quantity;
mod text;

pub use quantity::*;
pub use text::*;
