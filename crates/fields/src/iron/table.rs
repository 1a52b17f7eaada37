//! A B-H table: monotone cubics between the rows, approach to saturation beyond them.

use super::CurveError;
use crate::MU_0;

/// Rows as h = μ0 H (T) over B (T), with the slope dh/dB at each.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Table {
    b: Vec<f64>,
    h: Vec<f64>,
    slope: Vec<f64>,
    /// Js (T) and c (T²) of `J = Js − c/h` beyond the last row.
    saturation: f64,
    approach: f64,
}

impl Table {
    pub(super) fn new(rows: &[[f64; 2]]) -> Result<Self, CurveError> {
        let mut b = vec![0.0];
        let mut h = vec![0.0];
        for (i, &[field_strength, flux_density]) in rows.iter().enumerate() {
            if i == 0 && field_strength == 0.0 && flux_density == 0.0 {
                continue;
            }
            let reduced = MU_0 * field_strength;
            let rises = reduced > h[h.len() - 1] && flux_density > b[b.len() - 1];
            if !rises || !reduced.is_finite() || !flux_density.is_finite() {
                return Err(CurveError::NotRising(i + 1));
            }
            if flux_density < reduced {
                return Err(CurveError::BelowAir(i + 1));
            }
            h.push(reduced);
            b.push(flux_density);
        }
        if b.len() < 3 {
            return Err(CurveError::TooFewRows(rows.len()));
        }
        let mut slope = slopes(&b, &h);
        let last = b.len() - 1;
        // A polarization that falls with the field would be a table's rounding, not iron.
        slope[last] = slope[last].min(1.0);
        let rise = 1.0 / slope[last] - 1.0;
        let approach = rise * h[last] * h[last];
        let saturation = b[last] - h[last] + rise * h[last];
        Ok(Self { b, h, slope, saturation, approach })
    }

    /// h (T) and dh/dB at `b ≥ 0` (T).
    pub(super) fn h(&self, b: f64) -> (f64, f64) {
        let last = self.b.len() - 1;
        if b >= self.b[last] {
            // h² + (Js − B) h − c = 0; both terms of the root are positive beyond Js, and before it the
            // other root gives the sum without a difference.
            let (excess, c) = (0.5 * (b - self.saturation), self.approach);
            let root = excess.hypot(c.sqrt());
            let h = if excess >= 0.0 { excess + root } else { c / (root - excess) };
            return (h, 1.0 / (1.0 + c / (h * h)));
        }
        let i = self.b.partition_point(|&row| row <= b).saturating_sub(1);
        self.within(i, b)
    }

    /// The cubic between rows `i` and `i + 1`.
    fn within(&self, i: usize, b: f64) -> (f64, f64) {
        let width = self.b[i + 1] - self.b[i];
        let t = (b - self.b[i]) / width;
        let (from, to) = (self.slope[i], self.slope[i + 1]);
        let mean = (self.h[i + 1] - self.h[i]) / width;
        // h = h_i + width (t s_i + t² (3 m − 2 s_i − s_j) + t³ (s_i + s_j − 2 m))
        let (square, cube) = (3.0 * mean - 2.0 * from - to, from + to - 2.0 * mean);
        (
            self.h[i] + width * t * (from + t * (square + t * cube)),
            from + t * (2.0 * square + 3.0 * t * cube),
        )
    }

    /// B (T) at `h ≥ 0` (T): Newton's rule kept inside the rows that enclose it.
    pub(super) fn b(&self, h: f64) -> f64 {
        let last = self.h.len() - 1;
        if h >= self.h[last] {
            return h + self.saturation - self.approach / h;
        }
        let i = self.h.partition_point(|&row| row <= h).saturating_sub(1);
        let (mut low, mut high) = (self.b[i], self.b[i + 1]);
        let mut b = low + (high - low) * (h - self.h[i]) / (self.h[i + 1] - self.h[i]);
        // 200 halvings would do without Newton; it takes five steps or so.
        for _ in 0..200 {
            let (at, slope) = self.within(i, b);
            if at > h {
                high = b;
            } else {
                low = b;
            }
            let newton = b - (at - h) / slope;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - b).abs() <= f64::EPSILON * b {
                return next;
            }
            b = next;
        }
        b
    }
}

/// Slopes at the rows by `[fritsch1984]`: the weighted harmonic mean of the neighbouring chords.
///
/// At the ends the parabola through three rows, held between zero and three times the chord.
fn slopes(b: &[f64], h: &[f64]) -> Vec<f64> {
    let chord = |i: usize| (h[i + 1] - h[i]) / (b[i + 1] - b[i]);
    let width = |i: usize| b[i + 1] - b[i];
    let end = |near: usize, next: usize| {
        let (w, v) = (width(near), width(next));
        let parabola = ((2.0 * w + v) * chord(near) - w * chord(next)) / (w + v);
        // Above zero: a curve that starts level would have no permeability there.
        parabola.clamp(0.1 * chord(near), 3.0 * chord(near))
    };
    let last = b.len() - 1;
    (0..=last)
        .map(|i| match i {
            0 => end(0, 1),
            i if i == last => end(last - 1, last - 2),
            i => {
                let before = width(i - 1) + 2.0 * width(i);
                let after = 2.0 * width(i - 1) + width(i);
                (before + after) / (after / chord(i - 1) + before / chord(i))
            }
        })
        .collect()
}
