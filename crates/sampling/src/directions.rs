//! The digital net behind the points: Sobol's sequence with 64 binary digits.

use crate::SamplingError;

/// Most dimensions a point can have: as many as the table of direction numbers goes.
pub const MOST_DIMENSIONS: usize = 1000;

/// Digits of an index, and of a coordinate.
const DIGITS: usize = 64;

const TABLE: &str = include_str!("../data/joe-kuo-6.txt");

/// Plain Sobol points `[sobol1967]`, in the order of the Gray code `[antonov1979]`, with the direction
/// numbers of `[joe2008]`.
///
/// Coordinates are integers of 64 binary digits: the coordinate itself, in [0, 1), is that over 2⁶⁴.
/// Point 0 is the origin; points `k 2^m` to `(k + 1) 2^m − 1` are a net, for any k and m.
#[derive(Debug, Clone)]
pub struct Directions {
    dimensions: usize,
    /// For each digit of the index, from the lowest, the direction numbers of all dimensions, mirrored:
    /// the first digit of the coordinate is the lowest bit.
    columns: Vec<u64>,
}

impl Directions {
    /// # Errors
    /// If there are no dimensions or more than [`MOST_DIMENSIONS`].
    pub fn new(dimensions: usize) -> Result<Self, SamplingError> {
        if dimensions == 0 || dimensions > MOST_DIMENSIONS {
            return Err(SamplingError::Dimensions { asked: dimensions, most: MOST_DIMENSIONS });
        }
        let mut columns = vec![0; DIGITS * dimensions];
        let first = std::array::from_fn(|digit| 1 << (DIGITS - 1 - digit));
        let rows = TABLE.lines().filter(|line| !line.starts_with('#')).map(directions);
        for (d, row) in std::iter::once(first).chain(rows).take(dimensions).enumerate() {
            for (digit, direction) in row.iter().enumerate() {
                columns[digit * dimensions + d] = direction.reverse_bits();
            }
        }
        Ok(Self { dimensions, columns })
    }

    /// Coordinates of a point.
    #[must_use]
    pub fn dimensions(&self) -> usize {
        self.dimensions
    }

    /// Point `index`: 64 binary digits for each coordinate.
    #[must_use]
    pub fn point(&self, index: u64) -> Vec<u64> {
        self.mirrored(index).into_iter().map(u64::reverse_bits).collect()
    }

    /// Point `index`, the first digit of each coordinate lowest.
    pub(crate) fn mirrored(&self, index: u64) -> Vec<u64> {
        let gray = index ^ (index >> 1);
        let mut point = vec![0; self.dimensions];
        for (digit, column) in self.columns.chunks_exact(self.dimensions).enumerate() {
            if gray >> digit & 1 == 1 {
                flip(&mut point, column);
            }
        }
        point
    }

    /// Makes the mirrored point `index - 1` the mirrored point `index`: the Gray codes of the two differ
    /// in one digit.
    pub(crate) fn step(&self, point: &mut [u64], index: u64) {
        let digit = index.trailing_zeros() as usize;
        if let Some(column) = self.columns.chunks_exact(self.dimensions).nth(digit) {
            flip(point, column);
        }
    }
}

fn flip(point: &mut [u64], column: &[u64]) {
    for (coordinate, direction) in point.iter_mut().zip(column) {
        *coordinate ^= direction;
    }
}

/// The direction numbers of a row of the table, first digit highest.
///
/// With the polynomial `x^s + a_1 x^(s-1) + ... + a_(s-1) x + 1` each follows from the s before it:
/// `v_k = a_1 v_(k-1) ^ ... ^ a_(s-1) v_(k-s+1) ^ v_(k-s) ^ (v_(k-s) >> s)` (`[joe2008]` (3), for the
/// numbers `v_k = m_k / 2^k`).
fn directions(row: &str) -> [u64; DIGITS] {
    let mut numbers = row.split_ascii_whitespace().skip(1).map(|word| {
        word.parse::<u64>().expect("the table of direction numbers is made of whole numbers")
    });
    let [degree, inner] = std::array::from_fn(|_| numbers.next().unwrap_or_default());
    let degree = degree as usize;
    let mut v = [0; DIGITS];
    for (k, m) in numbers.enumerate() {
        v[k] = m << (DIGITS - 1 - k);
    }
    for k in degree..DIGITS {
        v[k] = v[k - degree] ^ (v[k - degree] >> degree);
        for back in 1..degree {
            if inner >> (degree - 1 - back) & 1 == 1 {
                v[k] ^= v[k - back];
            }
        }
    }
    v
}
