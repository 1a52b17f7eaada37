//! Points and fields as structures of arrays, and what every source can do with them.

/// A batch of points: three slices of one length, metres.
#[derive(Debug, Clone, Copy)]
pub struct Points<'a> {
    /// x of each point, m.
    pub x: &'a [f64],
    /// y of each point, m.
    pub y: &'a [f64],
    /// z of each point, m.
    pub z: &'a [f64],
}

/// A batch of vectors to be added to, same layout as [`Points`].
#[derive(Debug)]
pub struct VectorsMut<'a> {
    /// x components.
    pub x: &'a mut [f64],
    /// y components.
    pub y: &'a mut [f64],
    /// z components.
    pub z: &'a mut [f64],
}

/// An owned batch of vectors (positions in m, or flux densities in T).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Vectors {
    /// x components.
    pub x: Vec<f64>,
    /// y components.
    pub y: Vec<f64>,
    /// z components.
    pub z: Vec<f64>,
}

impl Vectors {
    /// `n` zero vectors.
    pub fn zeros(n: usize) -> Self {
        Self { x: vec![0.0; n], y: vec![0.0; n], z: vec![0.0; n] }
    }
    /// From a list of vectors.
    pub fn from_rows(rows: impl IntoIterator<Item = [f64; 3]>) -> Self {
        let mut v = Self::default();
        for [x, y, z] in rows {
            v.x.push(x);
            v.y.push(y);
            v.z.push(z);
        }
        v
    }
    /// How many.
    pub fn len(&self) -> usize {
        self.x.len()
    }
    /// True when there are none.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }
    /// The `i`-th vector.
    pub fn get(&self, i: usize) -> [f64; 3] {
        [self.x[i], self.y[i], self.z[i]]
    }
    /// As points to evaluate at.
    pub fn points(&self) -> Points<'_> {
        Points { x: &self.x, y: &self.y, z: &self.z }
    }
    /// As vectors to add to.
    pub fn view_mut(&mut self) -> VectorsMut<'_> {
        VectorsMut { x: &mut self.x, y: &mut self.y, z: &mut self.z }
    }
}

/// Anything that makes a magnetic flux density.
///
/// All points are in the source's own frame (for [`crate::Placed`], in the world).
pub trait Source: Send + Sync {
    /// Adds the flux density B (tesla; inside a magnet B = μ0 H + J) at each point to `out`.
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>);

    /// Radius of a sphere about the frame's origin that holds the whole source, metres.
    fn bounding_radius(&self) -> f64;

    /// Distance from a point to the source's surface (0 inside), metres: tells how smooth the field is there.
    fn clearance(&self, point: [f64; 3]) -> f64;

    /// B at one point: the scalar door to [`Source::add_b`].
    fn b(&self, point: [f64; 3]) -> [f64; 3] {
        let p = Vectors::from_rows([point]);
        let mut out = Vectors::zeros(1);
        self.add_b(p.points(), out.view_mut());
        out.get(0)
    }
}
