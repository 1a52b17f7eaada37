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

impl<'a> Points<'a> {
    /// How many points.
    pub fn len(&self) -> usize {
        self.x.len()
    }
    /// True when there are none.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }
    /// The `i`-th point, m.
    pub fn get(&self, i: usize) -> [f64; 3] {
        [self.x[i], self.y[i], self.z[i]]
    }
    /// The `n` points from `start` on.
    pub fn range(&self, start: usize, n: usize) -> Points<'a> {
        let r = start..start + n;
        Points { x: &self.x[r.clone()], y: &self.y[r.clone()], z: &self.z[r] }
    }
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

impl VectorsMut<'_> {
    /// How many vectors.
    pub fn len(&self) -> usize {
        self.x.len()
    }
    /// True when there are none.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }
    /// The `n` vectors from `start` on.
    pub fn range(&mut self, start: usize, n: usize) -> VectorsMut<'_> {
        let r = start..start + n;
        VectorsMut { x: &mut self.x[r.clone()], y: &mut self.y[r.clone()], z: &mut self.z[r] }
    }
    /// Adds `vector` to the `i`-th.
    pub fn add(&mut self, i: usize, vector: [f64; 3]) {
        self.x[i] += vector[0];
        self.y[i] += vector[1];
        self.z[i] += vector[2];
    }
}

/// Runs a scalar kernel over a batch and adds what it gives.
///
/// # Panics
/// When the slices of `at` and `out` do not all have one length.
pub(crate) fn add_each(at: Points<'_>, out: VectorsMut<'_>, b: impl Fn([f64; 3]) -> [f64; 3]) {
    let n = at.x.len();
    assert!(
        [at.y.len(), at.z.len(), out.x.len(), out.y.len(), out.z.len()] == [n; 5],
        "points and vectors must have one length"
    );
    for i in 0..n {
        let [bx, by, bz] = b([at.x[i], at.y[i], at.z[i]]);
        out.x[i] += bx;
        out.y[i] += by;
        out.z[i] += bz;
    }
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
        let ([x, y, z], mut b) = (point, [0.0; 3]);
        let [bx, by, bz] = &mut b;
        self.add_b(
            Points { x: &[x], y: &[y], z: &[z] },
            VectorsMut {
                x: std::slice::from_mut(bx),
                y: std::slice::from_mut(by),
                z: std::slice::from_mut(bz),
            },
        );
        b
    }
}

impl<S: Source + ?Sized> Source for &S {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        (**self).add_b(at, out);
    }
    fn bounding_radius(&self) -> f64 {
        (**self).bounding_radius()
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        (**self).clearance(point)
    }
}

impl<S: Source + ?Sized> Source for Box<S> {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        (**self).add_b(at, out);
    }
    fn bounding_radius(&self) -> f64 {
        (**self).bounding_radius()
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        (**self).clearance(point)
    }
}
