//! The only door: realise a design into scenes, sweep them, find the events, judge the demands.
//!
//! ```
//! let text = reedmace_design::template("approach").unwrap();
//! let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
//! let (design, _) = reedmace_design::parse(text, &nothing).unwrap();
//! let options = reedmace_engine::Options { units: 20, ..Default::default() };
//! let study = reedmace_engine::check(&design, "lid.toml", &options, &|_, _| ()).unwrap();
//! assert!(!study.answer.contacts[0].events.is_empty());
//! ```

pub mod answer;
mod applied;
mod band;
mod bench;
mod beside;
mod blend;
mod borders;
mod check;
mod choose;
mod construction;
mod convert;
mod defeat;
mod draw;
pub mod drawing;
mod error;
mod facets;
mod fields;
mod float;
mod interior;
mod judge;
mod level;
mod levels;
mod life;
mod load;
pub mod map;
mod models;
mod motion;
mod opposing;
mod outcome;
mod overlap;
mod panels;
mod passing;
mod place;
mod polynomial;
mod quantity;
mod realise;
mod region;
mod room;
mod root;
mod rows;
mod saturation;
mod scene;
mod share;
mod shared;
mod solved;
mod sources;
mod spread;
mod spring;
mod steel;
mod stencil;
mod surface;
mod target;
mod timing;
mod together;
mod track;
mod units;
mod verdict;
mod warn;
mod warn_magnets;
mod winding;
mod working_point;
mod worst;

pub use answer::Answer;
pub use bench::{Bench, Glance, GlanceContact, GlanceEvent};
pub use check::{Options, Study, check};
pub use choose::{ChooseOptions, ChooseProgress, Choosing, choose};
pub use convert::{Converted, Sensitivity, Target, convert, test_coil};
pub use drawing::Drawing;
pub use error::EngineError;
pub use load::{Netlist, netlists};
pub use map::{Border, Map, MapPlan, MapRequest, Plane, map};
pub use place::{Movable, Placed, place};
pub use reedmace_contact::TestCoil;
pub use region::Region;
pub use spread::{BLOCK, FigureRow, Spread, SpreadOptions, Subject, Tally};
pub use surface::Surface;

/// JSON Schema of [`answer::SpreadAnswer`].
pub fn spread_schema() -> serde_json::Value {
    schemars::schema_for!(answer::SpreadAnswer).to_value()
}

/// JSON Schema of [`answer::ChooseAnswer`].
pub fn choose_schema() -> serde_json::Value {
    schemars::schema_for!(answer::ChooseAnswer).to_value()
}

/// JSON Schema of [`Answer`].
pub fn answer_schema() -> serde_json::Value {
    schemars::schema_for!(Answer).to_value()
}
