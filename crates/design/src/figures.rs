//! The numbers that a design tells of every unit besides its events: what they are called and measured in.
//!
//! `engine` tells their values in the same order.

use crate::model::{Contact, Design};
use crate::motion::{Demand, DemandKind, Sweep};
use crate::schema::Measure;
use reedmace_units::Unit;

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
    ) -> Self {
        let unit = measure.units().iter().find(|unit| unit.symbol == symbol);
        Self { group, name, measure, unit: unit.expect("a unit of the measure"), about }
    }
}

impl Design {
    /// Every number this design tells of a unit besides its events.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = of_contacts(&self.contacts, &self.sweep);
        figures.extend(of_door(self));
        figures
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

/// What an approach tells of a contact, and of a coil's current.
fn of_contacts(contacts: &[Contact], sweep: &Sweep) -> Vec<Figure> {
    let measure = sweep.coordinate_measure();
    let symbol = match sweep {
        Sweep::Table(_) | Sweep::Spin(_) => return Vec::new(),
        Sweep::Line(_) => "mm",
        Sweep::Arc(_) => "deg",
        Sweep::Current(_) => measure.units()[0].symbol,
    };
    let approaches = matches!(sweep, Sweep::Line(_));
    let of = |contact: &Contact| {
        let name = &contact.name;
        let difference = Figure::new(
            "contact",
            format!("differential of {name}"),
            (measure, symbol),
            "How far apart the contact operates and releases in its main lobe, along the sweep. Differential \
             is said as this difference or as the ratio below; usage varies.",
        );
        let ratio = Figure::new(
            "contact",
            format!("differential ratio of {name}"),
            (Measure::Number, "%"),
            "Distance from what moves to the contact's middle at operate, over that at release. Differential \
             is said as this ratio or as the difference above; usage varies.",
        );
        std::iter::once(difference).chain(approaches.then_some(ratio))
    };
    contacts.iter().flat_map(of).collect()
}

/// Gaps at the opening edge of a door on a hinge.
fn of_door(design: &Design) -> Vec<Figure> {
    if design.door.as_ref().is_none_or(|door| door.edge.is_none()) {
        return Vec::new();
    }
    let gap = |name: String, about| Figure::new("door", name, (Measure::Length, "mm"), about);
    let of = |contact: &Contact| {
        let name = &contact.name;
        [
            gap(
                format!("gap at operate of {name}"),
                "Gap between the opening edge and where it rests when shut, a straight line, where the \
                 contact first operates as the door shuts.",
            ),
            gap(
                format!("gap at release of {name}"),
                "The same gap where the contact last releases as the door opens.",
            ),
        ]
    };
    design.contacts.iter().flat_map(of).collect()
}
