//! Life of the contacts by a test.

use super::{Ink, layout::wrap, paint};
use reedmace_engine::Answer;

/// What the test says; `None` of a design that states nothing of life.
pub(crate) fn life(answer: &Answer) -> Option<String> {
    let life = answer.life.as_ref()?;
    let mut out = format!("{}\n", paint(Ink::Heading, "Life"));
    for said in &life.says {
        out += &wrap("  ", said);
    }
    Some(out)
}
