//! What a field acts on: the charged surfaces of magnets and the windings of coils, as cells to integrate over.

use std::f64::consts::{PI, TAU};

use crate::{Coil, FieldError, Loop, MU_0, Magnet, MagnetShape, Placed, Pose, Solenoid};

/// A bit of charge or current: the field acts on it with `charge · B + current × B`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Where, m.
    pub at: [f64; 3],
    /// Magnetic charge `J·n dS/μ0`, A·m.
    pub charge: f64,
    /// Current times length, A·m.
    pub current: [f64; 3],
}

/// A smooth piece of a surface or winding, as a map from the unit cube.
pub struct Cell<'a> {
    /// How many of the three parameters count, 1 to 3.
    pub dimensions: usize,
    /// The element at parameters in [0, 1], per unit of each parameter.
    pub map: Box<dyn Fn([f64; 3]) -> Element + 'a>,
}

/// Something a field acts on with force and torque.
pub trait Carrier {
    /// Its charged surfaces or its winding, cut where they are not smooth. In the carrier's own frame.
    ///
    /// # Errors
    /// For what has no stated extent.
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError>;
    /// Radius of a sphere about the frame's origin that holds it, m.
    fn reach(&self) -> f64;
    /// Where the carrier is. Torques are about its origin.
    fn world_from_carrier(&self) -> Pose {
        Pose::IDENTITY
    }
}

impl<C: Carrier> Carrier for Placed<C> {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        self.source.cells()
    }
    fn reach(&self) -> f64 {
        self.source.reach()
    }
    fn world_from_carrier(&self) -> Pose {
        self.world_from_body * self.source.world_from_carrier()
    }
}

/// A patch of charge by its point and outward area per unit of the two parameters.
pub(crate) fn charged<'a>(
    polarization: [f64; 3],
    patch: impl Fn(f64, f64) -> ([f64; 3], [f64; 3]) + 'a,
) -> Cell<'a> {
    let map = move |[s, t, _]: [f64; 3]| {
        let (at, area) = patch(s, t);
        let through: f64 = (0..3).map(|i| polarization[i] * area[i]).sum();
        Element { at, charge: through / MU_0, current: [0.0; 3] }
    };
    Cell { dimensions: 2, map: Box::new(map) }
}

/// Full turns are cut in this many.
const ARCS: usize = 4;

/// The arcs of a full turn: start and width.
fn arcs() -> impl Iterator<Item = (f64, f64)> {
    let width = TAU / ARCS as f64;
    (0..ARCS).map(move |k| (k as f64 * width, width))
}

/// The mantle of a cylinder over an arc; `side` +1 where the body is inside it, −1 round a hole.
pub(crate) fn mantle<'a>(
    j: [f64; 3],
    radius: f64,
    half_length: f64,
    (from, width): (f64, f64),
    side: f64,
) -> Cell<'a> {
    charged(j, move |s, t| {
        let (sine, cosine) = (from + width * s).sin_cos();
        let area = side * radius * width * 2.0 * half_length;
        let z = half_length * (2.0 * t - 1.0);
        ([radius * cosine, radius * sine, z], [area * cosine, area * sine, 0.0])
    })
}

/// The end face of a tube over an arc, at height `z`, outward along the sign of z.
pub(crate) fn end_face<'a>(
    j: [f64; 3],
    [inner, outer]: [f64; 2],
    z: f64,
    (from, width): (f64, f64),
) -> Cell<'a> {
    charged(j, move |s, t| {
        let (sine, cosine) = (from + width * s).sin_cos();
        let rho = inner + (outer - inner) * t;
        let area = rho * width * (outer - inner);
        ([rho * cosine, rho * sine, z], [0.0, 0.0, area.copysign(z)])
    })
}

/// A flat parallelogram from a corner and two sides; its area points along their cross product.
pub(crate) fn parallelogram<'a>(
    j: [f64; 3],
    corner: [f64; 3],
    a: [f64; 3],
    b: [f64; 3],
) -> Cell<'a> {
    let area = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    charged(j, move |s, t| (std::array::from_fn(|i| corner[i] + s * a[i] + t * b[i]), area))
}

impl Carrier for Magnet {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        let j = self.polarization;
        let mut cells = Vec::new();
        match self.shape {
            MagnetShape::Cuboid { half_size } => {
                for axis in 0..3 {
                    for side in [-1.0, 1.0] {
                        // The two other axes in the order that makes the area point outward.
                        let (mut first, mut second) = ((axis + 1) % 3, (axis + 2) % 3);
                        if side < 0.0 {
                            (first, second) = (second, first);
                        }
                        let mut corner = half_size.map(|h| -h);
                        corner[axis] = side * half_size[axis];
                        let (mut a, mut b) = ([0.0; 3], [0.0; 3]);
                        (a[first], b[second]) = (2.0 * half_size[first], 2.0 * half_size[second]);
                        if j[axis] != 0.0 {
                            cells.push(parallelogram(j, corner, a, b));
                        }
                    }
                }
            }
            MagnetShape::Cylinder { radius, half_length } => {
                tube(j, [0.0, radius], half_length, &mut cells);
            }
            MagnetShape::Ring { inner_radius, outer_radius, half_length } => {
                tube(j, [inner_radius, outer_radius], half_length, &mut cells);
            }
            MagnetShape::Sphere { radius } => {
                for arc in arcs() {
                    cells.push(charged(j, move |s, t| {
                        let (sine, cosine) = (arc.0 + arc.1 * s).sin_cos();
                        let (sin_polar, cos_polar) = (PI * t).sin_cos();
                        let n = [sin_polar * cosine, sin_polar * sine, cos_polar];
                        let area = radius * radius * sin_polar * arc.1 * PI;
                        (n.map(|c| radius * c), n.map(|c| area * c))
                    }));
                }
            }
        }
        Ok(cells)
    }
    fn reach(&self) -> f64 {
        self.shape.bounding_radius()
    }
}

fn tube<'a>(j: [f64; 3], radii: [f64; 2], half_length: f64, cells: &mut Vec<Cell<'a>>) {
    for arc in arcs() {
        if j[2] != 0.0 {
            cells.extend([half_length, -half_length].map(|z| end_face(j, radii, z, arc)));
        }
        if j[0] != 0.0 || j[1] != 0.0 {
            cells.push(mantle(j, radii[1], half_length, arc, 1.0));
            if radii[0] > 0.0 {
                cells.push(mantle(j, radii[0], half_length, arc, -1.0));
            }
        }
    }
}

/// A winding of `ampere_turns` over a range of radii and heights, either of which may be a single value.
fn winding<'a>(radii: [f64; 2], half_length: f64, ampere_turns: f64) -> Vec<Cell<'a>> {
    // The turn comes first, then height, then radius: what does not extend is not integrated over.
    let dimensions = if half_length == 0.0 {
        1
    } else if radii[0] == radii[1] {
        2
    } else {
        3
    };
    let cell = |(from, width): (f64, f64)| {
        let map = move |[s, t, u]: [f64; 3]| {
            let (sine, cosine) = (from + width * s).sin_cos();
            let rho = radii[0] + (radii[1] - radii[0]) * u;
            let z = half_length * (2.0 * t - 1.0);
            let current = ampere_turns * rho * width;
            Element {
                at: [rho * cosine, rho * sine, z],
                charge: 0.0,
                current: [-current * sine, current * cosine, 0.0],
            }
        };
        Cell { dimensions, map: Box::new(map) }
    };
    arcs().map(cell).collect()
}

impl Carrier for Loop {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        Ok(winding([self.radius; 2], 0.0, self.current))
    }
    fn reach(&self) -> f64 {
        self.radius
    }
}

impl Carrier for Solenoid {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        Ok(winding([self.radius; 2], self.half_length, self.ampere_turns))
    }
    fn reach(&self) -> f64 {
        self.radius.hypot(self.half_length)
    }
}

impl Carrier for Coil {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        Ok(winding([self.inner_radius, self.outer_radius], self.half_length, self.ampere_turns))
    }
    fn reach(&self) -> f64 {
        self.outer_radius.hypot(self.half_length)
    }
}
