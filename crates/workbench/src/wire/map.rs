//! A map as one binary frame.
//!
//! A frame is the length of its header (u32, little-endian), the header as JSON, zero bytes up to a
//! multiple of eight, then the grids as f32, little-endian, row by row from the bottom: drive of the
//! open contact (mT), drive of the closed contact (mT), room (mm).

use super::Plane;
use reedmace_engine as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// What stands at the head of a map's frame.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MapHeader {
    /// `map`.
    #[schemars(extend("const" = "map"))]
    pub say: &'static str,
    /// The text.
    pub rev: u64,
    /// The drag, or `null` for the text as it is.
    pub seq: Option<u64>,
    /// The design beside the text that it is of, or `null` for the text's own.
    pub beside: Option<u64>,
    /// True when a finer one of the same follows unless something newer is asked.
    pub coarse: bool,
    /// The plane.
    pub plane: Plane,
    /// Where it cuts the third axis, mm.
    pub offset: f64,
    /// First and last place across, mm, and how many.
    pub across: (f64, f64, usize),
    /// First and last place up, mm, and how many.
    pub up: (f64, f64, usize),
    /// Operate level: low, nominal, high, mT.
    pub operate: [f64; 3],
    /// Release level: low, nominal, high, mT.
    pub release: [f64; 3],
    /// Name of what is placed.
    pub moves: String,
    /// Name of the contact.
    pub contact: String,
}

/// Whose map it is.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct MapOf {
    pub rev: u64,
    pub seq: Option<u64>,
    pub beside: Option<u64>,
    pub coarse: bool,
}

/// The frame of a map.
pub(crate) fn map_frame(map: &engine::Map, of: MapOf) -> Vec<u8> {
    let MapOf { rev, seq, beside, coarse } = of;
    let ends = |line: &[f64]| (line[0], line[line.len() - 1], line.len());
    let header = MapHeader {
        say: "map",
        rev,
        seq,
        beside,
        coarse,
        plane: map.plane.into(),
        offset: map.offset_mm,
        across: ends(&map.across_mm),
        up: ends(&map.up_mm),
        operate: map.operate,
        release: map.release,
        moves: map.moves.clone(),
        contact: map.contact.clone(),
    };
    let mut frame = headed(&header, 12 * map.drive_open.len());
    for grid in [&map.drive_open, &map.drive_closed, &map.room] {
        frame.extend(grid.iter().flat_map(|v| (*v as f32).to_le_bytes()));
    }
    frame
}

/// A frame that holds its header only, with room for so many bytes more.
pub(super) fn headed(header: &impl Serialize, more: usize) -> Vec<u8> {
    let header = serde_json::to_vec(header).expect("a header of plain data");
    let mut frame = Vec::with_capacity(12 + header.len() + more);
    frame.extend((header.len() as u32).to_le_bytes());
    frame.extend(header);
    frame.resize(frame.len().next_multiple_of(8), 0);
    frame
}

impl From<engine::Plane> for Plane {
    fn from(plane: engine::Plane) -> Self {
        match plane {
            engine::Plane::Xy => Self::Xy,
            engine::Plane::Xz => Self::Xz,
            engine::Plane::Yz => Self::Yz,
        }
    }
}

impl From<Plane> for engine::Plane {
    fn from(plane: Plane) -> Self {
        match plane {
            Plane::Xy => Self::Xy,
            Plane::Xz => Self::Xz,
            Plane::Yz => Self::Yz,
        }
    }
}
