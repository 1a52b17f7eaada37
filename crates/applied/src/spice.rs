//! A network as a netlist for a circuit simulator.

use crate::network::{Contact, GAP_OHMS, Network, NetworkError, Node};
use std::fmt::Write as _;

/// How long the simulator waits before the contact moves, as a share of the time looked at.
pub const WAIT: f64 = 0.01;

/// The text of a netlist in the language that simulators descended from SPICE share `[nagel1975]`.
///
/// The contact is a switch that moves after [`WAIT`] of the time looked at; clamps are sharp diodes in series with
/// their threshold. Arcs are left out. Node `k` is `n<k>`, the contact's current that of the source `Vcontact`. On
/// alternating voltage every capacitor and inductor begins as it is in a circuit long at rest.
///
/// | argument | meaning |
/// |---|---|
/// | `title` | first lines, comments |
/// | `to` | how the contact moves |
/// | `until` | time looked at after it has moved, s |
///
/// # Errors
/// [`NetworkError`] if the network is not one that can be followed.
pub fn netlist(
    network: &Network,
    title: &str,
    to: Contact,
    until: f64,
) -> Result<String, NetworkError> {
    let from = if to == Contact::Open { Contact::Closed } else { Contact::Open };
    let moves = WAIT * until;
    let swing = match network.hertz {
        Some(hertz) => Some((hertz, network.angle(from)?, network.before(from, -moves)?)),
        None => None,
    };
    // What a part begins with, on alternating voltage.
    let begins = |value: &dyn Fn(&[f64]) -> f64| match &swing {
        Some((.., state)) => format!(" IC={:e}", value(state)),
        None => String::new(),
    };
    let mut text = format!("* {}\n", title.replace('\n', "\n* "));
    let mut line = |words: std::fmt::Arguments<'_>| {
        let _ = text.write_fmt(words);
        text.push('\n');
    };
    let mut currents = network.nodes..;
    for (k, branch) in network.branches.iter().enumerate() {
        let k = k + 1;
        let [from, to] = branch.between.map(name);
        let (mut here, mut part) = (from, 0);
        let mut next = |last: bool| {
            part += 1;
            if last { to.clone() } else { format!("b{k}_{part}") }
        };
        if branch.volts != 0.0 {
            let there = next(false);
            match &swing {
                None => line(format_args!("V{k} {there} {here} DC {:e}", branch.volts)),
                Some((hertz, angle, _)) => {
                    // A cosine that stands at its angle when the contact moves.
                    let degrees = angle.to_degrees() + 90.0 - 360.0 * hertz * moves;
                    let volts = branch.volts;
                    line(format_args!(
                        "V{k} {there} {here} SIN(0 {volts:e} {hertz:e} 0 0 {degrees:e})"
                    ));
                }
            }
            here = there;
        }
        let there = next(branch.henries == 0.0);
        line(format_args!("R{k} {here} {there} {:e}", branch.ohms));
        if branch.henries != 0.0 {
            let current = currents.next().unwrap_or_default();
            let begins = begins(&|state| state[current]);
            line(format_args!("L{k} {there} {to} {:e}{begins}", branch.henries));
        }
    }
    for (k, capacitor) in network.capacitors.iter().enumerate() {
        let voltage = |state: &[f64], node: Node| if node == 0 { 0.0 } else { state[node - 1] };
        let [a, b] = capacitor.between;
        let begins = begins(&|state| voltage(state, a) - voltage(state, b));
        let [from, to] = [a, b].map(name);
        line(format_args!("C{} {from} {to} {:e}{begins}", k + 1, capacitor.farads));
    }
    for (k, clamp) in network.clamps.iter().enumerate() {
        let k = k + 1;
        let [from, to] = clamp.between.map(name);
        line(format_args!("Vclamp{k} {from} d{k}_1 DC {:e}", clamp.threshold));
        line(format_args!("D{k} d{k}_1 d{k}_2 sharp"));
        line(format_args!("Rclamp{k} d{k}_2 {to} {:e}", clamp.ohms));
    }
    if !network.clamps.is_empty() {
        line(format_args!(".model sharp D(IS=1e-9 N=0.1)"));
    }
    let (before, after) = if to == Contact::Closed { (0, 1) } else { (1, 0) };
    line(format_args!("Vcontact {} c_1 DC 0", name(network.contact)));
    line(format_args!("Scontact c_1 0 gate 0 contact"));
    // The switch moves when its gate is half way.
    let half = 0.5e-6 * until;
    line(format_args!(
        "Vgate gate 0 PWL(0 {before} {:e} {before} {:e} {after})",
        moves - half,
        moves + half
    ));
    line(format_args!(
        ".model contact SW(VT=0.5 VH=0 RON={:e} ROFF={GAP_OHMS:e})",
        network.contact_ohms
    ));
    line(format_args!(".options RELTOL=1e-5 METHOD=trap"));
    let step = until / 4000.0;
    let own = if swing.is_some() { " UIC" } else { "" };
    line(format_args!(".tran {step:e} {:e} 0 {step:e}{own}", until + moves));
    line(format_args!(".end"));
    Ok(text)
}

fn name(node: Node) -> String {
    if node == 0 { "0".into() } else { format!("n{node}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::{Branch, Capacitor, Clamp};

    /// A series of source, resistor and inductor gets places of its own between its ends.
    #[test]
    fn prop_every_part_is_written_once() {
        let network = Network {
            nodes: 2,
            capacitors: [2, 1].map(|k| Capacitor { between: [k, 0], farads: 1e-10 }).to_vec(),
            branches: vec![
                Branch { between: [0, 1], volts: 24.0, ohms: 0.5, henries: 1e-6 },
                Branch { between: [1, 2], volts: 0.0, ohms: 100.0, henries: 0.0 },
            ],
            clamps: vec![Clamp { between: [2, 1], threshold: 0.7, ohms: 0.1 }],
            contact: 2,
            contact_ohms: 0.1,
            hertz: None,
        };
        let text = netlist(&network, "a lid", Contact::Open, 1e-3).expect("a network");
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(
            lines[..8],
            [
                "* a lid",
                "V1 b1_1 0 DC 2.4e1",
                "R1 b1_1 b1_2 5e-1",
                "L1 b1_2 n1 1e-6",
                "R2 n1 n2 1e2",
                "C1 n2 0 1e-10",
                "C2 n1 0 1e-10",
                "Vclamp1 n2 d1_1 DC 7e-1",
            ]
        );
        assert!(
            text.contains("PWL(0 1 9.9995")
                && text.contains("e-6 1 1.00005")
                && text.ends_with(".end\n")
        );
        let closes = netlist(&network, "", Contact::Closed, 1e-3).expect("a network");
        assert!(closes.contains("PWL(0 0 9.9995") && !closes.contains("IC="));
        let swinging = Network { hertz: Some(50.0), clamps: Vec::new(), ..network };
        let text = netlist(&swinging, "a lid", Contact::Open, 1e-3).expect("a network");
        for words in ["SIN(0 2.4e1 5e1 0 0 ", "L1 b1_2 n1 1e-6 IC=", "C1 n2 0 1e-10 IC=", " UIC"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }
}
