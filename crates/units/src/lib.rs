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
//!
//! # What may be written
//!
//! | text | low, nominal, high | spread |
//! |---|---|---|
//! | `8 mm` | 8, 8, 8 mm | none |
//! | `8 ± 0.3 mm`, `8 +/- 0.3 mm`, `8 mm ± 300 um` | 7.7, 8, 8.3 mm | normal |
//! | `8 +0.5 -0.2 mm`, `8 mm -0.2/+0.5 mm` | 7.8, 8, 8.5 mm | normal |
//! | `1.2 T ± 5 %`, `1.2 T +5 -3 %` | 1.14, 1.2, 1.26 T (1.164, 1.2, 1.26 T) | normal |
//! | `20..25 AT`, `20 AT .. 25 AT` | 20, 22.5, 25 AT | uniform |
//! | `20 ± 5 °C`, `20 °C ± 9 °F` | 15, 20, 25 °C | normal |
//! | `<= 8 mm`, `≥ 22 mm`, `3..8 mm` | a [`Region`] | |
//!
//! - Numbers have a decimal point, may have a sign (`-` or `−`) and a power of ten (`1.5e-3`).
//!   Spaces of any width may stand between number, sign and unit, or not at all.
//! - The unit follows the number. A unit counts for every number before it that has none, so
//!   `123 ± 3 g` is 120 to 126 g; a number behind the last unit is refused.
//! - A percentage is of the nominal value's magnitude. It needs the nominal value's own unit:
//!   `1.2 T ± 5 %`, not `1.2 ± 5 % T`.
//! - The tolerance of a temperature is a difference: `9 °F` is 5 K. A percentage of kelvin is
//!   accepted; of °C or °F it is refused, because 5 % of 20 °C and of 293.15 K differ.
//! - A plain number ([`Ratio`]) has no unit or `%`: `5 %` is 0.05. `5000 ± 5 %` is 4750 to 5250. Up
//!   to 100, and where the nominal value is a percentage, a tolerance in per cent could as well be
//!   percentage points and is refused; write `0.2 ± 0.01` or `15..25 %`.
//! - Limits are worked out in decimal before the one conversion to SI: the high limit of
//!   `8 ± 0.3 mm` is `Length::mm(8.3)`, to the last bit.
//!
//! What can be read in two ways is refused, and the help shows both readings as they should be
//! written.
//!
//! # Codes
//!
//! | code | meaning | example |
//! |---|---|---|
//! | `Q0101` | nothing is written | |
//! | `Q0102` | a number is missing or something else stands in its place | `8 ± mm` |
//! | `Q0103` | not finite or beyond 1e±60 | `inf mm` |
//! | `Q0104` | grouped digits or a decimal comma; two numbers in a row | `1,000 mm` |
//! | `Q0105` | digits that are not a number, or more than 30 of them | `1.2.3 mm` |
//! | `Q0106` | a number without unit | `8 ± 0.3` |
//! | `Q0107` | the unit of another quantity | `13.0 mT` for a length |
//! | `Q0108` | unknown unit | `8 mmm` |
//! | `Q0109` | a unit in the wrong place | `1.2 ± 5 % T` |
//! | `Q0110` | a negative tolerance | `8 ± -0.3 mm` |
//! | `Q0111` | a range that runs backwards | `25..20 AT` |
//! | `Q0112` | a deviation on one side only, or a sum | `8 -0.2 mm` |
//! | `Q0113` | a range or a difference | `5-8 mm` |
//! | `Q0114` | two deviations of the same sign | `8 +0.5 +0.2 mm` |
//! | `Q0115` | more than one tolerance | `8 ± 0.3 mm ± 1 %` |
//! | `Q0116` | a percentage of a temperature in °C or °F | `20 °C ± 5 %` |
//! | `Q0117` | a percentage of the number, or percentage points | `20 ± 5 %` |
//! | `Q0118` | a percentage of zero | `0 mm ± 5 %` |
//! | `Q0119` | colder than absolute zero | `-300 °C` |
//! | `Q0120` | a limit where a value is wanted | `<= 8 mm` |
//! | `Q0121` | a value where a region is wanted | `8 mm` |
//! | `Q0122` | a region with a tolerance or two demands at once | `<= 8 ± 0.3 mm` |
//! | `Q0123` | a sign or further text without meaning | `(8 ± 0.3) mm` |

mod decimal;
mod form;
mod lookup;
mod meaning;
mod moved;
mod number;
mod quantity;
mod readings;
mod scan;
mod text;
mod widened;

pub use lookup::{QUANTITIES, QuantityInfo, unit_named, which_quantity};
pub use number::{format_band, format_in, format_number, format_si};
pub use quantity::*;
pub use text::*;
pub use widened::widened;
