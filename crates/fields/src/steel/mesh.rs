//! Closed triangle meshes.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

use super::groups::Groups;
use super::panel::{cross, dot, length, minus};
use super::shape::Facet;
use super::{MOST_PANELS, SteelError};

/// An edge counts as sharp, and gets finer panels, where the surface turns by more than this cosine.
const SHARP: f64 = 0.8;

/// Panels beside sharp edges are this many times finer.
const FINER: f64 = 2.0;

/// The triangles of a closed mesh, split at their longest edges until there are about `aim`.
pub(super) fn mesh_facets(
    triangles: &[[[f64; 3]; 3]],
    aim: usize,
) -> Result<Vec<Facet>, SteelError> {
    if triangles.is_empty() {
        return Err(SteelError::Empty);
    }
    if triangles.len() > MOST_PANELS {
        return Err(SteelError::TooManyPanels { wanted: triangles.len() });
    }
    let (group, sharp) = closed(triangles)?;
    // The normals point out of the steel when the enclosed volume comes out positive.
    let volume: f64 = triangles.iter().map(|t| dot(t[0], cross(t[1], t[2]))).sum();
    let mut heap: BinaryHeap<Piece> = triangles
        .iter()
        .enumerate()
        .map(|(i, &[a, b, c])| {
            if volume > 0.0 {
                Piece::new([a, b, c], sharp[i], group[i])
            } else {
                Piece::new([a, c, b], [sharp[i][2], sharp[i][1], sharp[i][0]], group[i])
            }
        })
        .collect();
    while heap.len() < aim {
        let [one, two] = heap.pop().expect("not empty").halves();
        heap.push(one);
        heap.push(two);
    }
    let mut pieces = heap.into_vec();
    pieces.sort_by(|a, b| b.cmp(a));
    let facet = |p: Piece| Facet {
        corner: [p.corner[0], p.corner[1], p.corner[2], p.corner[0]],
        group: p.group,
        axis: None,
    };
    Ok(pieces.into_iter().map(facet).collect())
}

/// The closed surface each triangle belongs to, and which of its edges are sharp.
fn closed(triangles: &[[[f64; 3]; 3]]) -> Result<(Vec<usize>, Vec<[bool; 3]>), SteelError> {
    // Adding zero makes one number of the two zeros.
    let key = |p: [f64; 3]| p.map(|c| (c + 0.0).to_bits());
    let normal = |t: &[[f64; 3]; 3]| {
        let n = cross(minus(t[1], t[0]), minus(t[2], t[0]));
        let size = length(n);
        n.map(|c| c / size)
    };
    let mut by_edge = BTreeMap::new();
    for (i, t) in triangles.iter().enumerate() {
        let flat = normal(t).iter().any(|c| !c.is_finite());
        if flat {
            return Err(SteelError::FlatTriangle { index: i });
        }
        for k in 0..3 {
            if by_edge.insert((key(t[k]), key(t[(k + 1) % 3])), i).is_some() {
                return Err(SteelError::NotClosed { index: i });
            }
        }
    }
    let mut groups = Groups::new(triangles.len());
    let mut sharp = vec![[false; 3]; triangles.len()];
    for (i, t) in triangles.iter().enumerate() {
        for k in 0..3 {
            let Some(&other) = by_edge.get(&(key(t[(k + 1) % 3]), key(t[k]))) else {
                return Err(SteelError::NotClosed { index: i });
            };
            groups.join(i, other);
            sharp[i][k] = dot(normal(t), normal(&triangles[other])) < SHARP;
        }
    }
    Ok((groups.numbered(), sharp))
}

/// A triangle on its way to a panel.
struct Piece {
    corner: [[f64; 3]; 3],
    /// Whether the edge from each corner to the next is sharp.
    sharp: [bool; 3],
    group: usize,
    /// Length of the longest edge, and more beside sharp edges.
    urgency: f64,
}

impl Piece {
    fn new(corner: [[f64; 3]; 3], sharp: [bool; 3], group: usize) -> Self {
        let longest =
            (0..3).map(|k| length(minus(corner[(k + 1) % 3], corner[k]))).fold(0.0, f64::max);
        let urgency = if sharp.contains(&true) { FINER * longest } else { longest };
        Self { corner, sharp, group, urgency }
    }

    fn halves(self) -> [Self; 2] {
        let size = |k: usize| length(minus(self.corner[(k + 1) % 3], self.corner[k]));
        let k = (0..3).max_by(|&a, &b| size(a).total_cmp(&size(b))).expect("three");
        let [a, b, c] = [0, 1, 2].map(|i| self.corner[(k + i) % 3]);
        let [ab, bc, ca] = [0, 1, 2].map(|i| self.sharp[(k + i) % 3]);
        let middle = std::array::from_fn(|i| 0.5 * (a[i] + b[i]));
        [
            Self::new([a, middle, c], [ab, false, ca], self.group),
            Self::new([middle, b, c], [ab, bc, false], self.group),
        ]
    }

    fn rank(&self) -> (f64, [f64; 9]) {
        let c = self.corner;
        (self.urgency, std::array::from_fn(|i| c[i / 3][i % 3]))
    }
}

impl Ord for Piece {
    /// By urgency, then by place, so that the order is always the same.
    fn cmp(&self, other: &Self) -> Ordering {
        let ((a, p), (b, q)) = (self.rank(), other.rank());
        let places = || {
            p.iter()
                .zip(&q)
                .map(|(x, y)| x.total_cmp(y))
                .find(|o| o.is_ne())
                .unwrap_or(Ordering::Equal)
        };
        a.total_cmp(&b).then_with(places)
    }
}
impl PartialOrd for Piece {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl PartialEq for Piece {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Piece {}
