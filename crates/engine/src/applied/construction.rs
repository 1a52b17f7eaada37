//! What contacts are made of, of one unit.

use crate::realise::Pick;
use reedmace_applied::beam::Blade;
use reedmace_applied::holm::gap_capacitance;
use reedmace_design::{ConstructionFigure, Contact, Design, Fill};
use reedmace_units::Quantity;
use std::f64::consts::PI;

/// A contact's construction at definite values, SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Made {
    told: Vec<ConstructionFigure>,
    pub gap: f64,
    closed: f64,
    pub overlap: f64,
    pub width: f64,
    pub thickness: f64,
    span: f64,
    lead: f64,
    overall: f64,
    pub fill: Option<Fill>,
    pub pressure: f64,
    /// Resistivity, Young's modulus and density of the alloy.
    alloy: Option<[f64; 3]>,
}

/// Field at which a gap in vacuum breaks down, V/m: 20 kV/mm, from memory, the low end of what is said of clean faces.
pub(crate) const VACUUM: f64 = 20e6;

impl Made {
    /// Every contact whose construction is told.
    pub fn of(design: &Design, pick: &Pick) -> Vec<Self> {
        let told = design.contacts.iter().filter(|contact| contact.construction.is_told());
        told.map(|contact| Self::one(contact, pick)).collect()
    }

    /// One contact.
    pub fn one(contact: &Contact, pick: &Pick) -> Self {
        let made = &contact.construction;
        let alloy = made.alloy.as_ref().map(|alloy| {
            let [resistivity, modulus] =
                [alloy.resistivity.nominal.si(), alloy.elastic_modulus.nominal.si()];
            [resistivity, modulus, alloy.density.nominal.si()]
        });
        Self {
            told: made.told(),
            gap: pick(&contact.gap),
            closed: pick(&contact.closed_gap),
            overlap: pick(&contact.overlap),
            width: pick(&contact.blade_width),
            thickness: pick(&contact.blade_thickness),
            span: pick(&contact.blade_span),
            lead: pick(&contact.lead_diameter),
            overall: pick(&contact.overall_length),
            fill: made.gas,
            pressure: pick(&made.pressure),
            alloy,
        }
    }

    /// Adds its figures, in the order of the design.
    pub fn tell(&self, figures: &mut Vec<f64>) {
        let [resistivity, modulus, density] = self.alloy.unwrap_or([f64::NAN; 3]);
        figures.extend(self.told.iter().map(|figure| match figure {
            ConstructionFigure::StandOff => self.stand_off(None),
            ConstructionFigure::Capacitance => gap_capacitance(self.overlap * self.width, self.gap),
            ConstructionFigure::Leads => resistivity * self.shape_of_leads(),
            ConstructionFigure::Frequency => self.blade(modulus, density).frequency(1),
            ConstructionFigure::Acceleration => self.blade(modulus, density).closes(self.way()),
        }));
    }

    /// Breakdown voltage of the open gap; with a second coefficient other than usual.
    pub fn stand_off(&self, gamma: Option<f64>) -> f64 {
        match self.fill {
            Some(Fill::Gas(gas)) => {
                let gas =
                    gamma.map_or(gas, |gamma| reedmace_applied::paschen::Gas { gamma, ..gas });
                gas.breakdown(self.pressure, self.gap)
            }
            Some(Fill::Vacuum) => VACUUM * self.gap,
            None => f64::NAN,
        }
    }

    /// Length over section of leads and blades, 1/m: times a resistivity their resistance.
    pub fn shape_of_leads(&self) -> f64 {
        let leads = (self.overall - self.span) / (0.25 * PI * self.lead * self.lead);
        // Where the blades overlap two of them lie side by side.
        let blades = (self.span - 0.5 * self.overlap) / (self.width * self.thickness);
        leads + blades
    }

    /// How far the faces have to move to touch, m.
    pub fn way(&self) -> f64 {
        self.gap - self.closed
    }

    /// One blade from where it turns flat to its end.
    pub fn blade(&self, modulus: f64, density: f64) -> Blade {
        let length = 0.5 * (self.span + self.overlap);
        Blade { modulus, density, length, width: self.width, thickness: self.thickness }
    }
}
