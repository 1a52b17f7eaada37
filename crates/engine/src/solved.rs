//! A contact's circuits, solved once and kept.

use crate::error::EngineError;
use reedmace_applied::pulls::Pulls;
use reedmace_contact::{
    Beside, Calibration, Circuit, CircuitError, Geometry, KernelPair, Neighbour, Neighbours,
    Scratch, TestCoil,
};
use reedmace_fields::steel::{Steel, SteelBody, SteelError};
use reedmace_fields::{AnySource, Placed, Pose};
use reedmace_units::{AmpereTurns, Length, Quantity};
use std::sync::{Arc, Mutex};

/// Segments a contact is cut into: within 0.1 % of the limit, measured in `prop_segments_converge`
/// of the contact crate.
const SEGMENTS: usize = 130;
/// Contacts kept; more come up only when a contact's own dimensions vary.
const KEPT: usize = 64;
/// Steel systems, and contacts beside steel, kept: each holds a matrix of all panels on all panels.
const KEPT_STEEL: usize = 4;
/// Kernels kept of contacts beside steel: units that differ elsewhere meet the same poses.
const KEPT_PAIRS: usize = 256;
/// Gaps at which the pull of a contact is solved for, from the closed one to the open one.
const GAPS: usize = 13;
/// Contacts kept at all of them.
const KEPT_GAPS: usize = 4;

/// The circuits of a contact's two states, and their kernels on shared points.
#[derive(Debug)]
pub(crate) struct Solved {
    pub open: Circuit,
    pub closed: Circuit,
    pub pair: Arc<KernelPair>,
    /// Gap flux of one ampere-turn in the coils asked for so far, open and closed, Wb.
    coils: Mutex<Vec<(TestCoil, [f64; 2])>>,
}

/// Which state of a contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum State {
    Open = 0,
    Closed = 1,
}

impl Solved {
    fn new(open: &Geometry, metal: Length) -> Result<Self, CircuitError> {
        let closed = Circuit::new(&open.closed(metal), SEGMENTS)?;
        let open = Circuit::new(open, SEGMENTS)?;
        let pair = Arc::new(KernelPair::new(open.kernel(), closed.kernel()));
        Ok(Self { open, closed, pair, coils: Mutex::default() })
    }

    pub fn circuit(&self, state: State) -> &Circuit {
        match state {
            State::Open => &self.open,
            State::Closed => &self.closed,
        }
    }

    /// Gap flux that a stated sensitivity stands for in one state, Wb.
    pub fn gap_flux(&self, stated: Calibration, state: State) -> f64 {
        match stated {
            Calibration::AmpereTurns(coil, at) => at.si() * self.per_ampere_turn(coil, state),
            Calibration::CoilCentre(coil, field) => {
                coil.ampere_turns(field).si() * self.per_ampere_turn(coil, state)
            }
            Calibration::Uniform(field) => self.circuit(state).kernel().flux_in_uniform(field),
        }
    }

    /// Gap flux of one ampere-turn in `coil`, Wb.
    pub fn per_ampere_turn(&self, coil: TestCoil, state: State) -> f64 {
        let mut coils = self.coils.lock().expect("never poisoned");
        if let Some((_, flux)) = coils.iter().find(|(known, _)| *known == coil) {
            return flux[state as usize];
        }
        let source = coil.carrying(AmpereTurns::at(1.0));
        let mut scratch = Scratch::default();
        let flux = [State::Open, State::Closed]
            .map(|s| self.circuit(s).kernel().flux(&source, &mut scratch));
        coils.push((coil, flux));
        flux[state as usize]
    }
}

/// Steel and how it is cut: all that its factors depend on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cut {
    /// The bodies, in the first body's frame.
    pub bodies: Vec<SteelBody>,
    /// Panels aimed at.
    pub panels: usize,
    /// Places near which they are finer, m.
    pub near: Arc<Vec<[f64; 3]>>,
}

impl Cut {
    /// True when both are cut into the same panels.
    fn cuts_like(&self, other: &Self) -> bool {
        let alike = |a: &SteelBody, b: &SteelBody| {
            a.shape == b.shape && a.world_from_body == b.world_from_body
        };
        self.panels == other.panels
            && self.near == other.near
            && self.bodies.len() == other.bodies.len()
            && self.bodies.iter().zip(&other.bodies).all(|(a, b)| alike(a, b))
    }
}

/// Solved contacts and steel by what they depend on.
#[derive(Debug, Default)]
pub(crate) struct Shelf {
    contacts: Kept<(Geometry, Length), Solved>,
    steel: Kept<Cut, Steel>,
    beside: Kept<(Pose, Geometry, Length, Cut), Solved>,
    pairs: Kept<(Pose, Geometry, Length, Cut), Arc<KernelPair>>,
    neighbours: Kept<Set, Neighbours>,
    gaps: Kept<(Geometry, Length), Vec<Circuit>>,
    pulls: Kept<(Geometry, Length, Placed<AnySource>), Pulled>,
}

/// A bare contact's pull under a source of one ampere-turn.
#[derive(Debug)]
pub(crate) struct Pulled {
    /// Pull over the gap.
    pub pulls: Pulls,
    /// What the contact adds to the inductance of one turn at the widest gap, H.
    pub linkage: f64,
}

/// What contacts together depend on: of each its frame in the first one's, its geometry and its contact metals;
/// the steel beside them, and its first body's frame in the first contact's.
type Set = (Vec<(Pose, Geometry, Length)>, Option<(Cut, Pose)>);

impl Shelf {
    /// The circuits of a contact of this geometry with contact metals of this total thickness.
    pub fn get(&self, open: &Geometry, metal: Length) -> Result<Arc<Solved>, CircuitError> {
        self.contacts.get((*open, metal), KEPT, || Solved::new(open, metal))
    }

    /// The pull of a contact from this geometry's gap down to `closed`, under a source of one ampere-turn in its
    /// frame; linear iron.
    pub fn pulls(
        &self,
        open: &Geometry,
        closed: Length,
        source: Placed<AnySource>,
    ) -> Result<Arc<Pulled>, CircuitError> {
        self.pulls.get((*open, closed, source.clone()), KEPT, || {
            let circuits = self.gaps.get((*open, closed), KEPT_GAPS, || {
                let ratio = (open.gap / closed).powf(1.0 / (GAPS - 1) as f64);
                let gaps = (0..GAPS).map(|k| closed * ratio.powi(k as i32));
                let solve = |gap: Length| Circuit::new(&Geometry { gap, ..*open }, SEGMENTS);
                gaps.map(solve).collect::<Result<Vec<_>, CircuitError>>()
            })?;
            let solve = |one: &Circuit| (one.geometry().gap.si(), one.pull(&source));
            let solved: Vec<_> = circuits.iter().map(solve).collect();
            let points: Vec<[f64; 2]> = solved.iter().map(|(gap, one)| [*gap, one.force]).collect();
            let linkage = solved.last().map_or(f64::NAN, |(_, one)| one.linkage);
            Ok(Pulled { pulls: Pulls::new(&points), linkage })
        })
    }

    /// The factored equations of steel. Bodies that differ from kept ones in their permeability alone
    /// need no more than new factors.
    pub fn steel(&self, cut: Cut) -> Result<Arc<Steel>, SteelError> {
        let made = cut.clone();
        self.steel.get(cut, KEPT_STEEL, || match self.steel.any(|known| known.cuts_like(&made)) {
            Some(alike) => alike.with_permeabilities(&made.bodies),
            None => Steel::finer_near(&made.bodies, made.panels, &made.near),
        })
    }

    /// The circuits of a bare contact's states beside steel. The factors of the steel serve every
    /// place of the contact.
    pub fn beside(
        &self,
        bare: &Solved,
        cut: Cut,
        contact_from_first: Pose,
    ) -> Result<Arc<Solved>, EngineError> {
        let key = key(bare, &cut, contact_from_first);
        self.beside.get(key, KEPT_STEEL, || self.solve_beside(bare, cut, contact_from_first))
    }

    /// The kernels alone of a bare contact beside steel.
    pub fn pair(
        &self,
        bare: &Solved,
        cut: Cut,
        contact_from_first: Pose,
    ) -> Result<Arc<KernelPair>, EngineError> {
        let key = key(bare, &cut, contact_from_first);
        if let Some(solved) = self.beside.any(|known| *known == key) {
            return Ok(solved.pair.clone());
        }
        let made = || self.solve_beside(bare, cut, contact_from_first).map(|solved| solved.pair);
        Ok((*self.pairs.get(key, KEPT_PAIRS, made)?).clone())
    }

    /// What contacts do to each other; `cut`: the steel beside them, as seen from the first.
    pub fn neighbours(
        &self,
        contacts: &[Neighbour<'_>],
        cut: Option<(Cut, Pose)>,
    ) -> Result<Arc<Neighbours>, CircuitError> {
        let first = contacts[0].world_from_contact.inverse();
        let one = |c: &Neighbour<'_>| {
            (first * c.world_from_contact, *c.open.geometry(), c.closed.geometry().gap)
        };
        let key = (contacts.iter().map(one).collect(), cut);
        self.neighbours.get(key, KEPT, || Neighbours::new(contacts))
    }

    fn solve_beside(
        &self,
        bare: &Solved,
        cut: Cut,
        contact_from_first: Pose,
    ) -> Result<Solved, EngineError> {
        let steel = Arc::new(self.steel(cut)?.moved(&contact_from_first));
        let beside = Arc::new(Beside::new(steel, &bare.open));
        let (open, closed) = (bare.open.beside(&beside)?, bare.closed.beside(&beside)?);
        let pair = Arc::new(KernelPair::new(open.kernel(), closed.kernel()));
        Ok(Solved { open, closed, pair, coils: Mutex::default() })
    }
}

/// What a contact beside steel depends on; the pose first, in which most differ.
fn key(bare: &Solved, cut: &Cut, contact_from_first: Pose) -> (Pose, Geometry, Length, Cut) {
    let (open, closed) = (bare.open.geometry(), bare.closed.geometry());
    (contact_from_first, *open, closed.gap, cut.clone())
}

/// What has been made, by what it was made from.
#[derive(Debug)]
struct Kept<K, T>(Mutex<Vec<(K, Arc<T>)>>);

impl<K, T> Default for Kept<K, T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: PartialEq, T> Kept<K, T> {
    /// Something kept whose key is `like` what is asked for.
    fn any(&self, like: impl Fn(&K) -> bool) -> Option<Arc<T>> {
        let kept = self.0.lock().expect("never poisoned");
        kept.iter().find(|(known, _)| like(known)).map(|(_, made)| made.clone())
    }

    /// What was made from `key`, or else what `make` makes; at most `most` are kept.
    fn get<E>(
        &self,
        key: K,
        most: usize,
        make: impl FnOnce() -> Result<T, E>,
    ) -> Result<Arc<T>, E> {
        let mut kept = self.0.lock().expect("never poisoned");
        if let Some(i) = kept.iter().position(|(known, _)| *known == key) {
            // What is asked for again is kept longest.
            let again = kept.remove(i);
            let made = again.1.clone();
            kept.push(again);
            return Ok(made);
        }
        drop(kept);
        let made = Arc::new(make()?);
        let mut kept = self.0.lock().expect("never poisoned");
        if kept.len() >= most {
            kept.remove(0);
        }
        kept.push((key, made.clone()));
        Ok(made)
    }
}
