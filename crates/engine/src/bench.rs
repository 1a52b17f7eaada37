//! What has been solved, kept from one design to the next.

use crate::answer::{Conversion, Direction, EventKind};
use crate::check::{self, Options, Study};
use crate::convert::{self, Target};
use crate::draw;
use crate::drawing::Drawing;
use crate::error::EngineError;
use crate::levels::levels;
use crate::map::{self, Map, MapPlan, MapRequest};
use crate::realise::Workshop;
use crate::region::{self, Region};
use crate::scene::Scene;
use crate::solved::Shelf;
use crate::track::{Course, Track};
use crate::units::{Shown, millitesla};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use reedmace_design::Design;
use serde::Serialize;
use std::sync::{Arc, Mutex};

/// Answers design after design and keeps the contacts and the steel it has solved, so that a change costs
/// no more than what it changes. Answers are the same, to the last digit, as without.
///
/// A clone shares what is kept.
#[derive(Debug, Clone, Default)]
pub struct Bench {
    shelf: Arc<Shelf>,
    coarse: bool,
    /// The workshop used last, whether it is a coarse one, and its nominal scene.
    last: Arc<Mutex<Option<(Workshop, bool, Scene)>>>,
}

/// What happens at nominal values, and nothing more: for a picture that follows the hand.
#[derive(Debug, Clone)]
pub struct Glance {
    /// The coordinate in words: `z of slug`.
    pub coordinate: String,
    /// Unit of the coordinate.
    pub unit: String,
    /// Each contact, in the design's order.
    pub contacts: Vec<GlanceContact>,
    /// Where everything is.
    pub drawing: Drawing,
}

/// One contact of a [`Glance`]. Drives and levels in mT.
#[derive(Debug, Clone, Serialize)]
pub struct GlanceContact {
    /// Name in the design.
    pub name: String,
    /// Coordinates in order of the forward pass.
    pub coordinate: Vec<f64>,
    /// Drive of the open contact at each.
    pub drive_open: Vec<f64>,
    /// Drive of the closed contact at each.
    pub drive_closed: Vec<f64>,
    /// Operate level: low, nominal, high.
    pub operate: [f64; 3],
    /// Release level: low, nominal, high.
    pub release: [f64; 3],
    /// Operate and release, in order of the passes.
    pub events: Vec<GlanceEvent>,
    /// True when the contact is closed before the forward pass begins.
    pub closed_at_start: bool,
}

/// One operate or release of a [`GlanceContact`].
#[derive(Debug, Clone, Copy, Serialize)]
pub struct GlanceEvent {
    /// Which.
    pub kind: EventKind,
    /// On which pass.
    pub pass: Direction,
    /// Coordinate.
    pub at: f64,
    /// Number of its lobe along the forward pass, from 1.
    pub lobe: usize,
    /// True in the lobe with the highest drive.
    pub main_lobe: bool,
}

impl Bench {
    /// The same with steel cut into the fewest panels: for pictures that follow the hand, good to some
    /// per cent of the drive where steel is near.
    pub fn coarse(&self) -> Self {
        Self { coarse: true, ..self.clone() }
    }

    /// See [`crate::check()`].
    ///
    /// # Errors
    /// As there.
    pub fn check(
        &self,
        design: &Design,
        design_name: &str,
        options: &Options,
        progress: &(dyn Fn(u64, u64) + Sync),
    ) -> Result<Study, EngineError> {
        check::on_bench(self, design, design_name, options, progress)
    }

    /// See [`crate::map()`].
    ///
    /// # Errors
    /// As there.
    pub fn map(
        &self,
        design: &Design,
        request: &MapRequest,
        progress: &(dyn Fn(u64, u64) + Sync),
    ) -> Result<Map, EngineError> {
        map::on_bench(self, design, request, progress)
    }

    /// What a map will be made of: to see whether it is one that there is already.
    ///
    /// # Errors
    /// As [`Self::map`].
    pub fn plan(&self, design: &Design, request: &MapRequest) -> Result<MapPlan, EngineError> {
        MapPlan::new(self, design, request)
    }

    /// Where what moves closes a contact, and where it holds it closed, in space: on about `places`
    /// places, `progress` counting their layers.
    ///
    /// # Errors
    /// [`EngineError::NoMap`] when nothing moves, and what the scene refuses.
    pub fn region(
        &self,
        design: &Design,
        contact: usize,
        places: usize,
        progress: &(dyn Fn(u64, u64) + Sync),
    ) -> Result<Region, EngineError> {
        region::on_bench(self, design, contact, places, progress)
    }

    /// Operate and release of a contact in another arrangement: as measured and, where its leads are trimmed,
    /// as mounted.
    ///
    /// # Errors
    /// [`EngineError::NoConversion`] when a magnet is too weak to produce that drive at any distance, and what
    /// the scene refuses.
    pub fn said_in(
        &self,
        design: &Design,
        contact: usize,
        target: &Target,
    ) -> Result<Vec<Conversion>, EngineError> {
        convert::said_in(self, design, contact, target)
    }

    /// The nominal events and drives of a design.
    ///
    /// # Errors
    /// [`EngineError`] when a contact, magnet or steel body cannot exist.
    pub fn glance(&self, design: &Design) -> Result<Glance, EngineError> {
        let (workshop, scene) = self.workshop(design)?;
        let shown = Shown::of(design);
        let track = |k: usize| Track::new(&scene, k, &mut Scratch::default());
        let tracks: Vec<Track> = (0..scene.reeds.len()).into_par_iter().map(track).collect();
        let courses = scene.courses(&tracks, &mut Scratch::default());
        let contacts = tracks
            .par_iter()
            .zip(&courses)
            .enumerate()
            .map(|(k, (track, course))| contact(&workshop, k, track, course, &shown))
            .collect::<Result<Vec<_>, EngineError>>()?;
        let drawing = draw::drawing(design, &scene, &shown);
        Ok(Glance { coordinate: shown.name, unit: shown.unit.into(), contacts, drawing })
    }

    /// Where everything of a design is, without its events.
    ///
    /// # Errors
    /// [`EngineError`] when a contact, magnet or steel body cannot exist.
    pub fn drawing(&self, design: &Design) -> Result<Drawing, EngineError> {
        let (_, scene) = self.workshop(design)?;
        Ok(draw::drawing(design, &scene, &Shown::of(design)))
    }

    /// Another bench, for another design, on the same shelf.
    pub(crate) fn beside(&self) -> Self {
        Self { last: Arc::default(), ..self.clone() }
    }

    /// A workshop on what is kept, and the nominal scene.
    pub(crate) fn workshop(&self, design: &Design) -> Result<(Workshop, Scene), EngineError> {
        let last = self.last.lock().expect("never poisoned").clone();
        if let Some((workshop, coarse, scene)) = last
            && *workshop.design == *design
            && coarse == self.coarse
        {
            return Ok((workshop, scene));
        }
        let (workshop, scene) = Workshop::new(design, self.shelf.clone(), self.coarse)?;
        *self.last.lock().expect("never poisoned") =
            Some((workshop.clone(), self.coarse, scene.clone()));
        Ok((workshop, scene))
    }
}

fn contact(
    workshop: &Workshop,
    k: usize,
    track: &Track,
    course: &Course,
    shown: &Shown,
) -> Result<GlanceContact, EngineError> {
    let levels = levels(workshop, k)?;
    let events = course.events.iter().map(|found| GlanceEvent {
        kind: found.kind,
        pass: found.direction,
        at: shown.number(found.at),
        lobe: found.lobe + 1,
        main_lobe: course.is_main(found.lobe),
    });
    Ok(GlanceContact {
        name: workshop.design.contacts[k].name.clone(),
        coordinate: track.at.iter().map(|c| shown.number(*c)).collect(),
        drive_open: track.drive.iter().map(|d| millitesla(d.open)).collect(),
        drive_closed: track.drive.iter().map(|d| millitesla(d.closed)).collect(),
        operate: levels.map(|l| millitesla(l[0])),
        release: levels.map(|l| millitesla(l[1])),
        events: events.collect(),
        closed_at_start: course.closed_at_start,
    })
}
