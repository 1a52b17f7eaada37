//! The closed and held regions of a plane: for every place of what moves, does the contact close?

pub use crate::borders::borders;
use serde::Serialize;

/// A plane through the arrangement, named by the two world axes it spans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Plane {
    /// x to the right, y up.
    Xy,
    /// x to the right, z up.
    Xz,
    /// y to the right, z up.
    Yz,
}

/// Which map to make.
#[derive(Debug, Clone)]
pub struct MapRequest {
    /// The plane.
    pub plane: Plane,
    /// Where the plane cuts the third axis, m; `None` takes the place where the sweep starts.
    pub offset: Option<f64>,
    /// Left, right, bottom, top of the plane, m; `None` frames the contact and the path.
    pub extent: Option<[f64; 4]>,
    /// Poses across and up.
    pub cells: [usize; 2],
    /// Index of the contact.
    pub contact: usize,
}

/// A map: row-major grids, `values[row * across + column]`, row 0 at the bottom.
#[derive(Debug, Clone, Serialize)]
pub struct Map {
    /// The plane.
    pub plane: Plane,
    /// Where it cuts the third axis, mm.
    pub offset_mm: f64,
    /// Name of what is placed.
    pub moves: String,
    /// Name of the contact.
    pub contact: String,
    /// Positions across, mm.
    pub across_mm: Vec<f64>,
    /// Positions up, mm.
    pub up_mm: Vec<f64>,
    /// Drive of the open contact, mT.
    #[serde(rename = "drive_open_mT")]
    pub drive_open: Vec<f64>,
    /// Drive of the closed contact, mT.
    #[serde(rename = "drive_closed_mT")]
    pub drive_closed: Vec<f64>,
    /// Operate level: low, nominal, high, mT.
    #[serde(rename = "operate_mT")]
    pub operate: [f64; 3],
    /// Release level: low, nominal, high, mT.
    #[serde(rename = "release_mT")]
    pub release: [f64; 3],
}

/// A border: polylines in mm, `[across, up]`; closed ones repeat their first point.
pub type Border = Vec<Vec<[f64; 2]>>;
