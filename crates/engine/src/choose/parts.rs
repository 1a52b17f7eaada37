//! Every combination of what is chosen from lists and in steps, and what each costs.

use crate::choose::Remake;
use crate::error::EngineError;
use crate::quantity::Quantified;
use crate::sources::magnet_body;
use crate::units::tidy;
use crate::winding::turns_and_resistance;
use rayon::prelude::*;
use reedmace_design::{Choose, Cost, Design, Material, Options, Pick, Relay};
use reedmace_fields::AnySource;
use reedmace_units::{Quantity, Temperature};

/// Why a combination has no cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Costless {
    /// A part that was chosen has no price, or no mass.
    Unknown(String),
    /// The design would have a fault: the first.
    Faulty(String),
}

/// Everything there is to choose from, each combination by its number.
pub(crate) struct Combinations<'a> {
    choose: &'a Choose,
    text: &'a str,
    parts: Vec<Part>,
    /// What the design costs as it stands, if that is known.
    pub own: Option<f64>,
}

/// A contact, a magnet or a coil whose cost depends on some of what is free.
struct Part {
    free: Vec<usize>,
    costs: Vec<Result<f64, Costless>>,
}

impl<'a> Combinations<'a> {
    /// Finds what each part costs with anything that may be chosen for it.
    pub fn new(
        choose: &'a Choose,
        design: &'a Design,
        remake: &Remake<'_>,
    ) -> Result<Self, EngineError> {
        let mut all = Self { choose, text: &design.text, parts: Vec::new(), own: Some(0.0) };
        let contacts = design.contacts.iter().map(|c| format!("contact[{}].", c.name));
        let magnets = design.magnets.iter().map(|m| format!("magnet[{}].", m.table()));
        let names: Vec<String> = match choose.cost {
            Cost::Price => contacts.chain(magnets).collect(),
            Cost::Mass | Cost::Volume => magnets.collect(),
            Cost::Power => design
                .relay
                .iter()
                .map(|r| format!("coil[{}].", design.coils[r.coil].name))
                .collect(),
        };
        for (which, name) in names.iter().enumerate() {
            let of = |k: &usize| {
                let free = &choose.free[*k];
                free.path.starts_with(name) && free.options.count().is_some()
            };
            let free: Vec<usize> = (0..choose.free.len()).filter(of).collect();
            let own = cost_of(choose.cost, design, which, !free.is_empty()).ok();
            all.own = all.own.zip(own).map(|(sum, own)| tidy(sum + own));
            let count: usize = free.iter().map(|k| all.count_of(*k)).product();
            let costs: Vec<Result<f64, Costless>> = (0..count)
                .into_par_iter()
                .map(|number| {
                    let picks = all.picks_of(&free, number);
                    let text = choose.chosen(&design.text, &picks);
                    let text =
                        text.ok_or_else(|| Costless::Faulty("it cannot be written".into()))?;
                    let made = remake(&text).map_err(|faults| Costless::Faulty(first(&faults)))?;
                    cost_of(choose.cost, &made, which, !free.is_empty())
                })
                .collect();
            all.parts.push(Part { free, costs });
        }
        Ok(all)
    }

    fn count_of(&self, free: usize) -> usize {
        self.choose.free[free].options.count().unwrap_or(1)
    }

    /// How many combinations there are.
    pub fn count(&self) -> usize {
        (0..self.choose.free.len()).map(|k| self.count_of(k)).product()
    }

    /// What is chosen in a combination; ranges at the file's own values.
    pub fn picks(&self, number: usize) -> Vec<Pick> {
        let all: Vec<usize> = (0..self.choose.free.len()).collect();
        self.picks_of(&all, number)
    }

    /// The same with only the things `free` told by the number, all else at its first option.
    fn picks_of(&self, free: &[usize], mut number: usize) -> Vec<Pick> {
        let first = |options: &Options| match options {
            Options::Named(_) | Options::Stepped(_) => Pick::Nth(0),
            Options::Within(within) => Pick::At(within.start),
        };
        let mut picks: Vec<Pick> = self.choose.free.iter().map(|f| first(&f.options)).collect();
        // The last one runs fastest, as in a table read line by line.
        for k in free.iter().rev() {
            let count = self.count_of(*k);
            if let Pick::Nth(n) = &mut picks[*k] {
                *n = number % count;
            }
            number /= count;
        }
        picks
    }

    /// What a combination costs: a price, g, mm³ or mW.
    pub fn cost(&self, number: usize) -> Result<f64, Costless> {
        let picks = self.picks(number);
        let mut sum = 0.0;
        for part in &self.parts {
            let number = part.free.iter().fold(0, |number, k| {
                let Pick::Nth(n) = picks[*k] else { return number };
                number * self.count_of(*k) + n
            });
            sum += part.costs[number].clone()?;
        }
        Ok(tidy(sum))
    }

    /// The design's text with these picks.
    pub fn text(&self, picks: &[Pick]) -> Option<String> {
        self.choose.chosen(self.text, picks)
    }
}

/// The first fault of a design, with where it is.
pub(crate) fn first(faults: &[reedmace_design::Diagnostic]) -> String {
    let fault = faults.iter().find(|f| f.severity == reedmace_design::Severity::Error);
    fault.map_or_else(String::new, |f| format!("{} [{}]", f.message, f.code))
}

/// Cost of part `which` of a design; of one that is not chosen nothing where it is not known.
fn cost_of(cost: Cost, design: &Design, which: usize, chosen: bool) -> Result<f64, Costless> {
    if cost == Cost::Power {
        return Ok(design.relay.as_ref().map_or(0.0, |relay| 1e3 * rated_power(relay, design)));
    }
    let contacts = if cost == Cost::Price { design.contacts.len() } else { 0 };
    let (name, known) = match which.checked_sub(contacts) {
        None => {
            let contact = &design.contacts[which];
            if contact.change_over.is_some() {
                return Ok(0.0);
            }
            let of = contact.family.as_ref().unwrap_or(&contact.name);
            (of, contact.price.as_ref().map(|price| price.si()))
        }
        Some(k) => {
            let magnet = &design.magnets[k];
            let of = magnet.catalogue.as_ref().unwrap_or(&magnet.name);
            let nominal = |q: &dyn Quantified| q.limits().nominal;
            let body = magnet_body(magnet, Temperature::celsius(20.0), &nominal)
                .map_err(|why| Costless::Faulty(why.to_string()))?;
            let AnySource::Magnet(source) = body.source else { return Ok(0.0) };
            let volume = source.shape.volume();
            let known = match (cost, &magnet.material) {
                (Cost::Price, _) => magnet.price.as_ref().map(|price| price.si()),
                (Cost::Volume, _) => Some(volume * 1e9),
                (Cost::Mass, Material::Grade { grade, .. }) => {
                    Some(volume * grade.density.nominal.si() * 1e3)
                }
                (Cost::Mass, Material::Hard { .. }) => None,
                (Cost::Power, _) => None,
            };
            (of, known)
        }
    };
    match known {
        Some(cost) => Ok(cost),
        None if !chosen => Ok(0.0),
        None => Err(Costless::Unknown(format!("`{name}` has no {}", cost.word()))),
    }
}

/// What the coil takes from its nominal supply with its wire at 20 °C, W.
fn rated_power(relay: &Relay, design: &Design) -> f64 {
    let nominal = |q: &dyn Quantified| q.limits().nominal;
    let (_, resistance) = turns_and_resistance(&design.coils[relay.coil], &nominal);
    relay.supply.si().powi(2) / resistance
}
