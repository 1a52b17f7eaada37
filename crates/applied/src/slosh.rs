//! Slosh: how a free surface swings, how far, and how long a reading must be held not to chatter.
//!
//! Linear theory of an ideal liquid in a rigid tank without baffles: waves small against depth and length.

use crate::float::GRAVITY;
use std::f64::consts::{PI, TAU};

/// A free surface that a sideways disturbance swings, lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Round, as in an upright cylinder, with the diameter for its length; else a rectangle, swinging along
    /// its length.
    pub round: bool,
    /// Its length along the disturbance.
    pub length: f64,
    /// Depth of the liquid.
    pub depth: f64,
}

/// What shakes a tank sideways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Disturbance {
    /// An acceleration that sets in at once and stays, m/s²: braking, a bend.
    Sudden {
        /// How much.
        acceleration: f64,
    },
    /// One that swings, m/s² either way.
    Swinging {
        /// Its amplitude.
        acceleration: f64,
        /// Its frequency, Hz.
        frequency: f64,
        /// Damping of the liquid over critical damping.
        damping: f64,
    },
}

/// A place of a surface and what shakes it: that which no level changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaken {
    disturbance: Disturbance,
    place: f64,
    /// What each mode holds of the tilt there; of a disturbance that swings alone.
    shares: [f64; MODES],
}

impl Shaken {
    /// At a place from the middle (−1 to 1, over half the length) of a round or a rectangular surface.
    pub fn new(disturbance: Disturbance, round: bool, place: f64) -> Self {
        let shares = match disturbance {
            Disturbance::Sudden { .. } => [0.0; MODES],
            Disturbance::Swinging { .. } => std::array::from_fn(|mode| share(round, mode, place)),
        };
        Self { disturbance, place, shares }
    }

    /// True of a disturbance that swings the surface as far at each level.
    pub fn is_sudden(&self) -> bool {
        matches!(self.disturbance, Disturbance::Sudden { .. })
    }
}

/// Share of the tilt of the surface under a steady acceleration that a mode holds, at a place from the
/// middle (−1 to 1, over half the length): height over (half length × acceleration / gravity).
///
/// Rectangle: `8/(nπ)² sin(nπx/2) (−1)^((n−1)/2)`, the Fourier series of x. Round: `2/(ξ² − 1) J1(ξx)/J1(ξ)`,
/// its Dini series. `[ibrahim2005]` chapter 1
fn share(round: bool, mode: usize, place: f64) -> f64 {
    if round {
        let zero = ROUND[mode];
        2.0 / (zero * zero - 1.0) * bessel_j1(zero * place) / bessel_j1(zero)
    } else {
        let n = (2 * mode + 1) as f64;
        let sign = if mode.is_multiple_of(2) { 1.0 } else { -1.0 };
        8.0 / (n * PI).powi(2) * sign * (0.5 * n * PI * place).sin()
    }
}

/// Zeros of the derivative of the Bessel function J1. `[dlmf]` section 10.21
const ROUND: [f64; 8] = [
    1.841_183_781_340_66,
    5.331_442_773_525_03,
    8.536_316_366_346_29,
    11.706_004_902_592_06,
    14.863_588_633_909_03,
    18.015_527_862_681_8,
    21.164_369_859_188_79,
    24.311_326_857_210_78,
];
/// Modes summed.
const MODES: usize = ROUND.len();

impl Surface {
    /// Wave number of a mode that a sideways disturbance excites, from 0, 1/m.
    fn wave_number(self, mode: usize) -> f64 {
        match self.round {
            true => ROUND[mode] / (0.5 * self.length),
            false => (2 * mode + 1) as f64 * PI / self.length,
        }
    }

    /// Frequency of a mode that a sideways disturbance excites, from 0, Hz. In a rectangle these are the odd
    /// ones: `n = 1, 3, 5 …` of [`frequency`].
    ///
    /// # Panics
    /// Beyond the eighth mode.
    pub fn excited(self, mode: usize) -> f64 {
        swing(self.wave_number(mode), self.depth)
    }

    /// How far the surface goes up and down about its level where it is `shaken`, m.
    ///
    /// A sudden acceleration swings each mode to twice its steady tilt; all of them never add up to more than
    /// twice the tilt at the place. A swinging one is answered by each mode as by a damped oscillator, the
    /// amplitudes added: an upper estimate away from resonance.
    pub fn amplitude(self, shaken: &Shaken) -> f64 {
        let tilt = |acceleration: f64| acceleration.abs() / GRAVITY * 0.5 * self.length;
        match shaken.disturbance {
            Disturbance::Sudden { acceleration } => 2.0 * tilt(acceleration) * shaken.place.abs(),
            Disturbance::Swinging { acceleration, frequency, damping } => {
                let answered = (0..MODES).map(|mode| {
                    let ratio = frequency / self.excited(mode);
                    let gain = (1.0 - ratio * ratio).hypot(2.0 * damping * ratio);
                    shaken.shares[mode].abs() / gain
                });
                tilt(acceleration) * answered.sum::<f64>()
            }
        }
    }
}

/// Frequency of the nth standing wave (from 1) along the length of a rectangular surface, Hz.
///
/// `f = √(n π g / L · tanh(n π h / L)) / 2π` with g = 9.80665 m/s². `[lamb1932]` article 228
pub fn frequency(n: u32, length: f64, depth: f64) -> f64 {
    swing(f64::from(n) * PI / length, depth)
}

/// `√(g k tanh(k h)) / 2π`
fn swing(wave_number: f64, depth: f64) -> f64 {
    (GRAVITY * wave_number * (wave_number * depth).tanh()).sqrt() / TAU
}

/// How long a state must last before it counts, s, so that a level that swings by `amplitude` about any mean,
/// once in `period` s, never changes the reading of a contact with this differential (a difference of levels,
/// m). 0 where the swing is too small to change it at all.
///
/// About the mean at which a state lasts longest it begins on the way through the further level and ends on
/// the way back through the other: `T · (3/4 + asin(1 − D/A) / 2π)` of a sine. Own derivation,
/// `cross_hold_by_simulation`.
pub fn hold_time(amplitude: f64, differential: f64, period: f64) -> f64 {
    if 2.0 * amplitude <= differential {
        return 0.0;
    }
    period * (0.75 + (1.0 - differential / amplitude).clamp(-1.0, 1.0).asin() / TAU)
}

/// J1 for moderate arguments, by Bessel's integral on even steps, which converges faster than any power.
/// `[dlmf]` eq. 10.9.1
fn bessel_j1(x: f64) -> f64 {
    const STEPS: usize = 64;
    let at = |k: usize| {
        let angle = PI * k as f64 / STEPS as f64;
        let weight = if k == 0 || k == STEPS { 0.5 } else { 1.0 };
        weight * (angle - x * angle.sin()).cos()
    };
    (0..=STEPS).map(at).sum::<f64>() / STEPS as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Linear theory evaluated beside, six digits printed.
    #[test]
    fn cross_frequencies_of_a_rectangle() {
        let rows = [
            (1, 1.0, 0.5, 0.846011),
            (2, 1.0, 0.5, 1.246980),
            (1, 0.6, 0.2, 1.007688),
            (1, 2.0, 1.0, 0.598220),
        ];
        for (n, length, depth, hertz) in rows {
            assert!((frequency(n, length, depth) - hertz).abs() < 1e-6, "{n} {length}");
        }
    }

    /// J1 has its derivative's zeros where the table says; J1(1.8412) = 0.5819 `[dlmf]`, digits from memory.
    #[test]
    fn prop_zeros_are_tops_of_the_bessel_function() {
        for zero in ROUND {
            let slope = (bessel_j1(zero + 1e-5) - bessel_j1(zero - 1e-5)) / 2e-5;
            assert!(slope.abs() < 1e-9, "{zero} {slope}");
        }
        assert!((bessel_j1(ROUND[0]) - 0.5819).abs() < 5e-5);
    }

    /// Together the modes are the plane that a steady acceleration tilts the surface to.
    #[test]
    fn prop_modes_add_up_to_the_tilt() {
        for round in [false, true] {
            for place in [0.2, 0.5, 0.9] {
                let sum: f64 = (0..MODES).map(|mode| share(round, mode, place)).sum();
                assert!((sum - place).abs() < 0.02, "{round} {place} {sum}");
            }
        }
    }

    /// Slow swinging only tilts the surface; at resonance the first mode is 1/(2 damping) times its tilt.
    #[test]
    fn prop_swinging_from_tilt_to_resonance() {
        let surface = Surface { round: false, length: 0.6, depth: 0.2 };
        let at = |frequency: f64, damping: f64| {
            let swinging = Disturbance::Swinging { acceleration: 0.1, frequency, damping };
            surface.amplitude(&Shaken::new(swinging, false, 1.0))
        };
        let tilt = 0.1 / GRAVITY * 0.3;
        assert!((at(1e-6, 0.01) / tilt - 1.0).abs() < 0.03);
        let first = 8.0 / (PI * PI) * tilt;
        assert!((at(surface.excited(0), 0.001) / (first * 500.0) - 1.0).abs() < 0.01);
        let sudden = Disturbance::Sudden { acceleration: 0.1 };
        let sudden = surface.amplitude(&Shaken::new(sudden, false, 0.5));
        assert!((sudden / tilt - 1.0).abs() < 1e-12);
    }

    /// The longest that a contact stays in either state under a swinging level, over all means, walked step by
    /// step.
    fn longest_state(amplitude: f64, differential: f64) -> f64 {
        let mut longest = 0.0_f64;
        for k in 0..=400 {
            let mean = amplitude * (f64::from(k) / 200.0 - 1.0);
            let (mut closed, mut since, mut changes) = (false, None, 0);
            let steps = 20_000;
            for i in 0..3 * steps {
                let level = mean + amplitude * (TAU * f64::from(i) / f64::from(steps)).sin();
                let now =
                    if closed { level > -0.5 * differential } else { level > 0.5 * differential };
                if now != closed {
                    let at = f64::from(i) / f64::from(steps);
                    if let Some(before) = since.filter(|_| changes > 1) {
                        longest = longest.max(at - before);
                    }
                    (closed, since, changes) = (now, Some(at), changes + 1);
                }
            }
        }
        longest
    }

    #[test]
    fn cross_hold_by_simulation() {
        for differential in [0.2, 0.6, 1.0, 1.6] {
            let (told, walked) =
                (hold_time(1.0, differential, 1.0), longest_state(1.0, differential));
            // The mean goes in steps of 0.005 of the amplitude: the state lasts the root of that less.
            assert!(
                walked <= told + 1e-3 && told - walked < 0.04,
                "{differential}: {told} {walked}"
            );
        }
    }

    /// Common practice, no source: a larger differential protects against chatter under slosh. A level that
    /// swings less than half the differential either way changes nothing, and of two contacts under the same
    /// swing the one with more differential needs less holding.
    #[test]
    fn prop_more_differential_less_chatter() {
        assert_eq!(hold_time(1.0, 2.0, 1.0), 0.0);
        assert_eq!(longest_state(1.0, 2.001), 0.0);
        let mut last = f64::INFINITY;
        for k in 0..20 {
            let hold = hold_time(1.0, 0.1 * f64::from(k), 1.0);
            assert!(hold < last && (0.5..=1.0).contains(&hold), "{k} {hold}");
            last = hold;
        }
    }
}
