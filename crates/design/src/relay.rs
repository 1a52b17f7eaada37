//! A relay: a coil, its supply and the contacts that it drives.

use crate::basis::{Basis, Model};
use crate::figures::{COLDEST, End, Figure};
use crate::model::{Contact, Design, Form};
use crate::schema::Measure;
use crate::value::Value;
use reedmace_units::{Capacitance, Quantity, Resistance, Voltage};
use std::ops::Range;

/// `[relay]`: the coil of a sweep of current or voltage, with what supplies it.
#[derive(Debug, Clone, PartialEq)]
pub struct Relay {
    /// Index of the coil; its resistance is known.
    pub coil: usize,
    /// Voltage across the coil when it is on.
    pub supply: Value<Voltage>,
    /// What takes the coil's current over when it is switched off.
    pub suppression: Suppression,
    /// The user's note.
    pub note: Option<String>,
    /// Bytes of its header.
    pub span: Range<usize>,
}

/// What takes a coil's current over, and its parts as far as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Suppression {
    /// Which.
    pub kind: Suppressor,
    /// Breakdown of a Zener diode.
    pub voltage: Option<Value<Voltage>>,
    /// Resistance of a resistor, or of one with a capacitor.
    pub resistance: Option<Value<Resistance>>,
    /// Capacitance.
    pub capacitance: Option<Value<Capacitance>>,
}

/// What takes a coil's current over when it is switched off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suppressor {
    /// Nothing: the switch breaks it at once.
    None,
    /// A diode across the coil.
    Diode,
    /// A diode with a Zener diode.
    Zener,
    /// A resistor across the coil.
    Resistor,
    /// A resistor with a capacitor across the coil.
    Rc,
}

impl Suppressor {
    /// The words a design may use.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("none", Self::None),
        ("diode", Self::Diode),
        ("zener", Self::Zener),
        ("resistor", Self::Resistor),
        ("rc", Self::Rc),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        let known = Self::WORDS.into_iter().find(|(_, kind)| *kind == self);
        known.map_or("", |(word, _)| word)
    }
}

/// What is told of each contact whose alloy is known: its name and what it means.
const TIMES: [(&str, &str); 3] = [
    (
        "operate time",
        "From switching the supply on, the wire as warm as the surroundings, until the faces first touch.",
    ),
    (
        "bounce time",
        "From the first touch until the faces stay on each other: impacts of one lumped mass by the stated restitution. \
         Higher modes of the blades may add as much again.",
    ),
    (
        "release time",
        "From switching the supply off until the faces part, the coil's current taken over by the stated suppression; 0 \
         without any, which leaves out the microseconds of the switch's own arc.",
    ),
];

const VOLTS: (Measure, &str) = (Measure::Voltage, "V");

/// How warm the wire is that a number at the coil is told for.
#[derive(Debug, Clone, Copy)]
enum Wire {
    /// However warm.
    Any,
    /// As warm as stated, or as the surroundings.
    Given,
    /// Warmed through by its own power.
    Warmed,
}

/// The volts and milliamperes that are told of each contact: name, measure, what it means, and for which wire.
const AT_COIL: [(&str, (Measure, &str), &str, Wire); 7] = [
    (
        "operate voltage at 20 °C",
        VOLTS,
        "Voltage at which the contact operates with the wire at 20 °C: closes, or opens where it breaks or a magnet holds \
         it closed without current. The ampere-turns that the contact needs are taken as the same at all temperatures.",
        Wire::Given,
    ),
    (
        "release voltage at 20 °C",
        VOLTS,
        "Voltage at which it is back as it was without current, with the wire at 20 °C.",
        Wire::Given,
    ),
    (
        "operate current",
        (Measure::Current, "mA"),
        "Current of the coil at which the contact operates, whatever its wire's temperature.",
        Wire::Any,
    ),
    (
        "release current",
        (Measure::Current, "mA"),
        "Current of the coil at which it is back as it was without current.",
        Wire::Any,
    ),
    (
        "operate voltage hot",
        VOLTS,
        "Operate voltage in the hottest surroundings, the coil off until then.",
        Wire::Given,
    ),
    (
        "operate voltage hot, warmed",
        VOLTS,
        "Operate voltage in the hottest surroundings, the coil warmed through by its supply until then: the highest there is.",
        Wire::Warmed,
    ),
    (
        "release voltage cold",
        VOLTS,
        "Release voltage in the coldest surroundings, the coil off until then: the lowest there is.",
        Wire::Given,
    ),
];

impl Design {
    /// True where the times of a contact in a relay are told: its alloy is known, and it makes and does nothing else.
    /// How a contact that breaks rests on its other side is not known.
    pub fn is_timed(&self, contact: usize) -> bool {
        let one = &self.contacts[contact];
        let makes = one.form == Form::Make && self.closed_side(contact).is_none();
        makes && one.construction.alloy.is_some()
    }
}

impl Relay {
    /// What makes a number at the coil.
    fn basis(&self, design: &Design, wire: Wire) -> Basis {
        let estimated = !design.coils[self.coil].thermal_resistance.is_stated();
        let warm = |source| Basis::new(Model::WarmCoils, source);
        match wire {
            Wire::Any => Basis::EVENTS,
            Wire::Given => warm("[iec60028]"),
            Wire::Warmed if estimated => warm("[iec60028] [churchill1975]"),
            Wire::Warmed => warm("[iec60028]; the stated thermal resistance"),
        }
    }

    /// What is told of it, in the order in which `engine` tells the values.
    pub(crate) fn figures(&self, design: &Design) -> Vec<Figure> {
        let mut figures = Vec::new();
        for (k, contact) in design.contacts.iter().enumerate() {
            figures.extend(self.of_contact(design, k, contact));
        }
        let mut told = |name: &str, shown, about, wire| {
            let basis = self.basis(design, wire);
            figures.push(Figure::new("relay", name.to_owned(), shown, about, basis));
        };
        if design.contacts.len() > 1 {
            told(
                "spread of operate voltage",
                VOLTS,
                "From the lowest to the highest operate voltage at 20 °C of the contacts of one relay.",
                Wire::Given,
            );
            told(
                "highest operate voltage hot, warmed",
                VOLTS,
                "Voltage at which the last contact operates in the hottest surroundings, the coil warmed through by its \
                 supply until then.",
                Wire::Warmed,
            );
            told(
                "lowest release voltage cold",
                VOLTS,
                "Voltage at which the last contact releases in the coldest surroundings, the coil off until then.",
                Wire::Given,
            );
        }
        told(
            "coil current",
            (Measure::Current, "mA"),
            "Current at the supply as it is switched on, the wire as warm as the surroundings.",
            Wire::Given,
        );
        told(
            "coil power",
            (Measure::Power, "mW"),
            "Power at the supply as it is switched on, the wire as warm as the surroundings.",
            Wire::Given,
        );
        told(
            "temperature rise",
            (Measure::Temperature, "K"),
            "How much hotter the wire gets than the surroundings when the supply has warmed it through.",
            Wire::Warmed,
        );
        told(
            "hottest wire",
            (Measure::Temperature, "°C"),
            "Temperature of the wire in the hottest surroundings, warmed through by its supply; the thermal class of \
             its enamel is what it stands for years.",
            Wire::Warmed,
        );
        for (k, contact) in design.contacts.iter().enumerate() {
            if design.is_timed(k) {
                let one = |(what, about): (&str, &'static str)| {
                    let name = format!("{what} of {}", contact.name);
                    let basis = Basis::new(Model::Times, "[timoshenko1974] [senturia2001]");
                    Figure::new("relay", name, (Measure::Duration, "ms"), about, basis).from(&[k])
                };
                figures.extend(TIMES.map(one));
            }
        }
        figures
    }

    /// Those of one contact.
    fn of_contact(&self, design: &Design, k: usize, contact: &Contact) -> Vec<Figure> {
        let name = &contact.name;
        let mut figures: Vec<Figure> = AT_COIL
            .iter()
            .map(|(what, shown, about, wire)| {
                let basis = self.basis(design, *wire);
                Figure::new("relay", format!("{what} of {name}"), *shown, about, basis)
            })
            .collect();
        let hottest = Figure::new(
            "relay",
            format!("hottest surroundings of {name}"),
            (Measure::Temperature, "°C"),
            "Hottest surroundings in which the contact still operates on the supply, the coil warmed through by it. \
             Looked at up to the thermal class of the wire, which its own heat takes it to before that; whether bobbin \
             and contact stand it is not looked at.",
            self.basis(design, Wire::Warmed),
        );
        let class = design.coils[self.coil].thermal_class.is.nominal.si();
        figures.push(hottest.within(vec![
            End {
                at: class,
                upper: true,
                meaning: "operates at every temperature that the wire stands",
            },
            End { at: COLDEST, upper: false, meaning: "operates at no temperature looked at" },
        ]));
        figures.into_iter().map(|figure| figure.from(&[k])).collect()
    }
}
