//! Writes each kind of protection as a netlist into a folder, and prints what we find of it: name, how the
//! contact moves, what the simulator is asked, what we find.
//!
//! Run: `cargo run --package reedmace-applied --example load_circuits -- FOLDER`

use reedmace_applied::{
    load_circuit::{Load, LoadCircuit, Protection},
    network::Contact,
    spice,
};
use std::{error::Error, path::PathBuf};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("a folder to write into")?);
    std::fs::create_dir_all(&folder)?;
    let coil = Load::Inductive { henries: 0.1, ohms: 100.0 };
    let supply = Load::Capacitive { farads: 100e-6, ohms: 0.5, bleed: 10e3 };
    let cable = Load::Cable { farads: 5e-9, impedance: 120.0, ohms: 1e3 };
    let lamp = Load::Resistive { ohms: 24.0 };
    let cases = [
        ("lamp", lamp, Protection::None),
        ("coil", coil, Protection::None),
        ("coil_rc_contact", coil, Protection::RcAcrossContact { ohms: 100.0, farads: 0.1e-6 }),
        ("coil_rc_load", coil, Protection::RcAcrossLoad { ohms: 100.0, farads: 0.1e-6 }),
        ("coil_diode", coil, Protection::Diode { threshold: 0.7, ohms: 0.5 }),
        ("coil_zener", coil, Protection::Diode { threshold: 24.7, ohms: 2.0 }),
        ("coil_varistor", coil, Protection::Varistor { threshold: 39.0, ohms: 10.0 }),
        ("coil_resistor", coil, Protection::ResistorAcrossLoad { ohms: 470.0 }),
        ("supply", supply, Protection::None),
        ("supply_resistor", supply, Protection::SeriesResistor { ohms: 10.0 }),
        ("supply_inductor", supply, Protection::SeriesInductor { henries: 100e-6, ohms: 0.2 }),
        ("cable", cable, Protection::None),
        ("cable_resistor", cable, Protection::SeriesResistor { ohms: 330.0 }),
    ];
    // Direct voltage for all; what alternating voltage may have as well.
    let direct = cases.iter().map(|case| (case, None));
    let clamps = |name: &str| name.contains("diode") || name.contains("zener");
    let others = cases.iter().filter(|(name, ..)| !clamps(name) && !name.starts_with("supply"));
    let alternating = others.map(|case| (case, Some(50.0)));
    for (&(name, load, protection), hertz) in direct.chain(alternating) {
        let name = if hertz.is_some() { format!("ac_{name}") } else { name.to_owned() };
        let circuit = LoadCircuit {
            volts: if hertz.is_some() { 24.0 * 2f64.sqrt() } else { 24.0 },
            hertz,
            source_ohms: 0.2,
            source_henries: 0.0,
            load,
            protection,
            contact_farads: 100e-12,
            contact_ohms: 0.1,
        };
        let runs = [
            ("closes", Contact::Closed, circuit.closes()?),
            ("opens", Contact::Open, circuit.opens(None)?),
        ];
        for (moves, to, run) in runs {
            let until = circuit.settling(to);
            let text = spice::netlist(&circuit.network(), &format!("{name} {moves}"), to, until)?;
            std::fs::write(folder.join(format!("{name}_{moves}.cir")), text)?;
            let asked = run.asked(&circuit.network(), to, until);
            for (question, found) in asked {
                println!("{name},{moves},{question},{found:?}");
            }
        }
    }
    Ok(())
}
