//! Mean over one rectangle of the potential of another.

use super::rectangle::Rectangle;

/// Beyond this many times the sum of the half diagonals, moments up to the second serve: `cross_moments`.
const FAR: f64 = 4.0;
/// Nearer than this the finer rule is taken.
const NEAR: f64 = 1.3;

/// Positive nodes and weights of the 3-point rule on [-1, 1] (`[dlmf]` 3.5.v).
const THREE: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];
/// As [`THREE`], 6 points.
const SIX: [(f64, f64); 6] = [
    (-0.932_469_514_203_152, 0.171_324_492_379_170_3),
    (-0.661_209_386_466_264_5, 0.360_761_573_048_138_6),
    (-0.238_619_186_083_196_9, 0.467_913_934_572_691),
    (0.238_619_186_083_196_9, 0.467_913_934_572_691),
    (0.661_209_386_466_264_5, 0.360_761_573_048_138_6),
    (0.932_469_514_203_152, 0.171_324_492_379_170_3),
];

/// Mean over `on` of `∫∫ dS/r` over `of`, m: closed form over `of`, a Gauss rule over `on`.
pub(super) fn mean_potential(on: &Rectangle, of: &Rectangle) -> f64 {
    let apart: [f64; 3] = std::array::from_fn(|i| on.centre[i] - of.centre[i]);
    let distance2 = apart.iter().map(|c| c * c).sum::<f64>();
    let reach = on.half_diagonal() + of.half_diagonal();
    if distance2 > (FAR * reach).powi(2) {
        return by_moments(on, of, apart, distance2);
    }
    let rule: &[(f64, f64)] = if distance2 > (NEAR * reach).powi(2) { &THREE } else { &SIX };
    let mut sum = 0.0;
    for &(x, weight_x) in rule {
        for &(y, weight_y) in rule {
            let point = on.point(x * on.half[0], y * on.half[1]);
            sum += 0.25 * weight_x * weight_y * of.potential(point);
        }
    }
    sum
}

fn by_moments(on: &Rectangle, of: &Rectangle, apart: [f64; 3], distance2: f64) -> f64 {
    let mut bend = 0.0;
    for rectangle in [on, of] {
        for k in 0..2 {
            let along = (0..3).map(|i| apart[i] * rectangle.axes[k][i]).sum::<f64>();
            bend += rectangle.half[k].powi(2) * (3.0 * along * along / distance2 - 1.0);
        }
    }
    // Half the second moment, a third of the half edge squared, times the second derivative of 1/r.
    of.area() / distance2.sqrt() * (1.0 + bend / (6.0 * distance2))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(centre: [f64; 3], half: [f64; 2], turn: usize) -> Rectangle {
        let mut axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        axes.rotate_left(turn);
        Rectangle { centre, axes, half }
    }

    /// Either way round the energy is the same: facing and crosswise at every distance the rules change at,
    /// and across an edge of a cell.
    #[test]
    fn prop_mutual_energy_is_symmetric() {
        let one = rectangle([0.0; 3], [1.0, 0.4], 0);
        let mut others = vec![rectangle([1.0, 0.0, -0.7], [0.4, 0.7], 1)];
        for turn in 0..3 {
            for distance in [0.3, 0.9, 1.5, 2.4, 2.7, 7.5, 8.5, 12.0] {
                for direction in [[0.0, 0.0, 1.0], [0.6, 0.0, 0.8], [0.48, 0.6, 0.64]] {
                    // Nearer than that, rectangles across each other would cut through each other.
                    if turn == 0 || distance > 1.0 {
                        let centre = direction.map(|c| c * distance);
                        others.push(rectangle(centre, [0.6, 0.7], turn));
                    }
                }
            }
        }
        let mut worst: f64 = 0.0;
        for other in &others {
            let there = mean_potential(&one, other) * one.area();
            let back = mean_potential(other, &one) * other.area();
            worst = worst.max((there / back - 1.0).abs());
        }
        println!("either way: {worst:.1e}");
        assert!(worst < 1e-3, "{worst}");
    }

    /// A square of side 1 on itself: `4 ln(1 + √2) + 4 (1 − √2)/3`, from integrating the closed form.
    #[test]
    fn cross_square_on_itself() {
        let square = rectangle([0.3, 0.1, -2.0], [0.5, 0.5], 1);
        let root = 2.0_f64.sqrt();
        let want = 4.0 * (1.0 + root).ln() + 4.0 * (1.0 - root) / 3.0;
        let error = mean_potential(&square, &square) / want - 1.0;
        assert!(error.abs() < 2e-3, "{error}");
    }

    /// Where the moments take over they agree with the rules to 2e-4.
    #[test]
    fn cross_moments() {
        let one = rectangle([0.0; 3], [1.0, 0.4], 0);
        let mut worst: f64 = 0.0;
        for turn in 0..3 {
            for direction in [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.48, 0.6, 0.64]] {
                let unplaced = rectangle([0.0; 3], [0.6, 0.7], turn);
                let distance = FAR * (one.half_diagonal() + unplaced.half_diagonal());
                let apart = direction.map(|c: f64| c * distance);
                let other = Rectangle { centre: apart.map(|c| -c), ..unplaced };
                let moments = by_moments(&one, &other, apart, distance * distance);
                // Just inside, the rule and the closed form.
                let nearer = Rectangle { centre: apart.map(|c| -c * (1.0 - 1e-9)), ..unplaced };
                worst = worst.max((moments / mean_potential(&one, &nearer) - 1.0).abs());
            }
        }
        println!("moments: {worst:.1e}");
        assert!(worst < 2e-4, "{worst}");
    }
}
