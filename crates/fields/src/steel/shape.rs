//! Shapes of steel, and their surfaces cut into panels.

use std::f64::consts::PI;

use super::boxes::boxes_facets;
use super::mesh::mesh_facets;
use super::near::refined;
use super::panel::{Panel, dot};
use super::{AxisBox, SteelError, SteelShape};
use crate::error::{positive, tube};

/// A panel in its body's frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Facet {
    /// Corners; see [`Panel`].
    pub corner: [[f64; 3]; 4],
    /// Which closed surface of the body it belongs to.
    pub group: usize,
    /// The axis it is normal to, if its edges run along the other two.
    pub axis: Option<usize>,
}

impl Facet {
    /// A facet whose normal points to the side of `outward`.
    fn facing(corner: [[f64; 3]; 4], outward: [f64; 3]) -> Self {
        let [a, b, c, d] = corner;
        let turned = dot(Panel::new(corner).normal, outward) < 0.0;
        // A triangle keeps its double corner first and last.
        let corner = match (turned, a == d) {
            (false, _) => corner,
            (true, true) => [a, c, b, a],
            (true, false) => [a, d, c, b],
        };
        Self { corner, group: 0, axis: None }
    }
}

/// `n` intervals on [`low`, `high`], finer towards both ends: there the charge grows like the distance
/// to the power −1/3.
pub(super) fn graded(low: f64, high: f64, n: usize) -> Vec<f64> {
    let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
    let mut steps: Vec<f64> =
        (0..=n).map(|i| middle - half * (PI * i as f64 / n as f64).cos()).collect();
    (steps[0], steps[n]) = (low, high);
    steps
}

/// The surface in about `aim` facets, finer towards the places `near` (m).
pub(super) fn facets(
    shape: &SteelShape,
    aim: usize,
    near: &[[f64; 3]],
) -> Result<Vec<Facet>, SteelError> {
    // Boxes are cut along their planes from end to end; of the others half of the facets are halves.
    let first = if near.is_empty() { aim } else { aim / 2 };
    let facets = match shape {
        SteelShape::Cuboid { half_size } => {
            for &half in half_size {
                positive("half size", half)?;
            }
            let one = AxisBox { low: half_size.map(|h| -h), high: *half_size };
            return boxes_facets(&[one], aim, near);
        }
        SteelShape::Boxes { boxes } => return boxes_facets(boxes, aim, near),
        SteelShape::Cylinder { radius, half_length } => {
            positive("radius", *radius)?;
            positive("half length", *half_length)?;
            round(0.0, *radius, *half_length, first)
        }
        SteelShape::Tube { inner_radius, outer_radius, half_length } => {
            tube(*inner_radius, *outer_radius, *half_length)?;
            round(*inner_radius, *outer_radius, *half_length, first)
        }
        SteelShape::Sphere { radius } => {
            positive("radius", *radius)?;
            sphere(*radius, first)
        }
        SteelShape::Mesh { triangles } => mesh_facets(triangles, first)?,
    };
    Ok(if near.is_empty() { facets } else { refined(facets, aim, near) })
}

/// The finest of a family of cuts, from `first` on, that has no more than `aim` facets.
fn finest(first: usize, aim: usize, count: impl Fn(usize) -> usize) -> usize {
    (first..).take_while(|&n| count(n) <= aim).last().unwrap_or(first)
}

/// A cylinder (`inner` = 0) or tube about z as a prism of as many sides as keep its panels compact, with
/// the round body's area of cross-section.
fn round(inner: f64, outer: f64, half_length: f64, aim: usize) -> Vec<Facet> {
    // Steps across the wall, along, around: edge panels of all faces are of like size.
    let cut = |n: usize| {
        let by_root = |l: f64| ((2 * n) as f64 * (l / (2.0 * outer)).sqrt()).round() as usize;
        let across = if inner == 0.0 { n } else { by_root(outer - inner).max(2) };
        (across, 2 * by_root(0.5 * half_length).max(1), 4 * n)
    };
    let sides = if inner == 0.0 { 1 } else { 2 };
    let count = |n: usize| {
        let (across, along, around) = cut(n);
        around * (2 * across + sides * along)
    };
    let (across, along, around) = cut(finest(2, aim, count));
    let step = 2.0 * PI / around as f64;
    // A regular polygon of this circumradius has the circle's area.
    let swell = (step / step.sin()).sqrt();
    let radii: Vec<f64> = if inner == 0.0 {
        // Finer towards the rim only.
        (0..=across).map(|i| outer * (0.5 * PI * i as f64 / across as f64).sin()).collect()
    } else {
        graded(inner, outer, across)
    };
    let heights = graded(-half_length, half_length, along);
    let at = |r: f64, k: usize, z: f64| {
        let (s, c) = (step * (k % around) as f64).sin_cos();
        [r * swell * c, r * swell * s, z]
    };
    let mut facets = Vec::new();
    for k in 0..around {
        let (s, c) = (step * (k as f64 + 0.5)).sin_cos();
        for r in radii.windows(2) {
            for z in [-half_length, half_length] {
                let ring = [at(r[0], k, z), at(r[1], k, z), at(r[1], k + 1, z), at(r[0], k + 1, z)];
                facets.push(Facet::facing(ring, [0.0, 0.0, z]));
            }
        }
        for z in heights.windows(2) {
            let wall = |r: f64, outward: f64| {
                let wall = [at(r, k, z[0]), at(r, k + 1, z[0]), at(r, k + 1, z[1]), at(r, k, z[1])];
                Facet::facing(wall, [c * outward, s * outward, 0.0])
            };
            facets.push(wall(outer, 1.0));
            if inner > 0.0 {
                facets.push(wall(inner, -1.0));
            }
        }
    }
    facets
}

/// A sphere as a polyhedron of parallels and meridians, of the sphere's volume.
fn sphere(radius: f64, aim: usize) -> Vec<Facet> {
    let bands = finest(3, aim, |n| 2 * n * n);
    let around = 2 * bands;
    let at = |i: usize, k: usize| {
        let (sin, cos) = (PI * i as f64 / bands as f64).sin_cos();
        let (s, c) = (2.0 * PI * (k % around) as f64 / around as f64).sin_cos();
        let sin = if i.is_multiple_of(bands) { 0.0 } else { sin };
        [sin * c, sin * s, cos]
    };
    let mut unit = Vec::new();
    for i in 0..bands {
        for k in 0..around {
            // At the poles two corners are one.
            let corner = if i + 1 == bands {
                [at(bands, 0), at(i, k), at(i, k + 1), at(bands, 0)]
            } else {
                [at(i, k), at(i + 1, k), at(i + 1, k + 1), at(i, k + 1)]
            };
            let outward = corner[1];
            unit.push(Facet::facing(corner, outward));
        }
    }
    let volume: f64 = unit
        .iter()
        .map(|f| Panel::new(f.corner))
        .map(|p| dot(p.centre, p.normal) * p.area / 3.0)
        .sum();
    let scale = radius * (4.0 / 3.0 * PI / volume).cbrt();
    for facet in &mut unit {
        facet.corner = facet.corner.map(|c| c.map(|x| x * scale));
    }
    unit
}
