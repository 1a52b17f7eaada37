//! The only door: realise a design into a scene, sweep it, find the events, judge the demands.

pub mod answer;
mod borders;
pub mod drawing;
pub mod map;

pub use answer::Answer;
pub use drawing::Drawing;
pub use map::{Border, Map, MapRequest, Plane};
