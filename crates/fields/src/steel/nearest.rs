//! The place of a body of steel nearest to a point.

use super::{AxisBox, SteelShape};

impl SteelShape {
    /// The place of the body nearest to `point`, in the body's frame, m: the point itself inside.
    ///
    /// Of a mesh the nearest corner or middle of a triangle, so only as near as its triangles are small.
    pub fn nearest(&self, point: [f64; 3]) -> [f64; 3] {
        match self {
            Self::Cuboid { half_size } => {
                in_box(&AxisBox { low: half_size.map(|h| -h), high: *half_size }, point)
            }
            Self::Boxes { boxes } => closest(point, boxes.iter().map(|one| in_box(one, point))),
            Self::Cylinder { radius, half_length } => in_tube(0.0, *radius, *half_length, point),
            Self::Tube { inner_radius, outer_radius, half_length } => {
                in_tube(*inner_radius, *outer_radius, *half_length, point)
            }
            Self::Sphere { radius } => {
                let away = length(point);
                if away <= *radius { point } else { point.map(|c| c * radius / away) }
            }
            Self::Mesh { triangles } => {
                let middle =
                    |t: &[[f64; 3]; 3]| [0, 1, 2].map(|i| (t[0][i] + t[1][i] + t[2][i]) / 3.0);
                let places = triangles.iter().flat_map(|t| [t[0], t[1], t[2], middle(t)]);
                closest(point, places)
            }
        }
    }
}

fn in_box(one: &AxisBox, point: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| point[i].clamp(one.low[i], one.high[i]))
}

fn in_tube(inner: f64, outer: f64, half_length: f64, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let rho = x.hypot(y);
    let radius = rho.clamp(inner, outer);
    // On the axis of a tube every direction is as near.
    let [c, s] = if rho > 0.0 { [x / rho, y / rho] } else { [1.0, 0.0] };
    [radius * c, radius * s, z.clamp(-half_length, half_length)]
}

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn closest(point: [f64; 3], places: impl Iterator<Item = [f64; 3]>) -> [f64; 3] {
    let away = |p: &[f64; 3]| length([0, 1, 2].map(|i| p[i] - point[i]));
    places.min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(point)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_nearest_place_is_in_the_body_and_no_sample_of_it_is_nearer() {
        let boxes = vec![
            AxisBox { low: [-2.0, -1.0, 0.0], high: [2.0, 1.0, 0.5] },
            AxisBox { low: [1.5, -1.0, 0.0], high: [2.0, 1.0, 3.0] },
        ];
        let shapes = [
            SteelShape::Cuboid { half_size: [2.0, 1.0, 0.5] },
            SteelShape::Boxes { boxes },
            SteelShape::Cylinder { radius: 1.0, half_length: 2.0 },
            SteelShape::Tube { inner_radius: 0.5, outer_radius: 1.0, half_length: 2.0 },
            SteelShape::Sphere { radius: 1.5 },
        ];
        let grid = |k: i32| f64::from(k) * 0.5;
        let points: Vec<[f64; 3]> = (-8..=8)
            .flat_map(|i| (-8..=8).flat_map(move |j| (-8..=8).map(move |k| [i, j, k])))
            .map(|p| p.map(grid))
            .collect();
        let apart = |p: [f64; 3], q: [f64; 3]| length([0, 1, 2].map(|i| p[i] - q[i]));
        for shape in &shapes {
            let inside: Vec<[f64; 3]> =
                points.iter().copied().filter(|&p| shape.nearest(p) == p).collect();
            assert!(inside.len() > 10, "{shape:?}");
            for &p in points.iter().step_by(7) {
                let near = shape.nearest(p);
                assert!(apart(shape.nearest(near), near) < 1e-12, "{shape:?} {p:?}");
                let best = inside.iter().map(|&q| apart(p, q)).fold(f64::INFINITY, f64::min);
                assert!(apart(p, near) <= best + 1e-12, "{shape:?} {p:?}");
            }
        }
    }
}
