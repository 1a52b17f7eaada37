//! A region in space as one binary frame.
//!
//! A frame is the length of its header (u32, little-endian), the header as JSON, zero bytes up to a
//! multiple of eight, then for each of the two surfaces, first where the contact closes, then where it is
//! held: x, y and z of its points (f32, mm), and the numbers of the corners of its triangles (u32), which
//! are wound so that normals point out.

use super::map::headed;
use reedmace_engine as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// What stands at the head of a region's frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RegionHeader {
    /// `region`.
    #[schemars(extend("const" = "region"))]
    pub say: &'static str,
    /// The text.
    pub rev: u64,
    /// Name of what is placed.
    pub moves: String,
    /// Name of the contact.
    pub contact: String,
    /// How many points and how many triangles the surface has within which the contact closes.
    pub closes: [usize; 2],
    /// The same for where a closed contact is held.
    pub holds: [usize; 2],
}

/// The frame of a region.
pub(crate) fn region_frame(region: &engine::Region, rev: u64) -> Vec<u8> {
    let surfaces = [&region.closes, &region.holds];
    let [closes, holds] = surfaces.map(|s| [s.points.len(), s.triangles.len()]);
    let (moves, contact) = (region.moves.clone(), region.contact.clone());
    let header = RegionHeader { say: "region", rev, moves, contact, closes, holds };
    let size = surfaces.map(|s| 12 * (s.points.len() + s.triangles.len()));
    let mut frame = headed(&header, size[0] + size[1]);
    for surface in surfaces {
        frame.extend(surface.points.iter().flatten().flat_map(|v| (*v as f32).to_le_bytes()));
        frame.extend(surface.triangles.iter().flatten().flat_map(|k| k.to_le_bytes()));
    }
    frame
}

#[cfg(test)]
mod tests {
    use super::*;
    use engine::Surface;

    #[test]
    fn prop_a_frame_has_both_surfaces_after_its_header() {
        let closes = Surface { points: vec![[1.0, 2.0, 3.0]; 3], triangles: vec![[0, 1, 2]] };
        let region = engine::Region {
            contact: "lid".into(),
            moves: "slug".into(),
            closes,
            holds: Surface::default(),
        };
        let frame = region_frame(&region, 7);
        let length = u32::from_le_bytes(frame[..4].try_into().expect("four bytes")) as usize;
        let header: serde_json::Value =
            serde_json::from_slice(&frame[4..4 + length]).expect("JSON");
        assert_eq!((&header["rev"], &header["closes"]), (&7.into(), &serde_json::json!([3, 1])));
        let body = &frame[(4 + length).next_multiple_of(8)..];
        assert_eq!(body.len(), 3 * 12 + 12);
        assert_eq!(body[4..8], 2.0_f32.to_le_bytes());
        assert_eq!(body[40..44], 1_u32.to_le_bytes());
    }
}
