//! A batch through the forms of one law: points are sorted by the form that serves them, and each form
//! runs as vector code on its own.
//!
//! What a point gets depends on that point alone, never on its neighbours, the batch's length, the
//! machine's instructions or the number of threads.

use std::cell::RefCell;

use rayon::prelude::*;

use crate::Points;
use crate::simd::vectorized;

/// Points sorted at a time. Their arrays live on the stack.
pub(crate) const BLOCK: usize = 64;

/// One number for each point of a block.
pub(crate) type Lane = [f64; BLOCK];

/// What one loop over a block leaves for the next; stale when a block begins.
pub(crate) type Room = [Lane; ROOM];
pub(crate) const ROOM: usize = 20;

/// Lanes are filled up to a multiple of this, so that no point is left to a scalar remainder.
const LANES: usize = 8;

/// Points from which a batch is shared among threads, in pieces of [`SHARE`]: a piece takes from 20 µs (a
/// sphere) to some milliseconds (a thick coil), so that handing it over weighs little.
const THREADED: usize = 2 * SHARE;
const SHARE: usize = 8192;

/// One law in up to three forms; `N` numbers a point.
///
/// `quick` and `far` are branch-free and `#[inline(always)]`; `careful` serves the few points that
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
    /// The same for the first `n` points of a block, in shorter loops where one long one would wait for
    /// its own results.
    #[inline(always)]
    fn quick_block(&self, n: usize, at: &[Lane; 3], out: &mut [Lane; N], _room: &mut Room) {
        for k in 0..n {
            let v = self.quick([at[0][k], at[1][k], at[2][k]]);
            for c in 0..N {
                out[c][k] = v[c];
            }
        }
    }
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
    // Borrowed out here: inside, a call that is not inlined would not be vector code.
    BLOCKS.with_borrow_mut(|block| {
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
                    let out = out.each_mut().map(|o| &mut o[start..start + n]);
                    block.add(law, at.range(start, n), out);
                    start += n;
                }
            },
        );
    });
}

thread_local! {
    /// Each thread's block, kept: a few points cost no more than they must.
    static BLOCKS: RefCell<Block> = const { RefCell::new(Block::new()) };
}

/// Up to [`BLOCK`] points of one form, and what the law gives at them.
struct Block {
    /// Where in the block of all forms each point stands.
    index: [u8; BLOCK],
    at: [Lane; 3],
    got: [Lane; MOST],
    room: Room,
}

/// Most numbers a law gives a point.
const MOST: usize = 6;

impl Block {
    const fn new() -> Self {
        Self {
            index: [0; BLOCK],
            at: [[0.0; BLOCK]; 3],
            got: [[0.0; BLOCK]; MOST],
            room: [[0.0; BLOCK]; ROOM],
        }
    }

    #[inline(always)]
    fn add<const N: usize>(&mut self, law: &impl Law<N>, at: Points<'_>, mut out: [&mut [f64]; N]) {
        let n = at.x.len();
        let mut form = [Form::Quick; BLOCK];
        for (i, form) in form[..n].iter_mut().enumerate() {
            *form = law.form([at.x[i], at.y[i], at.z[i]]);
        }
        let form = &form[..n];
        let count = self.gather(form, Form::Quick, at);
        if count > 0 {
            let got = self.got.first_chunk_mut().expect("no law gives more than MOST");
            law.quick_block(count.next_multiple_of(LANES), &self.at, got, &mut self.room);
            self.scatter(count, &mut out);
        }
        let count = self.gather(form, Form::Far, at);
        if count > 0 {
            for k in 0..count.next_multiple_of(LANES) {
                let v = law.far([self.at[0][k], self.at[1][k], self.at[2][k]]);
                for (got, v) in self.got.iter_mut().zip(v) {
                    got[k] = v;
                }
            }
            self.scatter(count, &mut out);
        }
        for (i, form) in form.iter().enumerate() {
            if *form == Form::Careful {
                for (o, v) in out.iter_mut().zip(law.careful([at.x[i], at.y[i], at.z[i]])) {
                    o[i] += v;
                }
            }
        }
    }

    /// Takes the points of one form, and fills up the last vector with one of them; gives how many they are.
    #[inline(always)]
    fn gather(&mut self, form: &[Form], which: Form, at: Points<'_>) -> usize {
        let of_form = form.iter().filter(|f| **f == which).count();
        if of_form == BLOCK {
            // As they stand.
            for (own, all) in self.at.iter_mut().zip([at.x, at.y, at.z]) {
                own.copy_from_slice(all);
            }
            return BLOCK;
        }
        if of_form == 0 {
            return 0;
        }
        let mut count = 0;
        for (i, form) in form.iter().enumerate() {
            self.index[count] = i as u8;
            count += usize::from(*form == which);
        }
        for k in 0..count.next_multiple_of(LANES) {
            let i = usize::from(self.index[k.min(count - 1)]);
            (self.at[0][k], self.at[1][k], self.at[2][k]) = (at.x[i], at.y[i], at.z[i]);
        }
        count
    }

    #[inline(always)]
    fn scatter<const N: usize>(&self, count: usize, out: &mut [&mut [f64]; N]) {
        for (out, got) in out.iter_mut().zip(&self.got) {
            if count == BLOCK {
                for (out, got) in out.iter_mut().zip(got) {
                    *out += got;
                }
            } else {
                for (i, got) in self.index[..count].iter().zip(got) {
                    out[usize::from(*i)] += got;
                }
            }
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{Form, Law, add_law};
    use crate::Vectors;
    use crate::table::Table;

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

    /// A table for [`check_forms`] to write into, named after the kind of body.
    pub fn table(name: &'static str, body: &str) -> Table {
        Table::new(
            name,
            &format!("The forms of a {body}'s law"),
            "The branch-free forms for near and for far points against the one with branches, which is held \
             to 50 digits: 100,000 points to 1,000 sizes away, one in five on a plane of symmetry or the \
             axis, one in five in the plane of a face; lengths in radii or half sizes. Error over |B|, near \
             by over no less than 5e-4 T.",
            "body | form | points",
        )
    }

    /// The batch gives the very bits of plain calls, whatever the instructions and threads; and the form
    /// with branches, which has been checked against 50 digits, differs from it by `limit` of |B| at most.
    /// Near by that is of no less than 5e-4 T, where bodies of about 1 T have a field that passes through zero.
    pub fn check_forms(
        table: &mut Table,
        name: &str,
        law: &impl Law<3>,
        half: [f64; 3],
        limit: f64,
    ) {
        let at = points(half);
        let mut out = Vectors::zeros(at.len());
        let Vectors { x, y, z } = &mut out;
        add_law(law, at.points(), [x, y, z]);
        let (mut worst, mut counts) = ([(0.0, [0.0; 3]); 3], [0; 3]);
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
            let worst = &mut worst[form as usize];
            if size > 0.0 && (error > worst.0 * size || error.is_nan()) {
                *worst = (error / size, p);
            }
        }
        for (form, told) in [(Form::Quick, "near"), (Form::Far, "far")] {
            let ((error, p), count) = (worst[form as usize], counts[form as usize]);
            if count > 0 {
                println!("{name}, {told}: {error:e} at {p:?}");
                table.row(&format!("{name} | {told} | {count}"), error, limit);
            }
        }
    }
}
