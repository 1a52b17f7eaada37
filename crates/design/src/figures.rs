//! The numbers that a design tells of every unit besides its events: what they are called and measured in.
//!
//! `engine` tells their values in the same order.

use crate::basis::{Basis, Model};
use crate::construction;
use crate::level::{InLiquid, Level};
use crate::life::Life;
use crate::model::{Coil, Contact, Design};
use crate::motion::{Demand, DemandKind, Sweep};
use crate::rotor::Rotor;
use crate::schema::Measure;
use reedmace_applied::ladder::Reading;
use reedmace_units::{Quantity, Unit};

/// A number told of every unit, if that unit has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is told among: `contact`, `level`.
    pub group: &'static str,
    /// Its name, as a demand calls it: `differential of lid`.
    pub name: String,
    /// Which quantity it is.
    pub measure: Measure,
    /// The unit it is shown in.
    pub unit: &'static Unit,
    /// What it is, in a sentence.
    pub about: &'static str,
    /// What makes it.
    pub basis: Basis,
    /// The contacts it follows from, by their numbers in the design; none listed: from all of them, or none.
    pub contacts: Vec<usize>,
    /// Where what is looked at ends, if it does: a value there lies there or beyond.
    pub ends: Vec<End>,
}

/// Coldest at which anything is looked at, K: −200 °C, far below where contacts are used (common practice, no source).
pub const COLDEST: f64 = 73.15;

/// Where what is looked at of a figure ends.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// The value there, SI.
    pub at: f64,
    /// True where nothing above is looked at, false where nothing below.
    pub upper: bool,
    /// What a value there says: `stays set at every temperature that the grade allows`; up to it, or down to it.
    pub meaning: &'static str,
}

impl Figure {
    /// One shown in the unit of its measure with this symbol.
    ///
    /// # Panics
    /// If the measure has no such unit.
    pub(crate) fn new(
        group: &'static str,
        name: String,
        (measure, symbol): (Measure, &str),
        about: &'static str,
        basis: Basis,
    ) -> Self {
        let unit = measure.units().iter().find(|unit| unit.symbol == symbol);
        Self {
            group,
            name,
            measure,
            unit: unit.expect("a unit of the measure"),
            about,
            basis,
            contacts: Vec::new(),
            ends: Vec::new(),
        }
    }

    /// The same, following from these contacts alone.
    pub(crate) fn from(self, contacts: &[usize]) -> Self {
        Self { contacts: contacts.to_vec(), ..self }
    }

    /// The same, looked at between these.
    pub(crate) fn within(self, ends: Vec<End>) -> Self {
        Self { ends, ..self }
    }
}

impl Design {
    /// Every number this design tells of a unit besides its events.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = of_contacts(&self.contacts, &self.sweep);
        figures.extend(of_change_overs(&self.contacts, &self.sweep));
        figures.extend(self.coils.iter().flat_map(of_coil));
        figures.extend(construction::figures(&self.contacts));
        figures.extend(of_door(self));
        figures.extend(of_target(self));
        figures.extend(self.level.iter().flat_map(|level| of_level(level, &self.contacts)));
        figures.extend(self.rotor.iter().flat_map(Rotor::figures));
        figures.extend(of_surroundings(self));
        figures.extend(self.latch.iter().flat_map(|latch| latch.figures(self)));
        figures.extend(self.relay.iter().flat_map(|relay| relay.figures(self)));
        figures.extend(self.life.iter().flat_map(Life::figures));
        figures.extend(self.loads.iter().flat_map(|load| load.figures(&self.contacts)));
        figures
    }

    /// True where the share of the earth's field is told: beside other neighbours, or where it is stated.
    pub fn tells_of_the_earth(&self) -> bool {
        let near = !self.conductors.is_empty() || !self.motors.is_empty();
        near || self.surroundings.earth.is_stated()
    }

    /// What a demand is about: a contact or a figure by its name.
    pub fn subject(&self, demand: &Demand) -> String {
        match (demand.contact, &demand.kind) {
            (Some(contact), _) => self.contacts[contact].name.clone(),
            (None, DemandKind::Figure(k, _)) => self.figures().swap_remove(*k).name,
            (None, _) => unreachable!("only a figure's demand is about no contact"),
        }
    }
}

/// What a stretch of the sweep is shown in; `None` of a wheel and of poses.
fn along(sweep: &Sweep) -> Option<(Measure, &'static str)> {
    let measure = sweep.coordinate_measure();
    let symbol = match sweep {
        Sweep::Table(_) | Sweep::Spin(_) => return None,
        Sweep::Line(_) | Sweep::Level(_) => "mm",
        Sweep::Arc(_) => "deg",
        Sweep::Current(_) if measure == Measure::Current => "mA",
        Sweep::Current(_) | Sweep::Voltage(_) => measure.units()[0].symbol,
    };
    Some((measure, symbol))
}

/// What an approach tells of a contact, and of a coil's current.
fn of_contacts(contacts: &[Contact], sweep: &Sweep) -> Vec<Figure> {
    let Some((measure, symbol)) = along(sweep) else { return Vec::new() };
    let stem = matches!(sweep, Sweep::Level(_));
    let approaches = stem || matches!(sweep, Sweep::Line(_));
    let of = |(k, contact): (usize, &Contact)| {
        let name = &contact.name;
        let difference = Figure::new(
            "contact",
            format!("differential of {name}"),
            (measure, symbol),
            if stem {
                "How far apart, in level, the contact operates and releases at the end of its main lobe where \
                 that is least: what a swinging surface has to cross to change it. Differential is said as \
                 this difference or as the ratio below; usage varies."
            } else {
                "How far apart the contact operates and releases in its main lobe, along the sweep. \
                 Differential is said as this difference or as the ratio below; usage varies."
            },
            Basis::EVENTS,
        );
        let ratio = Figure::new(
            "contact",
            format!("differential ratio of {name}"),
            (Measure::Number, "%"),
            "Distance from what moves to the contact's middle at operate, over that at release. Differential \
             is said as this ratio or as the difference above; usage varies.",
            Basis::EVENTS,
        );
        std::iter::once(difference)
            .chain(approaches.then_some(ratio))
            .map(move |one| one.from(&[k]))
    };
    contacts.iter().enumerate().flat_map(of).collect()
}

/// How long both sides of a change-over contact are open as its blade goes over.
fn of_change_overs(contacts: &[Contact], sweep: &Sweep) -> Vec<Figure> {
    let Some(shown) = along(sweep) else { return Vec::new() };
    let of = |(k, contact): (usize, &Contact)| {
        let name = &contact.change_over.as_ref()?.of;
        let one = |name: String, about| {
            Figure::new("contact", name, shown, about, Basis::EVENTS).from(&[k - 1, k])
        };
        Some([
            one(
                format!("transfer of {name}"),
                "The stretch of the sweep on which both sides are open as the contact operates, the least of all \
                 its operations; below zero both are closed there.",
            ),
            one(
                format!("return transfer of {name}"),
                "The stretch on which both sides are open as it releases; below zero both are closed there.",
            ),
        ])
    };
    contacts.iter().enumerate().filter_map(of).flatten().collect()
}

/// What a coil tells that is wound of a known wire.
fn of_coil(coil: &Coil) -> Vec<Figure> {
    let Some(wound) = coil.wound() else { return Vec::new() };
    let told = |what: &str, shown, about, source| {
        let basis = Basis::new(Model::Windings, source);
        Figure::new("coil", format!("{what} of {}", coil.name), shown, about, basis)
    };
    let mm = (Measure::Length, "mm");
    let wire = if wound.is_gauge() { "[astmb258] [iec60317-0-1]" } else { "[iec60317-0-1]" };
    let copper = "[iec60028]";
    vec![
        told(
            "outer diameter",
            mm,
            "Outer diameter of the section that the turns fill evenly: that of the field's source.",
            wire,
        ),
        told(
            "room above",
            mm,
            "Height of the window that the winding leaves free; below zero it stands above the flanges.",
            wire,
        ),
        told("wire length", (Measure::Length, "m"), "Length of the wire without its ends.", wire),
        told(
            "resistance",
            (Measure::Resistance, "Ω"),
            "Resistance at 20 °C: the stated one, else that of the wire.",
            if coil.resistance.is_some() { "as stated" } else { copper },
        ),
        told(
            "wire mass",
            (Measure::Mass, "g"),
            "Mass of the copper; the enamel comes on top.",
            copper,
        ),
    ]
}

/// What a level stem tells, in the order of `engine`.
fn of_level(level: &Level, contacts: &[Contact]) -> Vec<Figure> {
    let mm = (Measure::Length, "mm");
    let by = |basis| {
        move |name: &str, shown, about| Figure::new("level", name.to_owned(), shown, about, basis)
    };
    let one = by(Basis::EVENTS);
    let floats = by(Basis::new(
        Model::Float,
        match level.float.liquid {
            InLiquid::Water => "Archimedes; water by [iapwssr6]",
            InLiquid::Row { .. } => "Archimedes; the liquid's own row",
            InLiquid::Density(_) => "Archimedes; the stated density",
        },
    ));
    let mut figures = vec![
        floats("draught", mm, "How deep the float swims: from its underside up to the surface."),
        one(
            "resolution",
            mm,
            "The longest stretch of level, either way, over which the reading stays the same, between the first \
             change and the last. The reading is the ladder's output where there is a ladder, else which \
             contacts are closed.",
        ),
        one(
            "dead band",
            mm,
            "The longest stretch of level, either way, on which no contact is closed, between the first that \
             operates and the last that releases; 0 where each makes before the one before it breaks.",
        ),
        one(
            "closed at once",
            (Measure::Number, ""),
            "The most contacts that are closed at one level, either way.",
        ),
    ];
    for (k, pair) in contacts.windows(2).enumerate() {
        let between = format!("{} and {}", pair[0].name, pair[1].name);
        for way in ["rising", "falling"] {
            let about = "The stretch of level on which both contacts are closed, in their main lobes, as the \
                         level rises or falls. Above zero the one makes before the other breaks; below, it is \
                         the dead band between them.";
            let name = format!("overlap {way} of {between}");
            figures.push(one(&name, mm, about).from(&[k, k + 1]));
        }
    }
    figures.push(one(
        "least differential",
        mm,
        "The least distance between the level at which a contact operates and the one at which it releases on \
         the way back, of all contacts and both ends of their main lobes.",
    ));
    if level.slosh.is_some() {
        let waves = by(Basis::new(Model::Slosh, "[lamb1932] [ibrahim2005]"));
        figures.push(waves(
            "slosh",
            mm,
            "How far the surface swings up and down at the float: the most of the levels at which contacts change.",
        ));
        figures.push(waves(
            "hold time",
            (Measure::Duration, "s"),
            "How long a reading must last before it counts, so that the slosh never makes it chatter: by the \
             least differential and the slowest swing, the most of the levels at which contacts change. 0 where \
             the differential alone is enough.",
        ));
    }
    if level.ladder.is_some() {
        let measure = match level.ladder.as_ref().map(|ladder| ladder.reading) {
            Some(Reading::Resistance) => (Measure::Resistance, "Ω"),
            _ => (Measure::Number, "%"),
        };
        let chain = by(Basis::new(Model::Ladder, "Ohm's law"));
        figures.push(chain(
            "least step of the output",
            measure,
            "The least that the ladder's output changes from one contact closed alone to the next, counted in \
             the direction of the whole; below zero the output turns back.",
        ));
    }
    figures
}

/// Gaps at the opening edge of a door on a hinge, and how surely contacts come back while it is open.
fn of_door(design: &Design) -> Vec<Figure> {
    let Some(door) = &design.door else { return Vec::new() };
    let gap = |name: String, about| {
        Figure::new("door", name, (Measure::Length, "mm"), about, Basis::EVENTS)
    };
    let of = |(k, contact): (usize, &Contact)| {
        let name = &contact.name;
        let both = [
            gap(
                format!("gap at operate of {name}"),
                "Gap between the opening edge and where it rests when shut, a straight line, where the \
                 contact first operates as the door shuts.",
            ),
            gap(
                format!("gap at release of {name}"),
                "The same gap where the contact last releases as the door opens.",
            ),
        ];
        let room = Figure::new(
            "door",
            format!("open-door room of {name}"),
            (Measure::Number, "%"),
            "How far the drive lies beyond what the contact's state needs where the door is open: a closed one's \
             above operate, an open one's below release, so that it comes back to that state by itself once a \
             magnet that was brought near is gone. Below zero it does not.",
            Basis::EVENTS,
        );
        let gaps = both.into_iter().filter(|_| door.edge.is_some());
        gaps.chain([room]).map(move |figure| figure.from(&[k]))
    };
    design.contacts.iter().enumerate().flat_map(of).collect()
}

/// How near conductors and motors must stand to matter to each contact, and whether the earth does.
fn of_surroundings(design: &Design) -> Vec<Figure> {
    let each = |name: &dyn Fn(&str) -> String, shown, about, basis| {
        let one = |(k, contact): (usize, &Contact)| {
            Figure::new("surroundings", name(&contact.name), shown, about, basis).from(&[k])
        };
        design.contacts.iter().enumerate().map(one).collect::<Vec<_>>()
    };
    let reach = |name: &str, about, model| {
        let basis = Basis::new(model, "[jackson1999]");
        let named = |contact: &str| format!("reach of {name} to {contact}");
        each(&named, (Measure::Length, "mm"), about, basis)
    };
    let conductors = design.conductors.iter().flat_map(|conductor| {
        reach(
            &conductor.name,
            if conductor.current.is.nominal.si() == 0.0 {
                "Distance of a far longer conductor with the same current, turned the worst way, at which its \
                 field is the share of what operates the contact from which a field from outside matters. The \
                 stated nominal current is 0 A, so that the nominal reach is 0 mm: what counts is the far limit, \
                 that of the greatest current."
            } else {
                "Distance of a far longer conductor with the same current, turned the worst way, at which its \
                 field is the share of what operates the contact from which a field from outside matters."
            },
            Model::Conductors,
        )
    });
    let motors = design.motors.iter().flat_map(|motor| {
        reach(
            &motor.name,
            "Distance of its middle, its axis through the contact and along it, the worst way, at which its \
             field is that share of what operates the contact. Nearer than twice its own size no dipole tells it.",
            Model::Motors,
        )
    });
    let mut figures: Vec<Figure> = conductors.chain(motors).collect();
    if design.tells_of_the_earth() {
        figures.extend(each(
            &|contact| format!("share of the earth in {contact}"),
            (Measure::Number, "%"),
            "The earth's field along the contact, over what operates it: how far it shifts operate at most, \
             either way, as the contact is turned about.",
            Basis::new(Model::Earth, "an even field over a level, arithmetic"),
        ));
    }
    figures
}

/// How far off a steel target is seen, and what room the contact has without it and with it.
fn of_target(design: &Design) -> Vec<Figure> {
    if design.target.is_none() {
        return Vec::new();
    }
    let by =
        |basis| move |name: String, shown, about| Figure::new("target", name, shown, about, basis);
    let distance = by(Basis::EVENTS);
    let left = by(Basis::new(Model::Target, "[lindholm1980] [harrington1968]"));
    let of = |(k, contact): (usize, &Contact)| {
        let name = &contact.name;
        let mm = (Measure::Length, "mm");
        let room = (Measure::Number, "%");
        let four = [
            distance(
                format!("detection distance of {name}"),
                mm,
                "From the target's leading face to where distances are told from, along its way, where the \
                 contact first changes as the target comes; below zero the face has passed that place.",
            ),
            distance(
                format!("return distance of {name}"),
                mm,
                "The same where the contact last changes as the target goes away again.",
            ),
            left(
                format!("far room of {name}"),
                room,
                "How far the drive lies beyond what the contact's state needs where the sweep starts: a closed \
                 one's above operate, an open one's below release, so that it comes back to that state by \
                 itself.",
            ),
            left(
                format!("near room of {name}"),
                room,
                "The same where the sweep ends, with the target as near as it comes.",
            ),
        ];
        four.map(|figure| figure.from(&[k]))
    };
    design.contacts.iter().enumerate().flat_map(of).collect()
}
