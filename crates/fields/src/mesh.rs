//! The uniformly polarized solid bounded by triangles.
//!
//! `μ0 H` is that of the charges J·n on its faces, each a [`ChargedPolygon`]; whether a point is inside is
//! told by the solid angles of the same faces, which add up to −4π inside, −2π on a face and 0 outside.

use std::cell::LazyCell;
use std::collections::HashMap;
use std::f64::consts::PI;
use std::sync::Arc;

use crate::carrier::{Carrier, Cell, charged};
use crate::dipoles::Dipoles;
use crate::error::finite;
use crate::polygon::CHUNK;
use crate::{ChargedPolygon, FieldError, MU_0, Points, Source, VectorsMut};

/// Beyond this many sizes from the centroid the body is a cloud of dipoles: sums over faces lose digits in proportion
/// to the distance, the cloud errs by the inverse fourth power of it.
const FAR: f64 = 700.0;

/// A closed surface of triangles and the solid in it.
#[derive(Debug, Clone, PartialEq)]
pub struct TriangleMesh {
    triangles: Vec<[[f64; 3]; 3]>,
    faces: Vec<ChargedPolygon>,
    volume: f64,
    centroid: [f64; 3],
    /// Distance from the centroid to the farthest corner, m.
    size: f64,
    bounding_radius: f64,
}

impl TriangleMesh {
    /// A solid by its triangles, corners right-handed about the outward normal, m.
    ///
    /// Triangles without area may be there to close the surface; they carry no charge.
    ///
    /// # Errors
    /// [`FieldError::MeshNotClosed`] unless every edge is used once each way, corners equal to the last bit;
    /// [`FieldError::MeshInsideOut`] unless the volume is positive; a coordinate that is not finite.
    pub fn from_triangles(triangles: Vec<[[f64; 3]; 3]>) -> Result<Self, FieldError> {
        for c in triangles.iter().flatten().flatten() {
            finite("corner", *c)?;
        }
        check_closed(&triangles)?;
        let corner = triangles.first().map_or([0.0; 3], |t| t[0]);
        let (mut volume, mut moment) = (0.0, [0.0; 3]);
        for t in &triangles {
            let [a, b, c] = t.map(|v| minus(v, corner));
            let part = dot(a, cross(b, c)) / 6.0;
            volume += part;
            moment = std::array::from_fn(|i| moment[i] + part * 0.25 * (a[i] + b[i] + c[i]));
        }
        if volume <= 0.0 {
            return Err(FieldError::MeshInsideOut { volume });
        }
        let centroid = std::array::from_fn(|i| corner[i] + moment[i] / volume);
        let size =
            triangles.iter().flatten().map(|v| length(minus(*v, centroid))).fold(0.0, f64::max);
        let faces = faces_of(&triangles).into_iter().map(|face| face.of_size(size)).collect();
        let bounding_radius = triangles.iter().flatten().map(|v| length(*v)).fold(0.0, f64::max);
        Ok(Self { triangles, faces, volume, centroid, size, bounding_radius })
    }

    /// m³.
    pub fn volume(&self) -> f64 {
        self.volume
    }
    /// Centre of the volume, m.
    pub fn centroid(&self) -> [f64; 3] {
        self.centroid
    }
    /// The triangles, m.
    pub fn triangles(&self) -> &[[[f64; 3]; 3]] {
        &self.triangles
    }
    /// The faces: triangles with an area, pairs of them as one where they make a flat convex face.
    pub fn faces(&self) -> &[ChargedPolygon] {
        &self.faces
    }

    /// 1 inside, 0 outside, ½ on a face; on an edge the share of the solid angle.
    pub fn share_inside(&self, point: [f64; 3]) -> f64 {
        share_of(self.faces.iter().map(|face| face.solid_angle(point)).sum())
    }

    /// Distance from a point to the surface, 0 inside, m.
    pub fn clearance(&self, point: [f64; 3]) -> f64 {
        if self.share_inside(point) > 0.0 {
            return 0.0;
        }
        let to = |t: &[[f64; 3]; 3]| distance_to_triangle(point, *t);
        self.triangles.iter().map(to).fold(f64::INFINITY, f64::min)
    }

    /// Tetrahedra from the centroid to each triangle, each as five points that are exact to third order.
    fn dipoles(&self) -> Dipoles {
        let mut dipoles = Dipoles::default();
        for t in &self.triangles {
            let sides = t.map(|v| minus(v, self.centroid));
            let volume = dot(sides[0], cross(sides[1], sides[2])) / 6.0;
            let corners = [self.centroid, t[0], t[1], t[2]];
            let middle: [f64; 3] =
                std::array::from_fn(|i| corners.iter().map(|corner| 0.25 * corner[i]).sum());
            dipoles.push(middle, -0.8 * volume);
            for corner in corners {
                let at = std::array::from_fn(|i| (2.0 * middle[i] + corner[i]) / 3.0);
                dipoles.push(at, 0.45 * volume);
            }
        }
        dipoles
    }
}

/// The triangles as faces, two of them as one where they make a flat convex four-cornered one: the diagonal of
/// a rectangle is then no edge at all. What has no area is left out.
fn faces_of(triangles: &[[[f64; 3]; 3]]) -> Vec<ChargedPolygon> {
    let key = |v: [f64; 3]| v.map(|c| (c + 0.0).to_bits());
    let mut opposite = HashMap::new();
    for (index, t) in triangles.iter().enumerate() {
        for k in 0..3 {
            opposite.insert((key(t[k]), key(t[(k + 1) % 3])), (index, t[(k + 2) % 3]));
        }
    }
    let mut used = vec![false; triangles.len()];
    let mut faces = Vec::new();
    for (index, t) in triangles.iter().enumerate() {
        if used[index] {
            continue;
        }
        let Ok(single) = ChargedPolygon::new(t) else { continue };
        let with_neighbour = |k: usize| {
            let (from, to, apex) = (t[k], t[(k + 1) % 3], t[(k + 2) % 3]);
            let (other, beyond) = *opposite.get(&(key(to), key(from)))?;
            let free = !used[other] && ChargedPolygon::new(&triangles[other]).is_ok();
            let face = ChargedPolygon::new(&[from, beyond, to, apex]).ok()?;
            free.then_some((other, face))
        };
        let pair = (0..3).find_map(with_neighbour);
        used[index] = true;
        if let Some((other, _)) = &pair {
            used[*other] = true;
        }
        faces.push(pair.map_or(single, |(_, face)| face));
    }
    faces
}

/// Refuses a surface in which some edge is not used once each way.
fn check_closed(triangles: &[[[f64; 3]; 3]]) -> Result<(), FieldError> {
    // Adding zero makes −0 the same as 0.
    let key = |v: [f64; 3]| v.map(|c| (c + 0.0).to_bits());
    let mut uses: HashMap<_, i32> = HashMap::new();
    let edges = || triangles.iter().flat_map(|t| [[t[0], t[1]], [t[1], t[2]], [t[2], t[0]]]);
    for [from, to] in edges() {
        *uses.entry((key(from), key(to))).or_default() += 1;
    }
    let count = |from, to| uses.get(&(key(from), key(to))).copied().unwrap_or(0);
    for [from, to] in edges() {
        // A triangle that has shrunk to a line uses the same edge both ways itself.
        if key(from) != key(to) && (count(from, to) != 1 || count(to, from) != 1) {
            return Err(FieldError::MeshNotClosed { from, to });
        }
    }
    Ok(())
}

/// Share inside from the faces' solid angles.
fn share_of(angle: f64) -> f64 {
    // Rounding must not leave a trace of J outside.
    const ROUNDING: f64 = 1e-6;
    let share = -angle / (4.0 * PI);
    let whole = (2.0 * share).round() / 2.0;
    if (share - whole).abs() < ROUNDING { whole } else { share }
}

/// A uniformly polarized solid of triangles, in the frame of its corners.
///
/// [`Source::add_b`] gives `B = μ0 H + J` inside, the mean of both sides on a face. Cost and rounding grow with
/// the number of triangles: 4e-14 of |B| nearby, 1e-12 at 1,000 sizes and beyond (`cross_block_and_l`). Slender
/// and flat solids lose more where the sum over faces serves, up to 700 sizes: 8e-12 with edges of 1:10,
/// 5e-10 with edges of 1:100 (`cargo xtask magpylib`). Exactly on an edge between two triangles of one plane
/// that make no convex face, the value is as on any edge.
#[derive(Debug, Clone, PartialEq)]
pub struct MeshMagnet {
    /// The solid.
    pub mesh: Arc<TriangleMesh>,
    /// Polarization J, T.
    pub polarization: [f64; 3],
}

impl MeshMagnet {
    /// A solid with polarization (T).
    ///
    /// # Errors
    /// A polarization that is not finite.
    pub fn new(
        mesh: impl Into<Arc<TriangleMesh>>,
        polarization: [f64; 3],
    ) -> Result<Self, FieldError> {
        for component in polarization {
            finite("polarization", component)?;
        }
        Ok(Self { mesh: mesh.into(), polarization })
    }

    /// Magnetic moment `J V / μ0`, A·m².
    pub fn moment(&self) -> [f64; 3] {
        self.polarization.map(|j| j * self.mesh.volume / MU_0)
    }
}

impl Source for MeshMagnet {
    fn add_b(&self, at: Points<'_>, mut out: VectorsMut<'_>) {
        let (mesh, j) = (&*self.mesh, self.polarization);
        let dipoles = LazyCell::new(|| mesh.dipoles());
        let reach = FAR * mesh.size;
        let mut start = 0;
        while start < at.len() {
            let n = CHUNK.min(at.len() - start);
            let points = at.range(start, n);
            let mut angles = [0.0; CHUNK];
            let mut field = [[0.0; CHUNK]; 3];
            for face in &mesh.faces {
                let [x, y, z] = &mut field;
                let out = VectorsMut { x: &mut x[..n], y: &mut y[..n], z: &mut z[..n] };
                face.add_field_and_angle(points, dot(face.normal(), j), out, &mut angles);
            }
            for i in 0..n {
                let p = points.get(i);
                let b = if length(minus(p, mesh.centroid)) > reach {
                    dipoles.field(j, p)
                } else {
                    let within = share_of(angles[i]);
                    std::array::from_fn(|k| field[k][i] + within * j[k])
                };
                out.add(start + i, b);
            }
            start += n;
        }
    }
    fn bounding_radius(&self) -> f64 {
        self.mesh.bounding_radius
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.mesh.clearance(point)
    }
}

impl Carrier for MeshMagnet {
    fn cells(&self) -> Result<Vec<Cell<'_>>, FieldError> {
        let cell = |t: &[[f64; 3]; 3]| {
            let [a, b, c] = *t;
            let (first, second) = (minus(b, a), minus(c, b));
            let area = cross(first, minus(c, a));
            charged(self.polarization, move |s, t| {
                let at = std::array::from_fn(|i| a[i] + s * (first[i] + t * second[i]));
                (at, area.map(|part| s * part))
            })
        };
        Ok(self.mesh.triangles.iter().map(cell).collect())
    }
    fn reach(&self) -> f64 {
        self.mesh.bounding_radius
    }
}

/// Distance from a point to a triangle, m.
fn distance_to_triangle(p: [f64; 3], t: [[f64; 3]; 3]) -> f64 {
    let normal = cross(minus(t[1], t[0]), minus(t[2], t[0]));
    let sides = [[t[0], t[1]], [t[1], t[2]], [t[2], t[0]]];
    let over = dot(normal, normal) > 0.0
        && sides.iter().all(|[a, b]| dot(cross(minus(*b, *a), minus(p, *a)), normal) >= 0.0);
    if over {
        return (dot(minus(p, t[0]), normal) / length(normal)).abs();
    }
    let to_side = |[a, b]: [[f64; 3]; 2]| {
        let (along, from) = (minus(b, a), minus(p, a));
        let l2 = dot(along, along);
        let share = if l2 > 0.0 { (dot(from, along) / l2).clamp(0.0, 1.0) } else { 0.0 };
        length(std::array::from_fn(|i| from[i] - share * along[i]))
    };
    sides.map(to_side).into_iter().fold(f64::INFINITY, f64::min)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn length(v: [f64; 3]) -> f64 {
    // Scaled, so that squares of far points do not overflow.
    let largest = v[0].abs().max(v[1].abs()).max(v[2].abs());
    if largest == 0.0 {
        0.0
    } else {
        largest * dot(v.map(|c| c / largest), v.map(|c| c / largest)).sqrt()
    }
}
