//! A batch through the forms of one law: points are sorted by the form that serves them, and each form
//! runs as vector code on its own.
//!
//! What a point gets depends on that point alone, never on its neighbours, the batch's length, the
//! machine's instructions or the number of threads.

use rayon::prelude::*;

use crate::Points;
use crate::simd::vectorized;

/// Points sorted at a time. Their arrays live on the stack.
const BLOCK: usize = 64;

/// Lanes are filled up to a multiple of this, so that no point is left to a scalar remainder.
const LANES: usize = 8;

/// Points from which a batch is shared among threads, in pieces of [`SHARE`]: a piece takes from 20 µs (a
/// sphere) to some milliseconds (a thick coil), so that handing it over weighs little.
const THREADED: usize = 2 * SHARE;
const SHARE: usize = 8192;

/// One law in up to three forms; `N` numbers a point.
///
/// `QUICK` and `FAR` are branch-free and `#[inline(always)]`; `careful` serves the few points that
/// neither may take.
pub(crate) trait Law<const N: usize>: Sync {
    /// True when the first form serves everywhere: then nothing is sorted.
    const ONE_FORM: bool = false;
    /// Which form serves the point.
    #[inline(always)]
    fn form(&self, _point: [f64; 3]) -> Form {
        Form::Quick
    }
    /// The form for points near the source.
    fn quick(&self, point: [f64; 3]) -> [f64; N];
    /// The form for points far away.
    #[inline(always)]
    fn far(&self, point: [f64; 3]) -> [f64; N] {
        self.quick(point)
    }
    /// The form for all points, with branches.
    fn careful(&self, point: [f64; 3]) -> [f64; N] {
        self.quick(point)
    }
}

/// The forms of a [`Law`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Form {
    Quick,
    Far,
    Careful,
}

/// Adds what `law` gives at each point.
///
/// # Panics
/// When the slices do not all have one length.
pub(crate) fn add_law<const N: usize>(law: &impl Law<N>, at: Points<'_>, out: [&mut [f64]; N]) {
    let n = at.x.len();
    assert!(
        at.y.len() == n && at.z.len() == n && out.iter().all(|o| o.len() == n),
        "points and results must have one length"
    );
    if n < THREADED {
        return add_piece(law, at, out);
    }
    let mut pieces = Vec::with_capacity(n / SHARE + 1);
    let mut rest = out;
    let mut start = 0;
    while start < n {
        let length = SHARE.min(n - start);
        let taken = rest.each_mut().map(|slice| {
            let (head, tail) = std::mem::take(slice).split_at_mut(length);
            *slice = tail;
            head
        });
        pieces.push((start, taken));
        start += length;
    }
    pieces.into_par_iter().for_each(|(start, taken)| {
        add_piece(law, at.range(start, taken[0].len()), taken);
    });
}

fn add_piece<const N: usize, Q: Law<N>>(law: &Q, at: Points<'_>, mut out: [&mut [f64]; N]) {
    vectorized(
        #[inline(always)]
        || {
            let mut start = 0;
            if Q::ONE_FORM {
                start = at.x.len() / LANES * LANES;
                let (x, y, z) = (&at.x[..start], &at.y[..start], &at.z[..start]);
                let out = out.each_mut().map(|o| &mut o[..start]);
                for i in 0..start {
                    let v = law.quick([x[i], y[i], z[i]]);
                    for c in 0..N {
                        out[c][i] += v[c];
                    }
                }
            }
            while start < at.x.len() {
                let n = BLOCK.min(at.x.len() - start);
                let block = at.range(start, n);
                add_block(law, block, out.each_mut().map(|o| &mut o[start..start + n]));
                start += n;
            }
        },
    );
}

#[inline(always)]
fn add_block<const N: usize>(law: &impl Law<N>, at: Points<'_>, mut out: [&mut [f64]; N]) {
    let n = at.x.len();
    let mut form = [Form::Quick; BLOCK];
    for (i, form) in form[..n].iter_mut().enumerate() {
        *form = law.form([at.x[i], at.y[i], at.z[i]]);
    }
    let form = &form[..n];
    if form.contains(&Form::Quick) {
        add_form(
            form,
            Form::Quick,
            at,
            &mut out,
            #[inline(always)]
            |p| law.quick(p),
        );
    }
    if form.contains(&Form::Far) {
        add_form(
            form,
            Form::Far,
            at,
            &mut out,
            #[inline(always)]
            |p| law.far(p),
        );
    }
    for (i, form) in form.iter().enumerate() {
        if *form == Form::Careful {
            for (o, v) in out.iter_mut().zip(law.careful([at.x[i], at.y[i], at.z[i]])) {
                o[i] += v;
            }
        }
    }
}

#[inline(always)]
fn add_form<const N: usize>(
    form: &[Form],
    which: Form,
    at: Points<'_>,
    out: &mut [&mut [f64]; N],
    law: impl Fn([f64; 3]) -> [f64; N],
) {
    let (mut index, mut count) = ([0_u8; BLOCK], 0);
    for (i, form) in form.iter().enumerate() {
        index[count] = i as u8;
        count += usize::from(*form == which);
    }
    let padded = count.next_multiple_of(LANES);
    let mut p = [[0.0; BLOCK]; 3];
    for k in 0..padded {
        let i = usize::from(index[k.min(count - 1)]);
        (p[0][k], p[1][k], p[2][k]) = (at.x[i], at.y[i], at.z[i]);
    }
    let mut got = [[0.0; BLOCK]; N];
    for k in 0..padded {
        let v = law([p[0][k], p[1][k], p[2][k]]);
        for c in 0..N {
            got[c][k] = v[c];
        }
    }
    for c in 0..N {
        for k in 0..count {
            out[c][usize::from(index[k])] += got[c][k];
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{Form, Law, add_law};
    use crate::Vectors;

    /// 100,000 points of a golden-ratio sequence, from inside a body of size 1 to 1,000 sizes away, one in
    /// five on a plane of symmetry or on the axis, one in five in the plane of a face.
    pub fn points(half: [f64; 3]) -> Vectors {
        let fraction = |i: usize, step: f64| 2.0 * (i as f64 * step).fract() - 1.0;
        Vectors::from_rows((0..100_000).map(|i| {
            let reach = 1.5 * 1000_f64.powf((i % 1000) as f64 / 1000.0);
            let mut p = [
                reach * fraction(i, 0.819_172_513_396_164_4),
                reach * fraction(i, 0.671_043_606_703_789_2),
                reach * fraction(i, 0.549_700_477_901_970_3),
            ];
            match i % 10 {
                0 => p[i / 10 % 3] = 0.0,
                1 => (p[0], p[1]) = (0.0, 0.0),
                2 | 3 => p[i / 10 % 3] = half[i / 10 % 3],
                _ => {}
            }
            p
        }))
    }

    /// The batch gives the very bits of plain calls, whatever the instructions and threads; and the form
    /// with branches, which has been checked against 50 digits, differs from it by `limit` of |B| at most.
    /// Near by that is of no less than 5e-4 T, where bodies of about 1 T have a field that passes through zero.
    pub fn check_forms(name: &str, law: &impl Law<3>, half: [f64; 3], limit: f64) {
        let at = points(half);
        let mut out = Vectors::zeros(at.len());
        let Vectors { x, y, z } = &mut out;
        add_law(law, at.points(), [x, y, z]);
        let (mut worst, mut counts) = ((0.0, [0.0; 3]), [0; 3]);
        for i in 0..at.len() {
            let (p, got) = (at.get(i), out.get(i));
            let form = law.form(p);
            counts[form as usize] += 1;
            let plain = match form {
                Form::Quick => law.quick(p),
                Form::Far => law.far(p),
                Form::Careful => law.careful(p),
            };
            // 0.0 + −0.0 is 0.0: compared as numbers, which for all others means their bits.
            assert_eq!(got, plain, "{name} at {p:?}");
            let want = law.careful(p);
            let size = want.iter().map(|v| v * v).sum::<f64>().sqrt();
            let size = if form == Form::Quick { size.max(5e-4) } else { size };
            let error = (0..3).map(|k| (got[k] - want[k]).powi(2)).sum::<f64>().sqrt();
            if error > worst.0 * size && size > 0.0 {
                worst = (error / size, p);
            }
        }
        println!("{name}: near, far, careful {counts:?}; largest difference {:.1e}", worst.0);
        assert!(worst.0 <= limit, "{name}: {:e} at {:?}", worst.0, worst.1);
    }
}
