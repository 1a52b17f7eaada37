//! How what moves is moved: the sweep's coordinate to a rigid motion.

use crate::float::Float;
use reedmace_fields::Pose;

/// The sweep at definite values; coordinates in SI (m, rad, A, V, ampere-turns) or pose numbers.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Motion {
    /// The anchor runs straight from `from` at coordinate `range[0]` to `to` at `range[1]`.
    Line { anchor: [f64; 3], from: [f64; 3], to: [f64; 3], range: [f64; 2] },
    /// Everything turns about a line; the coordinate is the angle.
    Turn { centre: [f64; 3], axis: [f64; 3], range: [f64; 2], periodic: bool },
    /// Poses of the anchor, numbered from 1; straight between them.
    Table { anchor: [f64; 3], poses: Vec<TablePose> },
    /// A float swims at the level that the coordinate is.
    Level { range: [f64; 2], float: Box<Float> },
    /// Nothing moves; the coordinate, a current or a voltage, drives a coil.
    Current { range: [f64; 2] },
}

/// One pose of a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TablePose {
    pub at: [f64; 3],
    /// Turn about the world's x, then y, then z, rad.
    pub tilt: [f64; 3],
}

impl Motion {
    /// Coordinate where the forward pass starts and ends.
    pub fn range(&self) -> [f64; 2] {
        match self {
            Self::Line { range, .. }
            | Self::Turn { range, .. }
            | Self::Level { range, .. }
            | Self::Current { range } => *range,
            Self::Table { poses, .. } => [1.0, poses.len() as f64],
        }
    }

    /// True for a wheel that turns on: its state at the start is that of the turn before.
    pub fn is_periodic(&self) -> bool {
        matches!(self, Self::Turn { periodic: true, .. })
    }

    /// Coordinates at which the path has a corner, in order of the forward pass, with both ends.
    pub fn corners(&self) -> Vec<f64> {
        match self {
            Self::Table { poses, .. } => (1..=poses.len()).map(|k| k as f64).collect(),
            Self::Level { range, .. } => {
                let [from, to] = *range;
                let bends = self.bends();
                let inside = |level: &f64| (level - from) * (level - to) < 0.0;
                let mut corners = vec![from];
                corners.extend(bends.into_iter().filter(inside));
                corners.push(to);
                corners
            }
            _ => self.range().to_vec(),
        }
    }

    /// Coordinates at which the path bends whatever the range, in order of the forward pass: those of a float
    /// that comes to a stop.
    pub fn bends(&self) -> Vec<f64> {
        let Self::Level { range, float } = self else { return Vec::new() };
        let mut bends = float.held_at().to_vec();
        if range[1] < range[0] {
            bends.reverse();
        }
        bends
    }

    /// The rigid motion of what moves, from its place in the design to that at `coordinate`.
    pub fn world_from_rest(&self, coordinate: f64) -> Pose {
        match self {
            Self::Line { anchor, from, to, range } => {
                let t = (coordinate - range[0]) / (range[1] - range[0]);
                let shift = |i: usize| from[i] + t * (to[i] - from[i]) - anchor[i];
                Pose::translation(std::array::from_fn(shift))
            }
            Self::Turn { centre, axis, .. } => {
                Pose::rotation_about_line(*centre, *axis, coordinate)
            }
            Self::Table { anchor, poses } => {
                let last = poses.len() - 1;
                let k = ((coordinate - 1.0).max(0.0) as usize).min(last);
                let (a, b) = (&poses[k], &poses[(k + 1).min(last)]);
                let t = coordinate - 1.0 - k as f64;
                let between = |u: [f64; 3], v: [f64; 3]| -> [f64; 3] {
                    std::array::from_fn(|i| u[i] + t * (v[i] - u[i]))
                };
                let turned = tilt(between(a.tilt, b.tilt));
                Pose::translation(between(a.at, b.at))
                    * turned
                    * Pose::translation(anchor.map(|v| -v))
            }
            Self::Level { float, .. } => float.world_from_rest(coordinate),
            Self::Current { .. } => Pose::IDENTITY,
        }
    }
}

/// Rotation about the world's x, then y, then z, rad.
pub(crate) fn tilt(angles: [f64; 3]) -> Pose {
    if angles == [0.0; 3] {
        return Pose::IDENTITY;
    }
    let about = |axis: [f64; 3], angle: f64| Pose::rotation_about(axis, angle);
    about([0.0, 0.0, 1.0], angles[2])
        * about([0.0, 1.0, 0.0], angles[1])
        * about([1.0, 0.0, 0.0], angles[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_table_passes_through_its_poses() {
        let poses = vec![
            TablePose { at: [0.0, 0.0, 0.01], tilt: [0.0; 3] },
            TablePose { at: [0.005, 0.0, 0.02], tilt: [0.0, 0.0, 1.0] },
        ];
        let motion = Motion::Table { anchor: [0.1, 0.2, 0.3], poses: poses.clone() };
        for (k, pose) in poses.iter().enumerate() {
            let moved = motion.world_from_rest(k as f64 + 1.0).apply([0.1, 0.2, 0.3]);
            assert!((0..3).all(|i| (moved[i] - pose.at[i]).abs() < 1e-15), "{moved:?}");
        }
    }
}
