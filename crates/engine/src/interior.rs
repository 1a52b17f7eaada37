//! Points that stand for the inside of a magnet, each with its share of the volume.

use reedmace_fields::{MagnetShape, Vectors, gauss_legendre};
use std::f64::consts::TAU;

/// Gauss points along each dimension.
const ORDER: usize = 8;
/// Points around a round shape.
const AROUND: usize = 12;
/// Besides those, two more just inside the faces, this share of the size away from them: they weigh
/// nothing but see the worst. Exactly on an edge some fields have no limit.
const NEAR: f64 = 1e-3;

/// Points inside a shape.
pub(crate) struct Interior {
    /// In the shape's frame, m.
    pub points: Vectors,
    /// Share of the volume that each stands for: they add up to 1, those near faces are 0.
    pub weights: Vec<f64>,
}

impl Interior {
    pub fn of(shape: &MagnetShape) -> Self {
        let line = line();
        let mut inside = Self { points: Vectors::default(), weights: Vec::new() };
        for &(s, ws) in &line {
            for &(t, wt) in &line {
                match *shape {
                    MagnetShape::Cuboid { half_size: [a, b, c] } => {
                        for &(u, wu) in &line {
                            let point =
                                [a * from_middle(s), b * from_middle(t), c * from_middle(u)];
                            inside.push(point, ws * wt * wu);
                        }
                    }
                    MagnetShape::Cylinder { radius, half_length } => {
                        let rho = radius * s.sqrt();
                        inside.circle(rho, half_length * from_middle(t), ws * wt);
                    }
                    MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                        let square = inner_radius * inner_radius * (1.0 - s)
                            + outer_radius * outer_radius * s;
                        inside.circle(square.sqrt(), half_length * from_middle(t), ws * wt);
                    }
                    MagnetShape::Sphere { radius } => {
                        let (r, cosine) = (radius * s, from_middle(t));
                        let weight = 3.0 * s * s * ws * wt;
                        inside.circle(r * (1.0 - cosine * cosine).sqrt(), r * cosine, weight);
                    }
                }
            }
        }
        inside
    }

    fn push(&mut self, [x, y, z]: [f64; 3], weight: f64) {
        self.points.x.push(x);
        self.points.y.push(y);
        self.points.z.push(z);
        self.weights.push(weight);
    }

    fn circle(&mut self, rho: f64, z: f64, weight: f64) {
        for k in 0..AROUND {
            let (sine, cosine) = (TAU * k as f64 / AROUND as f64).sin_cos();
            self.push([rho * cosine, rho * sine, z], weight / AROUND as f64);
        }
    }

    /// Mean over the volume of a value at each point.
    pub fn mean(&self, values: &[f64]) -> f64 {
        self.weights.iter().zip(values).map(|(w, v)| w * v).sum()
    }
}

fn from_middle(t: f64) -> f64 {
    2.0 * t - 1.0
}

/// Places from 0 to 1 with their weights: Gauss-Legendre, and both ends.
fn line() -> Vec<(f64, f64)> {
    let mut line = vec![(NEAR, 0.0)];
    line.extend(gauss_legendre::<ORDER>().map(|(x, w)| (0.5 * (1.0 + x), 0.5 * w)));
    line.push((1.0 - NEAR, 0.0));
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use reedmace_fields::{Magnet, Source};

    fn own_factors(shape: MagnetShape, direction: [f64; 3]) -> (Interior, Vec<f64>) {
        let inside = Interior::of(&shape);
        let magnet = Magnet::new(shape, direction).unwrap();
        let mut b = Vectors::zeros(inside.weights.len());
        magnet.add_b(inside.points.points(), b.view_mut());
        let along = |i: usize| (0..3).map(|c| b.get(i)[c] * direction[c]).sum::<f64>();
        let factors = (0..b.len()).map(|i| 1.0 - along(i)).collect();
        (inside, factors)
    }

    #[test]
    fn prop_every_point_lies_inside_and_the_weights_add_up() {
        for shape in [
            MagnetShape::Cuboid { half_size: [0.001, 0.002, 0.005] },
            MagnetShape::Cylinder { radius: 0.002, half_length: 0.005 },
            MagnetShape::Ring { inner_radius: 0.001, outer_radius: 0.004, half_length: 0.002 },
            MagnetShape::Sphere { radius: 0.003 },
        ] {
            let inside = Interior::of(&shape);
            assert!((inside.weights.iter().sum::<f64>() - 1.0).abs() < 1e-13, "{shape:?}");
            for i in 0..inside.weights.len() {
                assert!(shape.inside(inside.points.get(i)), "{shape:?} {i}");
            }
        }
    }

    /// Second moments are known by hand: a²/3 for each half size of a cuboid, 3R²/5 for r² in a sphere,
    /// (Ri² + Ro²)/2 for ρ² in a ring.
    #[test]
    fn prop_means_over_the_volume_are_exact_for_squares() {
        let mean = |shape: MagnetShape, square: &dyn Fn([f64; 3]) -> f64| {
            let inside = Interior::of(&shape);
            let values: Vec<f64> =
                (0..inside.weights.len()).map(|i| square(inside.points.get(i))).collect();
            inside.mean(&values)
        };
        let cuboid = MagnetShape::Cuboid { half_size: [1.0, 2.0, 5.0] };
        assert!((mean(cuboid, &|p| p[2] * p[2]) - 25.0 / 3.0).abs() < 1e-12);
        let sphere = MagnetShape::Sphere { radius: 3.0 };
        let r2 = |p: [f64; 3]| p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
        assert!((mean(sphere, &r2) - 5.4).abs() < 1e-12);
        let ring = MagnetShape::Ring { inner_radius: 1.0, outer_radius: 3.0, half_length: 2.0 };
        assert!((mean(ring, &|p| p[0] * p[0] + p[1] * p[1]) - 5.0).abs() < 1e-12);
    }

    /// The field inside a uniformly polarized sphere is −J/3 everywhere.
    #[test]
    fn prop_sphere_is_demagnetized_evenly() {
        let (_, factors) = own_factors(MagnetShape::Sphere { radius: 0.003 }, [0.6, 0.0, 0.8]);
        for factor in factors {
            assert!((factor - 1.0 / 3.0).abs() < 1e-14, "{factor}");
        }
    }

    /// The mean of the sampled self field is the magnetometric factor, to 7e-4 for shapes of 1:10 and
    /// 2e-4 for those up to 1:2.
    #[test]
    fn cross_mean_of_the_inside_is_the_demagnetizing_factor() {
        let cylinder = |radius| MagnetShape::Cylinder { radius, half_length: 1.0 };
        let ring =
            |inner_radius| MagnetShape::Ring { inner_radius, outer_radius: 2.0, half_length: 1.0 };
        let cuboid = |a, b, c| MagnetShape::Cuboid { half_size: [a, b, c] };
        let shapes = [
            cylinder(0.1),
            cylinder(0.5),
            cylinder(1.0),
            cylinder(2.0),
            cylinder(10.0),
            ring(0.2),
            ring(1.0),
            ring(1.8),
            cuboid(1.0, 1.0, 1.0),
            cuboid(1.0, 1.0, 2.0),
            cuboid(1.0, 1.0, 10.0),
            cuboid(5.0, 10.0, 1.0),
            MagnetShape::Sphere { radius: 1.0 },
        ];
        let mut most = 0.0_f64;
        for shape in shapes {
            for axis in [0, 2] {
                let direction = std::array::from_fn(|i| f64::from(u8::from(i == axis)));
                let (inside, factors) = own_factors(shape, direction);
                let off = inside.mean(&factors) - shape.demagnetizing_factors()[axis];
                println!("{shape:?} axis {axis}: {off:+.1e}");
                most = most.max(off.abs());
            }
        }
        assert!(most < 8e-4, "{most}");
    }
}
