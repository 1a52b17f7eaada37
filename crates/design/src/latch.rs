//! Contacts that remember: figures of a latch.

use crate::basis::{Basis, Model};
use crate::figures::{COLDEST, End, Figure};
use crate::model::{Contact, Design, Material, Threshold};
use crate::motion::{Sweep, Thing};
use crate::schema::Measure;
use reedmace_materials::Grade;
use reedmace_units::Quantity;
use std::ops::Range;

/// `[latch]`: contacts that keep their state while what changes is away.
#[derive(Debug, Clone, PartialEq)]
pub struct Latch {
    /// True when what moves is away where the forward pass ends, false where it starts; a coil is at rest
    /// without current.
    pub rests_at_end: bool,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

impl Design {
    /// The grade of the magnets that keep their place beside a contact, if they have one, or several that
    /// change alike with temperature.
    pub fn bias_grade(&self, contact: usize) -> Option<&Grade> {
        let mut grades = self.biasing(contact).map(|k| match &self.magnets[k].material {
            Material::Grade { grade, .. } => Some(grade.as_ref()),
            Material::Hard { .. } => None,
        });
        let first = grades.next()??;
        let alike = |other: Option<&Grade>| {
            other
                .is_some_and(|other| other.remanence_drift.nominal == first.remanence_drift.nominal)
        };
        grades.all(alike).then_some(first)
    }

    /// Magnets that keep their place beside a contact, by their numbers.
    pub fn biasing(&self, contact: usize) -> impl Iterator<Item = usize> {
        let moves = self.sweep.moves();
        let along = moves.contains(&Thing::Contact(contact));
        (0..self.magnets.len()).filter(move |k| moves.contains(&Thing::Magnet(*k)) == along)
    }
}

impl Latch {
    /// What is told of it, in the order in which `engine` tells the values.
    pub(crate) fn figures(&self, design: &Design) -> Vec<Figure> {
        let of = |(k, contact)| self.of_contact(design, k, contact);
        design.contacts.iter().enumerate().flat_map(of).collect()
    }

    fn of_contact(&self, design: &Design, k: usize, contact: &Contact) -> Vec<Figure> {
        let measure = design.sweep.coordinate_measure();
        let symbol = match design.sweep {
            Sweep::Line(_) | Sweep::Level(_) => "mm",
            Sweep::Arc(_) | Sweep::Spin(_) => "deg",
            Sweep::Current(_) if measure == Measure::Current => "mA",
            _ => measure.units()[0].symbol,
        };
        let name = &contact.name;
        let by = |basis| {
            move |what: &str, shown, about| {
                Figure::new("latch", format!("{what} of {name}"), shown, about, basis).from(&[k])
            }
        };
        let point = by(Basis::EVENTS);
        let one = by(Basis::new(Model::Latch, "[iec62246]"));
        let (place, field) = ((measure, symbol), (Measure::FluxDensity, "mT"));
        let mut figures = vec![
            point(
                "set point",
                place,
                "Where the contact last operates in the sense of its bias, on the way there and back.",
            ),
            point(
                "reset point",
                place,
                "Where the contact that its bias holds last releases, on the way there and back.",
            ),
            point(
                "overdrive point",
                place,
                "Where what resets the contact goes too far and operates it the other way round; it opens again \
                 on the way back.",
            ),
            one(
                "bias",
                field,
                "Drive of the open contact while what changes is away, without its sign.",
            ),
            one(
                "resetting stray field",
                field,
                "The field from outside, even, along the contact and against its bias, that resets it: how far the \
                 drive at rest lies above release. Below zero it does not stay set. With steel beside the contact, \
                 the field as the steel leaves it.",
            ),
            one(
                "setting stray field",
                field,
                "The field from outside, even, along the contact and with its bias, that sets it: how far the drive \
                 at rest lies below operate. Below zero it does not stay reset.",
            ),
        ];
        if let Threshold::AmpereTurns(_) = contact.operate {
            let turns = (Measure::AmpereTurns, "AT");
            figures.push(one(
                "resetting ampere-turns",
                turns,
                "The same room above release in ampere-turns of the test coil.",
            ));
            figures.push(one(
                "setting ampere-turns",
                turns,
                "The same room below operate in ampere-turns of the test coil.",
            ));
        }
        if let Some(grade) = design.bias_grade(k) {
            let celsius = (Measure::Temperature, "°C");
            let most = grade.max_temperature.as_ref().map(|most| most.nominal.si());
            let ends = |at_most, at_coldest| {
                let upper = most.map(|at| End { at, upper: true, meaning: at_most });
                let lower = End { at: COLDEST, upper: false, meaning: at_coldest };
                upper.into_iter().chain([lower]).collect()
            };
            let drifting = by(Basis::new(Model::Latch, "the grade's row, by [iec60404-8-1]"));
            let hottest = drifting(
                "hot limit",
                celsius,
                "Temperature up to which the contact stays set, its levels the same at all temperatures and all \
                 of its bias weaker as the magnets beside it are. Looked at up to what the grade allows.",
            );
            let stays = "stays set at every temperature that the grade allows";
            figures.push(hottest.within(ends(stays, "stays set at no temperature looked at")));
            let coldest = drifting(
                "cold limit",
                celsius,
                "Temperature down to which the contact stays reset, its bias stronger in the cold. Looked at down \
                 to −200 °C.",
            );
            let stays = "stays reset at every temperature looked at";
            figures.push(
                coldest.within(ends("stays reset at no temperature that the grade allows", stays)),
            );
        }
        figures
    }
}
