//! Finer panels near where it matters.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::panel::{Panel, length, minus};
use super::shape::Facet;

/// No facet is halved that is smaller than this share of its distance from every place of interest:
/// seen from there its charge is as good as even.
const SMALL: f64 = 0.25;

/// Halves facets, the one largest against its distance from the places `near` first, until there
/// are `aim` of them or all are small against that distance.
pub(super) fn refined(facets: Vec<Facet>, aim: usize, near: &[[f64; 3]]) -> Vec<Facet> {
    let mut count = facets.len();
    let mut heap: BinaryHeap<Seen> = facets.into_iter().map(|f| Seen::new(f, near)).collect();
    while count < aim {
        if heap.peek().is_none_or(|largest| largest.size < SMALL) {
            break;
        }
        let Some(largest) = heap.pop() else { break };
        for half in halves(&largest.facet) {
            heap.push(Seen::new(half, near));
        }
        count += 1;
    }
    let mut sized = heap.into_vec();
    // The heap's own order would do, but says nothing.
    sized.sort_by(|a, b| b.cmp(a));
    sized.into_iter().map(|s| s.facet).collect()
}

/// Cut in two across its longer sides; a triangle across its longest.
fn halves(facet: &Facet) -> [Facet; 2] {
    let [a, b, c, d] = facet.corner;
    let middle = |p: [f64; 3], q: [f64; 3]| [0, 1, 2].map(|i| 0.5 * (p[i] + q[i]));
    let side = |p: [f64; 3], q: [f64; 3]| length(minus(p, q));
    let [first, second] = if a == d {
        // Turned so that the side from the second corner to the third is the longest.
        let turns = [[a, b, c], [b, c, a], [c, a, b]];
        let longest =
            turns.into_iter().max_by(|s, t| side(s[1], s[2]).total_cmp(&side(t[1], t[2])));
        let [p, q, r] = longest.expect("one of three");
        let m = middle(q, r);
        [[p, q, m, p], [p, m, r, p]]
    } else if side(a, b) + side(c, d) >= side(b, c) + side(d, a) {
        let (m, n) = (middle(a, b), middle(c, d));
        [[a, m, n, d], [m, b, c, n]]
    } else {
        let (m, n) = (middle(b, c), middle(d, a));
        [[a, b, m, n], [n, m, c, d]]
    };
    [first, second].map(|corner| Facet { corner, ..*facet })
}

/// A facet with its size over its distance from the nearest place of interest.
struct Seen {
    facet: Facet,
    size: f64,
}

impl Seen {
    fn new(facet: Facet, near: &[[f64; 3]]) -> Self {
        let panel = Panel::new(facet.corner);
        let away =
            near.iter().map(|p| length(minus(*p, panel.centre))).fold(f64::INFINITY, f64::min);
        let [a, b, c, d] = facet.corner;
        let longest = [(a, b), (b, c), (c, d), (d, a)]
            .map(|(p, q)| length(minus(p, q)))
            .into_iter()
            .fold(0.0, f64::max);
        Self { facet, size: longest / away }
    }
}

impl Ord for Seen {
    fn cmp(&self, other: &Self) -> Ordering {
        self.size.total_cmp(&other.size)
    }
}
impl PartialOrd for Seen {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl PartialEq for Seen {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Seen {}
