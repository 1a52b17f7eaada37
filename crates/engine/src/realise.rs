//! A design and one unit within its tolerances to a scene.

use crate::applied::Applied;
use crate::applied::dynamics::Coupled;
use crate::beside::Kernels;
use crate::blend::Blend;
use crate::error::EngineError;
use crate::float::Float;
use crate::motion::{Motion, TablePose, tilt};
use crate::overlap::Overlap;
use crate::panels::{self, Panels};
use crate::quantity::{Level, Quantified, Unit, Variables};
use crate::scene::{Body, Reed, Scene, SteelPiece};
use crate::shared::is_shared;
use crate::solved::{Shelf, State};
use crate::sources::{
    coil_body, coil_strength, conductor_body, magnet_body, motor_body, test_coil,
};
use crate::steel;
use reedmace_contact::{Calibration as Stated, Geometry};
use reedmace_design::{
    Calibration, Contact, Coordinate, Design, DriveRange, Form, Sweep, Thing, Threshold, Turn,
    Value,
};
use reedmace_fields::{Pose, Uniform};
use reedmace_units::{AmpereTurns, FluxDensity, Length, Quantity, Ratio, Temperature};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Makes scenes of a design, keeping the circuits already solved.
#[derive(Debug, Clone)]
pub(crate) struct Workshop {
    pub design: Arc<Design>,
    pub variables: Variables,
    /// For each quantity in the order in which a scene asks for them: which variable it is, if any.
    pub asked: Vec<Option<usize>>,
    /// How many of them the scene itself asks for; its applications ask for the others.
    pub asked_by_scene: usize,
    /// Variables that the applications ask for.
    pub asked_by_applications: Vec<usize>,
    /// Contacts and steel solved so far.
    pub shelf: Arc<Shelf>,
    /// Panels that all steel together is cut into, about.
    pub panels: usize,
    /// Places in the first body's frame near which they are finer, m.
    pub near: Arc<Vec<[f64; 3]>>,
    /// How good that is; `None` without steel.
    pub cut: Option<Panels>,
    /// Contacts whose limits of operate and release overlap.
    pub overlaps: Vec<Overlap>,
    /// Kernels beside steel from which those of units are blended, if they are.
    pub blend: Option<Blend>,
    /// What all units of a relay share of their contacts' motion.
    pub coupled: Option<Arc<Coupled>>,
    /// What of a scene each variable reaches.
    pub reaches: Vec<Reach>,
    /// For each quantity in that order, how much further than stated it is, with its tolerance, SI; empty
    /// where all are as stated.
    pub moved: Vec<f64>,
}

/// What of a scene a quantity changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Nothing: only applications ask for it.
    Nothing,
    /// The drives and levels of one contact.
    Contact(usize),
    /// Anything.
    All,
}

/// Values of one unit: what `realise` asks for each quantity.
pub(crate) type Pick<'a> = dyn Fn(&dyn Quantified) -> f64 + 'a;

impl Workshop {
    /// Finds every toleranced quantity that the scene depends on, and how finely to cut the steel, with
    /// what the shelf has kept. `coarse`: the fewest panels, with nothing to tell how good they are.
    pub fn new(
        design: &Design,
        shelf: Arc<Shelf>,
        coarse: bool,
    ) -> Result<(Self, Scene), EngineError> {
        let mut workshop = Self {
            design: Arc::new(design.clone()),
            variables: Variables::default(),
            asked: Vec::new(),
            asked_by_scene: 0,
            asked_by_applications: Vec::new(),
            shelf,
            panels: 0,
            near: Arc::default(),
            cut: None,
            overlaps: Vec::new(),
            blend: None,
            coupled: None,
            reaches: Vec::new(),
            moved: Vec::new(),
        };
        let found = RefCell::new((Variables::default(), Vec::new()));
        let note = |q: &dyn Quantified| {
            let (variables, asked) = &mut *found.borrow_mut();
            asked.push(variables.note(q));
            q.limits().nominal
        };
        workshop.realise(&note)?;
        let asked_by_scene = found.borrow().1.len();
        Applied::of(design, None, &note);
        workshop.asked_by_scene = asked_by_scene;
        (workshop.variables, workshop.asked) = found.into_inner();
        let asked = workshop.asked[asked_by_scene..].iter().flatten();
        workshop.asked_by_applications =
            asked.copied().collect::<BTreeSet<_>>().into_iter().collect();
        workshop.variables.correlate(&design.correlations);
        workshop.reaches = (0..workshop.variables.len()).map(|v| workshop.reach(v)).collect();
        let overlap = |contact| Overlap::of(contact, &workshop.variables);
        workshop.overlaps = design.contacts.iter().filter_map(overlap).collect();
        let (scene, cut) = panels::refined(&mut workshop, coarse)?;
        workshop.cut = cut;
        workshop.coupled = Coupled::of(&workshop, &scene)?.map(Arc::new);
        Ok((workshop, scene))
    }

    /// Calls `visit` with every quantity that the scene depends on, toleranced or not.
    pub fn each_quantity(&self, visit: &dyn Fn(&dyn Quantified)) -> Result<(), EngineError> {
        let note = |q: &dyn Quantified| {
            visit(q);
            q.limits().nominal
        };
        self.realise(&note)?;
        Applied::of(&self.design, None, &note);
        Ok(())
    }

    /// True when a contact's own dimensions carry a tolerance, so that units differ in their circuits.
    pub fn contacts_vary(&self) -> bool {
        let varying: Vec<_> = self.variables.iter().map(|v| v.path.as_str()).collect();
        self.design.contacts.iter().any(|c| {
            let lengths = [
                &c.lead_diameter,
                &c.overall_length,
                &c.calibrated_length,
                &c.blade_span,
                &c.blade_width,
                &c.blade_thickness,
                &c.overlap,
                &c.gap,
                &c.closed_gap,
            ];
            lengths.iter().any(|v| varying.contains(&v.path.as_str()))
                || varying.contains(&c.permeability.path.as_str())
        })
    }

    /// What of a scene a variable reaches.
    fn reach(&self, variable: usize) -> Reach {
        let in_scene = || self.asked[..self.asked_by_scene].contains(&Some(variable));
        let path = &self.variables.get(variable).path;
        let named = path.strip_prefix("contact[").and_then(|rest| rest.split_once(']'));
        let contact = named.and_then(|(name, _)| {
            self.design.contacts.iter().position(|contact| contact.name == name)
        });
        match contact {
            // What one of several in a coil does, the others feel.
            Some(_) if is_shared(&self.design) => Reach::All,
            // A contact that the sweep moves may take others with it.
            // Both sides of a change-over have its blade.
            Some(k) if self.design.closed_side(k).is_some() => Reach::All,
            Some(k) if moving(&self.design.sweep).contains(&Thing::Contact(k)) => Reach::All,
            Some(k) => Reach::Contact(k),
            None if in_scene() => Reach::All,
            None => Reach::Nothing,
        }
    }

    /// The scene of one unit: a level for each variable.
    pub fn scene(&self, unit: &Unit) -> Result<Scene, EngineError> {
        self.scene_at(&self.values(unit))
    }

    /// The value of each variable in a unit, SI.
    pub fn values(&self, unit: &Unit) -> Vec<f64> {
        let values = self.variables.iter().zip(unit).map(|(v, level)| level.of(&v.limits));
        let mut values: Vec<f64> = values.collect();
        self.allow(&mut values);
        values
    }

    /// The nominal value of each variable, SI.
    pub fn nominal_values(&self) -> Vec<f64> {
        self.values(&vec![Level::Nominal; self.variables.len()])
    }

    /// Makes a point of the unit cube the values of the variables in its unit, SI.
    pub fn draw(&self, point: &mut [f64]) {
        self.variables.bend(point);
        self.variables.value(point);
        self.allow(point);
    }

    /// Lets no contact release above where it operates.
    pub fn allow(&self, values: &mut [f64]) {
        self.overlaps.iter().for_each(|overlap| overlap.part(values));
    }

    /// The scene of the unit whose variables have these values, SI.
    pub fn scene_at(&self, values: &[f64]) -> Result<Scene, EngineError> {
        let scene = self.at_values(values)?;
        match &self.blend {
            Some(blend) => {
                let kernels = blend.kernels(values, &self.variables, scene.motion.range());
                scene.settle_with(kernels)
            }
            None => scene.settle(),
        }
    }

    /// The same without what all is solved for, beside steel and along the sweep.
    pub fn unsettled(&self, unit: &Unit) -> Result<Scene, EngineError> {
        self.at_values(&self.values(unit))
    }

    fn at_values(&self, values: &[f64]) -> Result<Scene, EngineError> {
        self.realise(&self.picking(values, 0))
    }

    /// What its applications are in the unit whose variables have these values.
    pub fn applied_at(&self, values: &[f64]) -> Applied {
        let pick = self.picking(values, self.asked_by_scene);
        Applied::of(&self.design, self.coupled.as_ref(), &pick)
    }

    /// Values of one unit for quantities that are asked for in their order, from `first` on.
    fn picking<'a>(
        &'a self,
        values: &'a [f64],
        first: usize,
    ) -> impl Fn(&dyn Quantified) -> f64 + 'a {
        let count = Cell::new(first);
        move |q: &dyn Quantified| {
            let which = count.replace(count.get() + 1);
            let stated = self.asked[which].map_or_else(|| q.limits().nominal, |v| values[v]);
            stated + self.moved.get(which).unwrap_or(&0.0)
        }
    }

    fn realise(&self, pick: &Pick) -> Result<Scene, EngineError> {
        let d = &self.design;
        let moving = moving(&d.sweep);
        let reeds = d.contacts.iter().enumerate().map(|(k, contact)| {
            let reed = self.reed(contact, pick).map_err(|e| e.of(&contact.name))?;
            Ok(Reed { moves: moving.contains(&Thing::Contact(k)), ..reed })
        });
        let reeds = reeds.collect::<Result<Vec<_>, EngineError>>()?;

        let temperature = Temperature::from_si(pick(&d.surroundings.temperature));
        let mut bodies = Vec::new();
        for (k, magnet) in d.magnets.iter().enumerate() {
            let body = magnet_body(magnet, temperature, pick)?;
            bodies.push(Body { moves: moving.contains(&Thing::Magnet(k)), ..body });
        }
        for (k, coil) in d.coils.iter().enumerate() {
            let swept = d.sweep.swept_coil() == Some(k);
            let sweep = swept.then_some(&d.sweep);
            if let Some(ampere_turns) = coil_strength(coil, sweep, temperature.si(), pick) {
                let body = coil_body(coil, ampere_turns, pick);
                bodies.push(Body { moves: moving.contains(&Thing::Coil(k)), swept, ..body });
            }
        }
        bodies.extend(d.conductors.iter().map(|conductor| conductor_body(conductor, pick)));
        bodies.extend(d.motors.iter().map(|motor| motor_body(motor, pick)));
        let field = [0, 1, 2].map(|i| pick(&d.surroundings.field[i]));
        if field != [0.0; 3] {
            let source = Uniform(field).into();
            bodies.push(Body { source, rest: Pose::IDENTITY, moves: false, swept: false });
        }
        let motion = motion(d, pick)?;
        let steel = d.steel.iter().enumerate().map(|(k, steel)| {
            let moves = moving.contains(&Thing::Steel(k));
            SteelPiece { moves, ..steel::piece(steel, pick) }
        });
        Ok(Scene {
            reeds,
            bodies,
            steel: steel.collect(),
            motion,
            shelf: self.shelf.clone(),
            panels: self.panels,
            near: self.near.clone(),
            shares: is_shared(d),
            shared: None,
        })
    }

    fn reed(&self, c: &Contact, pick: &Pick) -> Result<Reed, EngineError> {
        let [geometry, calibrated] = geometries(c, pick);
        let metal = Length::from_si(pick(&c.closed_gap));
        let solved = self.shelf.get(&geometry, metal)?;
        let measured = self.shelf.get(&calibrated, metal)?;
        let level = |threshold: &Threshold, state: State| {
            let flux = measured.gap_flux(self.stated(&c.coil, threshold, pick), state);
            solved.circuit(state).kernel().drive_of_flux(flux).si()
        };
        let [breaks, remakes] = match &c.change_over {
            Some(over) => [pick(&over.breaks), pick(&over.remakes)],
            None => [1.0; 2],
        };
        Ok(Reed {
            operate: breaks * level(&c.operate, State::Open),
            release: remakes * level(&c.release, State::Closed),
            breaks: c.form == Form::Break,
            kernels: Kernels::Still(solved.pair.clone()),
            solved,
            rest: Pose {
                rotation: (tilt([0, 1, 2].map(|i| pick(&c.rotate[i])))
                    * axis_and_normal(c.axis, c.normal))
                .rotation,
                origin: middle(c, pick),
            },
            moves: false,
            steady: [0.0; 2],
            per_unit: [0.0; 2],
        })
    }

    /// The contact's stated threshold with what it was measured in.
    pub fn stated(&self, coil: &Calibration, threshold: &Threshold, pick: &Pick) -> Stated {
        let test_coil = match coil {
            Calibration::Coil(winding) => Some(test_coil(winding, pick)),
            Calibration::Named(k) => Some(test_coil(&self.design.coils[*k].winding, pick)),
            Calibration::Uniform => None,
        };
        match (threshold, test_coil) {
            (Threshold::AmpereTurns(v), Some(coil)) => {
                Stated::AmpereTurns(coil, AmpereTurns::from_si(pick(v)))
            }
            (Threshold::FluxDensity(v), Some(coil)) => {
                Stated::CoilCentre(coil, FluxDensity::from_si(pick(v)))
            }
            (Threshold::FluxDensity(v), None) => Stated::Uniform(FluxDensity::from_si(pick(v))),
            (Threshold::AmpereTurns(_), None) => {
                unreachable!("a checked design states ampere-turns only with a coil")
            }
        }
    }
}

/// How what moves is moved, every quantity as `pick` has it.
///
/// # Errors
/// For a float that does not swim.
pub(crate) fn motion(design: &Design, pick: &Pick) -> Result<Motion, EngineError> {
    let at = |p: &[Value<Length>; 3]| [0, 1, 2].map(|i| pick(&p[i]));
    let anchor = |moves: &[Thing]| anchor(design, moves, pick);
    let turn = |t: &Turn, periodic: bool| {
        let range = [pick(&t.from), pick(&t.to)];
        let full = ((range[1] - range[0]).abs() - std::f64::consts::TAU).abs() < 1e-9;
        Motion::Turn { centre: at(&t.centre), axis: t.axis, range, periodic: periodic && full }
    };
    Ok(match &design.sweep {
        Sweep::Line(line) => {
            let (from, to) = (at(&line.from), at(&line.to));
            let travel = (0..3).map(|i| (to[i] - from[i]).powi(2)).sum::<f64>().sqrt();
            let range = match line.coordinate {
                Coordinate::X => [from[0], to[0]],
                Coordinate::Y => [from[1], to[1]],
                Coordinate::Z => [from[2], to[2]],
                Coordinate::Travel => [0.0, travel],
            };
            Motion::Line { anchor: anchor(&line.moves), from, to, range }
        }
        Sweep::Arc(t) => turn(t, false),
        Sweep::Spin(t) => turn(t, true),
        Sweep::Table(t) => Motion::Table {
            anchor: anchor(&t.moves),
            poses: t
                .poses
                .iter()
                .map(|p| TablePose { at: at(&p.at), tilt: [0, 1, 2].map(|i| pick(&p.rotate[i])) })
                .collect(),
        },
        Sweep::Level(s) => {
            let float = Float::of(design, pick)?;
            Motion::Level { range: [pick(&s.from), pick(&s.to)], float: Box::new(float) }
        }
        Sweep::Voltage(s) => Motion::Current { range: [pick(&s.from), pick(&s.to)] },
        Sweep::Current(s) => Motion::Current {
            range: match &s.range {
                DriveRange::AmpereTurns { from, to } => [pick(from), pick(to)],
                DriveRange::Current { from, to } => [pick(from), pick(to)],
            },
        },
    })
}

/// The `at` point of the first of what moves, where the design has it.
pub(crate) fn anchor(design: &Design, moves: &[Thing], pick: &Pick) -> [f64; 3] {
    let at = place_of(design, moves[0]);
    [0, 1, 2].map(|i| pick(&at[i]))
}

/// A contact as it is mounted, and as its sensitivity was measured.
pub(crate) fn geometries(c: &Contact, pick: &Pick) -> [Geometry; 2] {
    let length = |value: &Value<Length>| Length::from_si(pick(value));
    [&c.overall_length, &c.calibrated_length].map(|overall| Geometry {
        lead_diameter: length(&c.lead_diameter),
        overall_length: length(overall),
        blade_span: length(&c.blade_span),
        blade_width: length(&c.blade_width),
        blade_thickness: length(&c.blade_thickness),
        overlap: length(&c.overlap),
        gap: length(&c.gap),
        permeability: Ratio::from_si(pick(&c.permeability)),
    })
}

/// The middle of a contact.
pub(crate) fn middle(contact: &Contact, pick: &Pick) -> [f64; 3] {
    let beyond = contact.beyond();
    [0, 1, 2].map(|i| pick(&contact.at[i]) + beyond.map_or(0.0, |(n, pitch)| n * pick(&pitch[i])))
}

fn place_of(design: &Design, thing: Thing) -> &[Value<Length>; 3] {
    match thing {
        Thing::Contact(k) => &design.contacts[k].at,
        Thing::Magnet(k) => &design.magnets[k].at,
        Thing::Coil(k) => &design.coils[k].at,
        Thing::Steel(k) => &design.steel[k].at,
    }
}

/// What the sweep moves.
pub(crate) fn moving(sweep: &Sweep) -> &[Thing] {
    match sweep {
        Sweep::Line(s) => &s.moves,
        Sweep::Arc(s) | Sweep::Spin(s) => &s.moves,
        Sweep::Table(s) => &s.moves,
        Sweep::Level(s) => &s.moves,
        Sweep::Current(_) | Sweep::Voltage(_) => &[],
    }
}

fn axis_and_normal(axis: [f64; 3], normal: [f64; 3]) -> Pose {
    Pose::from_axis_and_normal([0.0; 3], axis, normal)
        .expect("a checked design has axis and normal at right angles")
}
