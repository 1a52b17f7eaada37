//! Nested uniform scrambling of one coordinate, by a hash that never looks ahead.

/// Fractional digits of √2, √3 and √5, the last two set to `10`: even, so that the round below is a
/// permutation, and with each digit acting on the next.
const MIX: [u64; 3] = [0x6a09_e667_f3bc_c90a, 0xbb67_ae85_84ca_a73a, 0x3c6e_f372_fe94_f82a];

/// One nested permutation of the binary digits of a coordinate: whether a digit is flipped depends on
/// the digits before it and on nothing else `[owen1995]`, so every dyadic interval keeps its share.
///
/// On mirrored coordinates (first digit lowest) products and sums carry from each digit to later ones
/// only, which makes any mixture of them such a permutation; that is the idea of `[laine2011]` and
/// `[burley2020]`. Here two of the rounds are `n a + b` with 63 and 64 random bits. For two coordinates that
/// first differ in digit j, `a` times their difference has uniform digits after the j-th, and `b` makes the
/// first one uniform: each is uniform, they share j − 1 digits, and the rest are independent. This is
/// all that the variance of an average depends on, so the variance is that of Owen's scrambling
/// (`[owen1997]`) and not only near it. The fixed rounds between do not change that; they break up the
/// lattice which a single product would leave among three coordinates or more.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scramble {
    factors: [u64; 2],
    terms: [u64; 2],
}

impl Scramble {
    /// The scramble of one coordinate: a function of the seed, the number of the scramble and the
    /// coordinate.
    pub fn new(seed: u64, number: u64, coordinate: u64) -> Self {
        let own = mix(mix(mix(seed) ^ number) ^ coordinate);
        let [f, g, s, t] = std::array::from_fn(|k| mix(own ^ k as u64));
        Self { factors: [f | 1, g | 1], terms: [s, t] }
    }

    /// The scrambled coordinate; both mirrored.
    #[inline]
    pub fn apply(&self, mirrored: u64) -> u64 {
        let n = blend(mirrored, MIX[0]).wrapping_mul(self.factors[0]).wrapping_add(self.terms[0]);
        let n = blend(n, MIX[1]).wrapping_mul(self.factors[1]).wrapping_add(self.terms[1]);
        blend(n, MIX[2])
    }
}

#[inline]
fn blend(n: u64, even: u64) -> u64 {
    n ^ n.wrapping_mul(even)
}

/// The SplitMix64 step and finalizer `[steele2014]`.
fn mix(z: u64) -> u64 {
    let z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_later_digits_never_change_earlier_ones() {
        for seed in 0..200 {
            let scramble = Scramble::new(seed, 3, 5);
            let n = mix(seed ^ 77);
            for digit in 0..64 {
                let earlier = (1u64 << digit) - 1;
                let moved = scramble.apply(n ^ (mix(n ^ digit) << digit)) ^ scramble.apply(n);
                assert_eq!(moved & earlier, 0);
            }
        }
    }

    #[test]
    fn prop_two_coordinates_are_independent_after_the_digit_that_parts_them() {
        let seeds = 20_000;
        for (x, parted) in [(0, 0), (0, 7), (0b1011, 2), (mix(1), 20), (mix(2), 40)] {
            let y = x ^ (0b101 << parted) ^ (mix(x) << (parted + 8));
            // digit `one` of the first with digit `other` of the second, both after the parting
            for (one, other) in [(1, 1), (1, 2), (2, 1), (3, 3), (5, 9), (0, 1)] {
                let mut cells = [0i64; 4];
                for seed in 0..seeds {
                    let scramble = Scramble::new(seed, 0, 0);
                    let first = scramble.apply(x) >> (parted + one) & 1;
                    let second = scramble.apply(y) >> (parted + other) & 1;
                    cells[(2 * first + second) as usize] += 1;
                }
                let expected = seeds as f64 / 4.0;
                let chi2: f64 =
                    cells.iter().map(|&n| (n as f64 - expected).powi(2) / expected).sum();
                // 99.99 % of chi squared with three degrees of freedom: 21.1
                assert!(chi2 < 21.1, "{parted} {one} {other}: {cells:?}");
            }
        }
    }
}
