//! Polynomials through values at a few places.

/// Weights of the values at `places` for the one at `x`.
///
/// Source: Lagrange's formula, `[dlmf]` 3.3.
pub(crate) fn lagrange(x: f64, places: &[f64]) -> Vec<f64> {
    let weight = |(i, at): (usize, &f64)| {
        let others = places.iter().enumerate().filter(|(k, _)| *k != i);
        others.map(|(_, other)| (x - other) / (at - other)).product()
    };
    places.iter().enumerate().map(weight).collect()
}

/// The same multiplied out, `[p][j]`: what the value at place j weighs in the coefficient of x^p. There are at
/// most N places; rows and columns beyond them are zero.
pub(crate) fn coefficients<const N: usize>(places: &[f64]) -> [[f64; N]; N] {
    let mut rows = [[0.0; N]; N];
    for j in 0..places.len() {
        let mut poly = [0.0; N];
        poly[0] = 1.0;
        for (k, place) in places.iter().enumerate().filter(|(k, _)| *k != j) {
            let scale = 1.0 / (places[j] - places[k]);
            let before = poly;
            for p in 0..N {
                let lower = if p > 0 { before[p - 1] } else { 0.0 };
                poly[p] = scale * (lower - place * before[p]);
            }
        }
        for (row, coefficient) in rows.iter_mut().zip(poly) {
            row[j] = coefficient;
        }
    }
    rows
}

/// A polynomial, lowest power first, and its slope.
pub(crate) fn value_and_slope(coefficients: &[f64], x: f64) -> (f64, f64) {
    let rising = |(value, slope): (f64, f64), c: &f64| (value * x + c, slope * x + value);
    coefficients.iter().rev().fold((0.0, 0.0), rising)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_multiplied_out_is_the_same() {
        let (places, values) = ([-1.0, 0.3, 2.0], [4.0, -1.0, 0.5]);
        let rows = coefficients::<4>(&places);
        let poly = rows.map(|row| row.iter().zip(values).map(|(w, v)| w * v).sum::<f64>());
        for x in [-2.0, 0.0, 0.3, 1.7] {
            let told: f64 = lagrange(x, &places).iter().zip(values).map(|(w, v)| w * v).sum();
            assert!((value_and_slope(&poly, x).0 - told).abs() < 1e-13, "{x}");
        }
        assert_eq!(poly[3], 0.0);
    }
}
