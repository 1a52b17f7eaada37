//! What a contact is made of, as far as stated.

use crate::basis::{Basis, Model};
use crate::figures::Figure;
use crate::model::Contact;
use crate::schema::Measure;
use crate::value::Value;
use reedmace_applied::network::ArcLimits;
use reedmace_applied::paschen;
use reedmace_materials::{ContactMetal, Glass, SoftAlloy};
use reedmace_units::{Pressure, Ratio, Resistance};

/// What a contact is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Construction {
    /// Metal of the faces.
    pub metal: Option<ContactMetal>,
    /// Resistance of the closed contact with its leads.
    pub resistance: Value<Resistance>,
    /// Alloy of blades and leads.
    pub alloy: Option<SoftAlloy>,
    /// Glass that they are sealed in.
    pub glass: Option<Glass>,
    /// What fills it.
    pub gas: Option<Fill>,
    /// Pressure of that at 20 °C.
    pub pressure: Value<Pressure>,
    /// Speed after an impact of the faces over the one before.
    pub restitution: Value<Ratio>,
}

/// What fills the glass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fill {
    /// A gas.
    Gas(paschen::Gas),
    /// Nothing.
    Vacuum,
}

impl Fill {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("nitrogen", Self::Gas(paschen::Gas::NITROGEN)),
        ("air", Self::Gas(paschen::Gas::AIR)),
        ("vacuum", Self::Vacuum),
    ];
}

/// A figure of a contact's construction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConstructionFigure {
    /// Voltage that the open gap stands.
    StandOff,
    /// Capacitance of the open gap.
    Capacitance,
    /// Resistance of blades and leads.
    Leads,
    /// Natural frequency of a blade.
    Frequency,
    /// Acceleration that closes the gap.
    Acceleration,
}

impl ConstructionFigure {
    /// Name before ` of` the contact, measure, unit, meaning.
    pub fn facts(self) -> (&'static str, Measure, &'static str, &'static str) {
        match self {
            Self::StandOff => (
                "stand-off voltage",
                Measure::Voltage,
                "V",
                "Voltage at which the open gap breaks down: by Paschen's law in the stated gas, in vacuum by \
                 20 kV/mm, from memory. Clean faces in an even field; across the glass outside it is less.",
            ),
            Self::Capacitance => (
                "gap capacitance",
                Measure::Capacitance,
                "pF",
                "Of the faces of the open gap alone: blades and leads add as much again and more.",
            ),
            Self::Leads => (
                "lead resistance",
                Measure::Resistance,
                "mΩ",
                "Of round leads and flat blades, at direct current; the constriction where the faces touch comes \
                 on top.",
            ),
            Self::Frequency => (
                "blade frequency",
                Measure::Frequency,
                "Hz",
                "Lowest natural frequency of one blade, clamped where it turns flat; the glass gives way and the \
                 round part bends too, so the true one is lower.",
            ),
            Self::Acceleration => (
                "closing acceleration",
                Measure::Acceleration,
                "gn",
                "Steady acceleration across the blades at which one alone would bend over the gap, without magnetic \
                 pull: like blades bend together and stand far more, a slow shock closes it from 1/1.8 of it on.",
            ),
        }
    }
}

impl Construction {
    /// Least voltage and current of an arc between its faces, if its metal is stated and they are known.
    pub fn arc_limits(&self) -> Option<ArcLimits> {
        reedmace_applied::arcs::limits(self.metal.as_ref()?)
    }

    /// True when more is stated than the metal of the faces.
    pub fn is_told(&self) -> bool {
        self.alloy.is_some() || self.glass.is_some() || self.gas.is_some()
    }

    /// Where a figure of it is from.
    fn source(&self, figure: ConstructionFigure) -> &'static str {
        match (figure, self.gas) {
            (ConstructionFigure::StandOff, Some(Fill::Vacuum)) => "20 kV/mm, from memory",
            (ConstructionFigure::StandOff, _) => "Paschen's law [lieberman2005]",
            (ConstructionFigure::Capacitance, _) => "ε0 A/g of flat faces",
            (ConstructionFigure::Leads, _) => "length over section; resistivity by the alloy's row",
            (ConstructionFigure::Frequency | ConstructionFigure::Acceleration, _) => {
                "[timoshenko1974]"
            }
        }
    }

    /// What is told of it, in order.
    pub fn told(&self) -> Vec<ConstructionFigure> {
        use ConstructionFigure::*;
        let all = [
            (StandOff, self.gas.is_some()),
            (Capacitance, self.is_told()),
            (Leads, self.alloy.is_some()),
            (Frequency, self.alloy.is_some()),
            (Acceleration, self.alloy.is_some()),
        ];
        all.into_iter().filter(|(_, told)| *told).map(|(figure, _)| figure).collect()
    }
}

/// What is told of the construction of every contact, in the order in which `engine` tells the values.
pub(crate) fn figures(contacts: &[Contact]) -> impl Iterator<Item = Figure> {
    contacts.iter().enumerate().flat_map(|(k, contact)| {
        contact.construction.told().into_iter().map(move |told| {
            let (name, measure, unit, about) = told.facts();
            let name = format!("{name} of {}", contact.name);
            let basis = Basis::new(Model::Construction, contact.construction.source(told));
            Figure::new("construction", name, (measure, unit), about, basis).from(&[k])
        })
    })
}
