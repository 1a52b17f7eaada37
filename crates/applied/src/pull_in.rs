//! A spring against a magnetic pull: where it snaps shut, where it lets go.

/// μ0, CODATA 2022: 1.256 637 061 27(20)e-6 N/A².
const MU_0: f64 = 1.256_637_061_27e-6;

/// A gap that a spring keeps open and ampere-turns close, SI.
///
/// The pull is `μ0 A NI²/(2 (x + r)²)` at a gap x, the spring's force `k (g − x)`. The core's reluctance counts as a
/// further gap r; iron that saturates makes it grow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Snap {
    /// Stiffness k, N/m: of both blades in series where both bend.
    pub stiffness: f64,
    /// Gap at rest g, m.
    pub gap: f64,
    /// Area A, m².
    pub area: f64,
    /// Core's reluctance as a gap r, m: reluctance times μ0 A.
    pub core: f64,
}

impl Snap {
    /// Ampere-turns at which it snaps shut: `√(8 k (g + r)³/(27 μ0 A))`, where the pull rises faster than the spring, or
    /// those that close it steadily where it never does, r ≥ 2 g.
    ///
    /// Force and its slope equal at a travel of `(g + r)/3`; the electrostatic case, `V = √(8 k g³/(27 ε0 A))`, is that of
    /// `[senturia2001]` section 7.3.
    pub fn pull_in(self) -> f64 {
        let travel = self.travel();
        self.balance(self.gap - travel)
    }

    /// How far it has moved when it snaps, m: `(g + r)/3`, at most the gap.
    pub fn travel(self) -> f64 {
        ((self.gap + self.core) / 3.0).min(self.gap)
    }

    /// Ampere-turns at which it lets go of a rest gap (m) that its plating or a film keeps:
    /// `√(2 k (g − x0) (x0 + r)²/(μ0 A))`; no more than pull-in.
    pub fn release(self, rest_gap: f64) -> f64 {
        self.balance(rest_gap).min(self.pull_in())
    }

    /// Ampere-turns that hold the spring at a gap (m).
    pub fn balance(self, gap: f64) -> f64 {
        let force = self.stiffness * (self.gap - gap);
        (2.0 * force / (MU_0 * self.area)).sqrt() * (gap + self.core)
    }

    /// Force that closes the faces (N) at ampere-turns, beyond the spring's, at a rest gap (m); negative where it is
    /// open.
    pub fn contact_force(self, ampere_turns: f64, rest_gap: f64) -> f64 {
        let pull = MU_0 * self.area * ampere_turns.powi(2) / (2.0 * (rest_gap + self.core).powi(2));
        pull - self.stiffness * (self.gap - rest_gap)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::holm::EPSILON_0;

    const SNAP: Snap = Snap { stiffness: 200.0, gap: 50e-6, area: 0.75e-6, core: 0.0 };

    fn close(found: f64, expected: f64, within: f64) {
        assert!((found / expected - 1.0).abs() < within, "{found} for {expected}");
    }

    /// Worked out beside: 200 N/m, 50 µm, 0.75 mm².
    #[test]
    fn cross_pull_in_and_release() {
        let cored = Snap { core: 20e-6, ..SNAP };
        close(SNAP.pull_in(), 2.80348, 2e-6);
        close(cored.pull_in(), 4.64397, 2e-6);
        close(cored.gap - cored.travel(), 26.667e-6, 2e-5);
        close(SNAP.release(5e-6), 0.690988, 2e-6);
        close(cored.release(5e-6), 3.454941, 2e-6);
        close(cored.release(5e-6) / cored.pull_in(), 0.74396, 1e-5);
    }

    /// The electrostatic twin of `[senturia2001]`, V for NI and ε0 for μ0: 10 N/m, 2 µm, 1e-8 m²: 16.3619 V.
    #[test]
    fn cross_electrostatic_twin() {
        let twin = Snap { stiffness: 10.0, gap: 2e-6, area: 1e-8, core: 0.0 };
        close(twin.pull_in() * (MU_0 / EPSILON_0).sqrt(), 16.3619, 2e-6);
        close(twin.travel(), 2e-6 / 3.0, 1e-12);
    }

    /// Pull-in is the greatest of all balances on the way, and contact force is none at release.
    #[test]
    fn prop_pull_in_is_the_greatest_balance() {
        for core in [0.0, 10e-6, 24e-6, 60e-6, 200e-6] {
            let snap = Snap { core, ..SNAP };
            let most = (0..=10_000)
                .map(|k| snap.balance(snap.gap * f64::from(k) / 10_000.0))
                .fold(0.0, f64::max);
            close(snap.pull_in(), most, 1e-6);
            if core > 0.0 || snap.balance(2e-6) < snap.pull_in() {
                assert!(snap.contact_force(snap.balance(2e-6), 2e-6).abs() < 1e-12);
            }
        }
    }
}
