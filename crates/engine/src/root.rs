//! One-dimensional searches: where a bracketed function crosses zero, where it peaks.

use crate::polynomial::value_and_slope;

/// Where `f` crosses zero between `a` and `b`, given `f(a)` and `f(b)` of opposite sign (or one
/// zero), to within `tolerance`.
///
/// Source: the ITP method, `[oliveira2020]`: never slower than bisection by more than one step, and
/// superlinear on smooth functions.
pub(crate) fn crossing(
    f: &mut impl FnMut(f64) -> f64,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    tolerance: f64,
) -> f64 {
    if fa == 0.0 {
        return a;
    }
    if fb == 0.0 {
        return b;
    }
    let width = (b - a).abs();
    let (k1, slack) = (0.2 / width, 1.0);
    let halvings = (width / (2.0 * tolerance)).log2().ceil().max(0.0);
    let mut step = 0.0;
    while (b - a).abs() > 2.0 * tolerance {
        let middle = 0.5 * (a + b);
        let reach = tolerance * (halvings + slack - step).exp2() - 0.5 * (b - a).abs();
        let falsi = (fb * a - fa * b) / (fb - fa);
        let toward = (middle - falsi).signum();
        let truncation = (k1 * (b - a).powi(2)).min((middle - falsi).abs());
        let trial = falsi + toward * truncation;
        let x = if (trial - middle).abs() <= reach { trial } else { middle - toward * reach };
        let fx = f(x);
        if fx == 0.0 {
            return x;
        }
        if (fx > 0.0) == (fb > 0.0) {
            (b, fb) = (x, fx);
        } else {
            (a, fa) = (x, fx);
        }
        step += 1.0;
        if step > 200.0 {
            break;
        }
    }
    0.5 * (a + b)
}

/// Where a polynomial (lowest power first) meets `level` between `a` and `b`, given how far it is from it
/// there, of opposite sign (or one zero), to within `tolerance`: Newton's steps from where the secant
/// meets it, halving where one would leave the bracket.
pub(crate) fn polynomial_crossing(
    coefficients: &[f64],
    level: f64,
    (mut a, fa): (f64, f64),
    (mut b, fb): (f64, f64),
    tolerance: f64,
) -> f64 {
    if fa == 0.0 {
        return a;
    }
    if fb == 0.0 {
        return b;
    }
    let mut x = (fb * a - fa * b) / (fb - fa);
    for _ in 0..100 {
        let (value, slope) = value_and_slope(coefficients, x);
        let f = value - level;
        if (f > 0.0) == (fb > 0.0) {
            b = x;
        } else {
            a = x;
        }
        let step = x - f / slope;
        let inside = (step - a) * (step - b) <= 0.0;
        let next = if inside { step } else { 0.5 * (a + b) };
        if (next - x).abs() <= tolerance {
            return next;
        }
        x = next;
    }
    x
}

/// Where `f` is greatest between `a` and `b`, by golden sections, to within `tolerance`
/// `[brent1973]` chapter 5.
pub(crate) fn peak(f: &mut impl FnMut(f64) -> f64, mut a: f64, mut b: f64, tolerance: f64) -> f64 {
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut x, mut y) = (b - golden * (b - a), a + golden * (b - a));
    let (mut fx, mut fy) = (f(x), f(y));
    while (b - a).abs() > tolerance {
        if fx > fy {
            (b, y, fy) = (y, x, fx);
            x = b - golden * (b - a);
            fx = f(x);
        } else {
            (a, x, fx) = (x, y, fy);
            y = a + golden * (b - a);
            fy = f(y);
        }
    }
    0.5 * (a + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_crossing_of_known_roots() {
        let mut calls = 0;
        let mut f = |x: f64| {
            calls += 1;
            x.powi(3) - 2.0
        };
        let (fa, fb) = (f(0.0), f(3.0));
        let x = crossing(&mut f, (0.0, fa), (3.0, fb), 1e-12);
        assert!((x - 2f64.cbrt()).abs() < 2e-12, "{x}");
        assert!(calls < 20, "{calls}");
        let mut g = |x: f64| (-x).exp() - 0.5;
        let (ga, gb) = (g(40.0), g(-1.0));
        let x = crossing(&mut g, (40.0, ga), (-1.0, gb), 1e-9);
        assert!((x - 2f64.ln()).abs() < 2e-9, "{x}");
    }

    #[test]
    fn prop_crossing_of_polynomials_is_that_of_any_function() {
        // one steep, one with a slope of zero at an end, one with its inflection between
        for coefficients in [[-1.0, 0.1, 0.0, 5.0], [-0.5, 0.0, 3.0, -2.0], [-0.3, 1.0, -3.0, 3.0]]
        {
            for level in [0.0, 0.2, -0.2] {
                let mut f = |x: f64| value_and_slope(&coefficients, x).0 - level;
                for (a, b) in [(0.0, 1.0), (1.0, 0.0)] {
                    let (fa, fb) = (f(a), f(b));
                    assert!(fa * fb < 0.0);
                    let wanted = crossing(&mut f, (a, fa), (b, fb), 1e-14);
                    let found = polynomial_crossing(&coefficients, level, (a, fa), (b, fb), 1e-9);
                    assert!(
                        (found - wanted).abs() < 1e-9,
                        "{coefficients:?} {level}: {found} {wanted}"
                    );
                }
            }
        }
    }

    #[test]
    fn prop_peak_of_a_parabola() {
        let x = peak(&mut |x: f64| -(x - 0.3).powi(2), -1.0, 2.0, 1e-7);
        assert!((x - 0.3).abs() < 1e-6);
    }
}
