//! Where a grid crosses a level: marching squares.

use crate::map::{Border, Map};
use std::collections::BTreeMap;

/// Lines along which `grid` (laid out as the map's own grids, finite values) equals `level`, mm.
///
/// Between neighbouring places the grid is taken as linear. A line ends only at the rim of the map;
/// one that closes repeats its first point. Where a cell has both diagonals, the mean of its corners
/// decides which pair is joined. The order of the lines depends on the grid alone.
///
/// # Panics
///
/// When `grid` does not have as many values as the map has places.
pub fn borders(map: &Map, grid: &[f64], level: f64) -> Border {
    let (across, up) = (map.across_mm.len(), map.up_mm.len());
    assert_eq!(grid.len(), across * up, "one value for each place of the map");
    let mut joined = segments(grid, across, up, level);
    let mut lines = Border::new();
    // Lines that end at the rim first: begun anywhere else they would come in two halves.
    let ends: Vec<usize> = joined.iter().filter(|(_, to)| to.len() == 1).map(|(e, _)| *e).collect();
    let all: Vec<usize> = joined.keys().copied().collect();
    for start in ends.into_iter().chain(all) {
        let mut edge = start;
        let mut line = vec![crossing(map, grid, level, edge)];
        while let Some(next) = joined.get_mut(&edge).and_then(Vec::pop) {
            let back = joined.get_mut(&next).expect("segments are entered from both ends");
            let position = back.iter().position(|e| *e == edge).expect("as above");
            back.swap_remove(position);
            line.push(crossing(map, grid, level, next));
            edge = next;
        }
        if line.len() > 1 {
            lines.push(line);
        }
    }
    lines
}

/// Which crossed edges are joined across a cell. Edge `2i` runs from place `i` to the right, edge
/// `2i + 1` upwards.
fn segments(grid: &[f64], across: usize, up: usize, level: f64) -> BTreeMap<usize, Vec<usize>> {
    let mut joined: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for row in 0..up.saturating_sub(1) {
        for column in 0..across.saturating_sub(1) {
            let place = row * across + column;
            let corners = [place, place + 1, place + across + 1, place + across];
            let edges = [2 * place, 2 * (place + 1) + 1, 2 * (place + across), 2 * place + 1];
            let above = corners.map(|corner| grid[corner] >= level);
            let crossed: Vec<usize> =
                (0..4).filter(|&k| above[k] != above[(k + 1) % 4]).map(|k| edges[k]).collect();
            let pairs: &[[usize; 2]] = match crossed.len() {
                2 => &[[0, 1]],
                4 => {
                    let mean = corners.iter().map(|corner| grid[*corner]).sum::<f64>() / 4.0;
                    if (mean >= level) == above[0] { &[[0, 1], [2, 3]] } else { &[[3, 0], [1, 2]] }
                }
                _ => &[],
            };
            for [a, b] in pairs {
                let (a, b) = (crossed[*a], crossed[*b]);
                joined.entry(a).or_default().push(b);
                joined.entry(b).or_default().push(a);
            }
        }
    }
    joined
}

/// Where along an edge the level lies.
fn crossing(map: &Map, grid: &[f64], level: f64, edge: usize) -> [f64; 2] {
    let across = map.across_mm.len();
    let (from, step) = (edge / 2, if edge.is_multiple_of(2) { 1 } else { across });
    let at = |place: usize| [map.across_mm[place % across], map.up_mm[place / across]];
    let (a, b) = (at(from), at(from + step));
    let t = (level - grid[from]) / (grid[from + step] - grid[from]);
    [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::map::Plane;

    fn over(half: f64, cells: usize, value: impl Fn(f64, f64) -> f64) -> (Map, Vec<f64>) {
        let axis: Vec<f64> =
            (0..=cells).map(|i| (i as f64 / cells as f64 * 2.0 - 1.0) * half).collect();
        let grid = axis.iter().flat_map(|y| axis.iter().map(|x| value(*x, *y))).collect();
        let map = Map {
            plane: Plane::Xz,
            offset_mm: 0.0,
            moves: String::new(),
            contact: String::new(),
            across_mm: axis.clone(),
            up_mm: axis.clone(),
            drive_open: Vec::new(),
            drive_closed: Vec::new(),
            room: Vec::new(),
            operate: [0.0; 3],
            release: [0.0; 3],
        };
        (map, grid)
    }

    #[test]
    fn prop_a_cone_gives_one_closed_circle() {
        let (map, grid) = over(10.0, 100, |x, y| 20.0 - x.hypot(y));
        let lines = borders(&map, &grid, 13.0);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].first(), lines[0].last());
        assert!(lines[0].iter().all(|p| (p[0].hypot(p[1]) - 7.0).abs() < 0.003));
    }

    #[test]
    fn prop_a_plane_gives_one_straight_line_from_rim_to_rim() {
        let (map, grid) = over(10.0, 20, |x, y| x + 2.0 * y);
        let lines = borders(&map, &grid, 1.0);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].iter().all(|p| (p[0] + 2.0 * p[1] - 1.0).abs() < 1e-12));
        let reach = |p: [f64; 2]| p[0].abs().max(p[1].abs());
        assert!([lines[0][0], lines[0][lines[0].len() - 1]].iter().all(|p| reach(*p) == 10.0));
    }

    #[test]
    fn prop_a_saddle_is_joined_on_the_side_of_its_middle() {
        let (map, grid) = over(1.0, 1, |x, y| x * y);
        // Corners with x·y < 0 are the low ones: cut off when the middle lies above the level.
        for (level, cut_off) in [(-0.5, -1.0), (0.5, 1.0)] {
            let lines = borders(&map, &grid, level);
            assert_eq!(lines.len(), 2);
            for line in lines {
                let side = (line[0][0] + line[1][0]) * (line[0][1] + line[1][1]);
                assert_eq!(side.signum(), cut_off);
            }
        }
    }
}
