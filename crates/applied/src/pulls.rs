//! A spring against the pull of a contact's own circuit, tabled over the gap.

/// Pull of a gap against its width, per square of the ampere-turns that make it, SI.
///
/// Between the places of the table 1/√pull is straight: that of a gap with a core, `μ0 A/(2 (x + r)²)`, is straight
/// throughout, and that of a contact's circuit nearly so.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulls {
    /// Rising, m.
    gaps: Vec<f64>,
    /// 1/√(N/A²).
    roots: Vec<f64>,
    /// What closing from the widest gap adds to the inductance of one turn, H.
    gained: Vec<f64>,
}

impl Pulls {
    /// From the pull (N) of one ampere-turn at gaps (m) that rise, two or more.
    pub fn new(points: &[[f64; 2]]) -> Self {
        let (gaps, roots): (Vec<f64>, Vec<f64>) =
            points.iter().map(|[gap, pull]| (*gap, 1.0 / pull.sqrt())).unzip();
        let mut gained = vec![0.0; gaps.len()];
        for k in (0..gaps.len() - 1).rev() {
            gained[k] = gained[k + 1] + 2.0 * (gaps[k + 1] - gaps[k]) / (roots[k] * roots[k + 1]);
        }
        Self { gaps, roots, gained }
    }

    /// The piece of the table for a gap, and 1/√pull there. Beyond its ends the outer pieces go on.
    fn at(&self, gap: f64) -> (usize, f64) {
        let k = self.gaps.partition_point(|known| *known < gap).clamp(1, self.gaps.len() - 1) - 1;
        (k, self.roots[k] + self.slope(k) * (gap - self.gaps[k]))
    }

    fn slope(&self, piece: usize) -> f64 {
        (self.roots[piece + 1] - self.roots[piece]) / (self.gaps[piece + 1] - self.gaps[piece])
    }

    /// Pull of one ampere-turn at a gap (m), N.
    pub fn pull(&self, gap: f64) -> f64 {
        self.at(gap).1.powi(-2)
    }

    /// The same, and how it changes with the gap, N/m.
    pub fn pull_and_slope(&self, gap: f64) -> [f64; 2] {
        let (piece, root) = self.at(gap);
        [root.powi(-2), -2.0 * self.slope(piece) * root.powi(-3)]
    }

    /// What closing from the widest gap of the table to this one adds to the inductance of one turn, H: twice the
    /// integral of the pull, for half of `L i²` is the work that the pull does at a steady current.
    pub fn gained(&self, gap: f64) -> f64 {
        let (piece, root) = self.at(gap);
        self.gained[piece] - 2.0 * (gap - self.gaps[piece]) / (self.roots[piece] * root)
    }

    /// Ampere-turns that hold a spring (N/m) that rests at a gap `rest` (m) at another `gap` (m).
    pub fn balance(&self, stiffness: f64, rest: f64, gap: f64) -> f64 {
        (stiffness * (rest - gap)).max(0.0).sqrt() * self.at(gap).1
    }

    /// Ampere-turns at which such a spring snaps shut onto a `closed` gap (m), and the gap (m) that it snaps at: the
    /// greatest of all balances on the way.
    pub fn pull_in(&self, stiffness: f64, rest: f64, closed: f64) -> (f64, f64) {
        let mut best = (self.balance(stiffness, rest, closed), closed);
        let mut look = |gap: f64| {
            let turns = self.balance(stiffness, rest, gap);
            if turns > best.0 {
                best = (turns, gap);
            }
        };
        for piece in 0..self.gaps.len() - 1 {
            // √(g − x) (a + b x) is greatest at x = (2 b g − a)/(3 b).
            let slope = self.slope(piece);
            let start = self.roots[piece] - slope * self.gaps[piece];
            let most = (2.0 * slope * rest - start) / (3.0 * slope);
            let [low, high] = [self.gaps[piece].max(closed), self.gaps[piece + 1].min(rest)];
            if low < high {
                look(most.clamp(low, high));
            }
        }
        best
    }

    /// Stiffness (N/m) of the spring that snaps shut at these ampere-turns.
    pub fn stiffness(&self, ampere_turns: f64, rest: f64, closed: f64) -> f64 {
        (ampere_turns / self.pull_in(1.0, rest, closed).0).powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pull_in::Snap;

    const SNAP: Snap = Snap { stiffness: 200.0, gap: 50e-6, area: 0.75e-6, core: 20e-6 };
    /// μ0, CODATA 2022.
    const MU_0: f64 = 1.256_637_061_27e-6;

    fn of(snap: Snap) -> Pulls {
        let pull = |x: f64| MU_0 * snap.area / (2.0 * (x + snap.core).powi(2));
        let points: Vec<[f64; 2]> =
            [4e-6, 10e-6, 17e-6, 33e-6, 60e-6].iter().map(|x| [*x, pull(*x)]).collect();
        Pulls::new(&points)
    }

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// A gap with a core has the closed forms of [`Snap`], `[senturia2001]` section 7.3.
    #[test]
    fn cross_a_lumped_gap() {
        let pulls = of(SNAP);
        let (turns, at) = pulls.pull_in(SNAP.stiffness, SNAP.gap, 5e-6);
        close(turns, SNAP.pull_in(), 1e-12);
        close(at, SNAP.gap - SNAP.travel(), 1e-12);
        close(pulls.balance(SNAP.stiffness, SNAP.gap, 5e-6), SNAP.release(5e-6), 1e-12);
        close(pulls.stiffness(turns, SNAP.gap, 5e-6), SNAP.stiffness, 1e-12);
        // A gap that is nowhere unstable closes steadily.
        let steady = Snap { core: 120e-6, ..SNAP };
        let (turns, at) = of(steady).pull_in(steady.stiffness, steady.gap, 5e-6);
        close(turns, steady.balance(5e-6), 1e-12);
        assert_eq!(at, 5e-6);
    }

    /// The inductance of a gap with a core, μ0 A/(x + r), inside the table and beyond its ends.
    #[test]
    fn cross_inductance_gained() {
        let pulls = of(SNAP);
        let inductance = |x: f64| MU_0 * SNAP.area / (x + SNAP.core);
        for gap in [2e-6, 4e-6, 12e-6, 33e-6, 59e-6, 70e-6] {
            let gained = inductance(gap) - inductance(60e-6);
            close(pulls.gained(gap), gained, 1e-10);
            let [pull, slope] = pulls.pull_and_slope(gap);
            close(pull, pulls.pull(gap), 1e-15);
            close(slope, -2.0 * pull / (gap + SNAP.core), 1e-10);
        }
    }
}
