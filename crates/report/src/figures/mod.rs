//! Figures as SVG: the arrangement, the drive along the sweep, the map of a plane.
//!
//! Each function gives a drawing that stands alone as a file: on paper, true to scale when printed
//! at 100 %. Inside the report the same drawings follow the reader's light or dark screen.

mod arrangement;
mod bodies;
mod canvas;
mod conductor;
mod detail;
mod dimensions;
mod float;
mod front;
mod geometry;
mod histogram;
mod labels;
mod latch;
mod load_line;
mod map;
mod measure;
mod motion;
mod names;
mod over_time;
mod path;
mod plot;
mod pulses;
mod relay;
mod room;
mod steel;
mod stray;
mod sweep;
mod tank;
mod target;
mod turn;
mod waveform;
mod winding;

use reedmace_engine::{Answer, Drawing, Map, Plane, answer::ChooseAnswer};

pub(crate) use arrangement::draw as draw_arrangement;
pub(crate) use canvas::PAPER_WIDTH_MM;
pub use histogram::{MOST, most_of};
pub(crate) use histogram::{
    event as draw_event_spread, figure as draw_figure_spread, room as draw_room_spread,
};
pub(crate) use latch::draw as draw_latch;
pub(crate) use load_line::draw as draw_load_line;
pub(crate) use map::draw as draw_map;
pub(crate) use motion::draw as draw_motion;
pub(crate) use plot::FINENESS;
pub(crate) use pulses::draw as draw_pulses;
pub(crate) use relay::draw as draw_voltages;
pub(crate) use sweep::draw as draw_sweep_chart;
pub(crate) use tank::draw as draw_tank;
pub(crate) use target::draw as draw_target;
pub(crate) use waveform::draw as draw_waveforms;
pub(crate) use winding::draw as draw_winding;

/// The arrangement in elevation (x and z) and plan (x and y), to one stated scale.
pub fn arrangement(answer: &Answer, drawing: &Drawing) -> String {
    draw_arrangement(answer, drawing).canvas.standalone()
}

/// The arrangement as a small picture without words, for a light or a dark page.
pub fn thumbnail(drawing: &Drawing, dark: bool) -> String {
    arrangement::draw_small(drawing).picture(dark)
}

/// The drive of one contact along the sweep; `None` when there is no such contact or it has no trace.
pub fn sweep_chart(answer: &Answer, contact: usize) -> Option<String> {
    draw_sweep_chart(answer, contact, "sweep").map(canvas::Canvas::standalone)
}

/// A level stem in its tank and what it reads both ways; `None` but for a level sweep.
pub fn tank(answer: &Answer, drawing: &Drawing) -> Option<String> {
    draw_tank(answer, drawing, "tank").map(canvas::Canvas::standalone)
}

/// The closed and held regions of a plane, with a title block of its own.
pub fn map(answer: &Answer, drawing: &Drawing, map: &Map, date: &str) -> String {
    draw_map(answer, drawing, map, Some(date)).standalone()
}

/// Cost against room of what a choice has tried.
pub fn front(answer: &ChooseAnswer) -> String {
    front::draw(answer, "front").standalone()
}

/// Names of the axes of a plane: across, up.
pub(crate) fn plane_axes(plane: Plane) -> (&'static str, &'static str) {
    match plane {
        Plane::Xy => ("x", "y"),
        Plane::Xz => ("x", "z"),
        Plane::Yz => ("y", "z"),
    }
}
