//! Units whose release would lie above their operate.

use crate::quantity::{Quantified, Variables};
use reedmace_design::{Contact, Threshold};

/// A contact whose limits of operate and release overlap: for each of the two which variable it is, and
/// its value if it is none.
///
/// A closed contact holds on no more than it took to close it. Where a unit's release would lie above its
/// operate it is put at the operate: a contact that lets go where it closes. Where release carries no
/// tolerance, operate is put at the release.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Overlap {
    operate: (Option<usize>, f64),
    release: (Option<usize>, f64),
}

impl Overlap {
    /// Of a contact, if it is one.
    pub fn of(contact: &Contact, variables: &Variables) -> Option<Self> {
        let [operate, release] = [&contact.operate, &contact.release].map(quantified);
        let known = |q: &dyn Quantified| (variables.index_of(q.path()), q.limits().nominal);
        let overlap = release.limits().high >= operate.limits().low;
        overlap.then(|| Self { operate: known(operate), release: known(release) })
    }

    /// Puts such a unit's release, or operate, where the other is.
    pub fn part(&self, values: &mut [f64]) {
        let of = |(variable, value): (Option<usize>, f64)| variable.map_or(value, |v| values[v]);
        let (operate, release) = (of(self.operate), of(self.release));
        if release > operate {
            match (self.operate.0, self.release.0) {
                (_, Some(v)) => values[v] = operate,
                (Some(v), None) => values[v] = release,
                (None, None) => (),
            }
        }
    }
}

fn quantified(threshold: &Threshold) -> &dyn Quantified {
    match threshold {
        Threshold::AmpereTurns(value) => value,
        Threshold::FluxDensity(value) => value,
    }
}
