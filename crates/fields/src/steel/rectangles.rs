//! Flux between rectangles with parallel sides, exactly.

use std::f64::consts::PI;

/// A rectangle normal to `axis`; `low` and `high` agree along that axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rectangle {
    pub axis: usize,
    pub low: [f64; 3],
    pub high: [f64; 3],
}

impl Rectangle {
    /// The rectangle with these opposite corners, normal to `axis`.
    pub fn new(axis: usize, a: [f64; 3], b: [f64; 3]) -> Self {
        let low = std::array::from_fn(|i| a[i].min(b[i]));
        let high = std::array::from_fn(|i| a[i].max(b[i]));
        Self { axis, low, high }
    }

    /// The flux of unit charge density on `source` through `self`, counted along the positive axis; m².
    ///
    /// The fourfold integral of `x/(4π r³)` in closed form: for parallel rectangles the sixteen corner
    /// terms of `[akoun1984]`, for upright ones their like (derived here; both against quadrature in
    /// `cross_rectangles`). Loses digits like the fourth power of distance over size: for neighbours.
    pub fn flux_from(&self, source: &Self) -> f64 {
        let ends = |i: usize| {
            // Second differences over both extents: offsets and signs.
            [
                (self.high[i] - source.low[i], -1.0),
                (self.high[i] - source.high[i], 1.0),
                (self.low[i] - source.low[i], 1.0),
                (self.low[i] - source.high[i], -1.0),
            ]
        };
        let (n, m) = (self.axis, source.axis);
        let mut sum = 0.0;
        if n == m {
            let apart = self.low[n] - source.low[n];
            if apart == 0.0 {
                return 0.0;
            }
            for (u, su) in ends((n + 1) % 3) {
                for (v, sv) in ends((n + 2) % 3) {
                    sum += su * sv * parallel(u, v, apart);
                }
            }
        } else {
            let k = 3 - n - m;
            let across = [(self.low[n] - source.low[n], -1.0), (self.low[n] - source.high[n], 1.0)];
            let up = [(self.low[m] - source.low[m], -1.0), (self.high[m] - source.low[m], 1.0)];
            for (u, su) in across {
                for (w, sw) in up {
                    for (v, sv) in ends(k) {
                        sum -= su * sv * sw * upright(u, v, w);
                    }
                }
            }
        }
        sum / (4.0 * PI)
    }
}

/// `ln(a + r)` with r² = a² + rho2, also for a < 0.
fn log(a: f64, r: f64, rho2: f64) -> f64 {
    if a >= 0.0 { (a + r).ln() } else { (rho2 / (r - a)).ln() }
}

/// `factor · log`, zero for a factor of zero.
fn times_log(factor: f64, a: f64, r: f64, rho2: f64) -> f64 {
    if factor == 0.0 { 0.0 } else { factor * log(a, r, rho2) }
}

/// F with `∂⁴F/∂u²∂v² = w/r³`, r² = u² + v² + w², up to what second differences remove.
fn parallel(u: f64, v: f64, w: f64) -> f64 {
    let r = (u * u + v * v + w * w).sqrt();
    u * v * (u * v / (w * r)).atan()
        + w * (u * log(u, r, v * v + w * w) + v * log(v, r, u * u + w * w) - r)
}

/// F with `∂³F/∂v²∂w = 1/r`, r² = u² + v² + w², up to what the differences remove.
fn upright(u: f64, v: f64, w: f64) -> f64 {
    let r = (u * u + v * v + w * w).sqrt();
    let angle =
        if u == 0.0 || v == 0.0 || w == 0.0 { 0.0 } else { u * v * (v * w / (u * r)).atan() };
    times_log(0.5 * (v - u) * (v + u), w, r, u * u + v * v) + times_log(v * w, v, r, u * u + w * w)
        - angle
        - 0.5 * w * r
}

#[cfg(test)]
mod tests {
    use super::super::flux::Rule;
    use super::super::panel::Panel;
    use super::*;

    fn panel(r: &Rectangle) -> Panel {
        let (u, v) = ((r.axis + 1) % 3, (r.axis + 2) % 3);
        let at = |cu: f64, cv: f64| {
            let mut p = r.low;
            (p[u], p[v]) = (cu, cv);
            p
        };
        Panel::new([
            at(r.low[u], r.low[v]),
            at(r.high[u], r.low[v]),
            at(r.high[u], r.high[v]),
            at(r.low[u], r.high[v]),
        ])
    }

    /// Against the closed-form field and a quadrature that refines near the charge.
    #[test]
    fn cross_rectangles() {
        let source = Rectangle::new(2, [0.0, 0.0, 0.0], [1.0, 0.6, 0.0]);
        let targets = [
            (2, [0.0, 0.0, 0.05], [1.0, 0.6, 0.05], 1e-4),
            (2, [0.2, 0.6, -0.3], [0.8, 0.9, -0.3], 1e-6),
            (2, [1.0, -2.0, 1.0], [3.0, 2.0, 1.0], 1e-6),
            (0, [1.0, 0.0, 0.0], [1.0, 0.6, 0.4], 2e-3),
            (0, [1.0, 0.3, -0.4], [1.0, 1.6, 0.4], 2e-3),
            (1, [0.0, -0.5, -1.0], [1.0, -0.5, 0.0], 1e-6),
            (1, [0.3, 0.2, 0.1], [0.9, 0.2, 0.9], 1e-5),
        ];
        let from = panel(&source);
        for (axis, a, b, tolerance) in targets {
            let target = Rectangle::new(axis, a, b);
            let to = panel(&target);
            let mut rule = Rule::new();
            rule.push_near(&to, |p| from.distance(p));
            let mut each = [const { Vec::new() }; 3];
            rule.each(&mut each, |p| from.fields(p));
            let mean = rule.sums(&each[0]).next().unwrap();
            let exact = target.flux_from(&source) / to.area;
            println!("{axis} {a:?}: {exact:.9} {:.1e}", mean / exact - 1.0);
            assert!((mean - exact).abs() <= tolerance * exact.abs(), "{mean} {exact}");
        }
    }

    /// The flux of one face of a box out of all its faces is half its charge.
    #[test]
    fn prop_half_the_charge_leaves() {
        let (low, high) = ([0.0, 0.0, 0.0], [3.0, 2.0, 0.1]);
        let face = |axis: usize, level: f64| {
            let (mut a, mut b) = (low, high);
            (a[axis], b[axis]) = (level, level);
            Rectangle::new(axis, a, b)
        };
        let source = face(2, 0.1);
        let mut out = 0.0;
        for axis in 0..3 {
            out += face(axis, high[axis]).flux_from(&source)
                - face(axis, low[axis]).flux_from(&source);
        }
        assert!((out / 6.0 - 0.5).abs() < 1e-13, "{out}");
    }
}
