//! A network while nothing begins or ends to conduct: a linear system and its exact steps.

use crate::network::{
    ARC_OHMS, ArcLimits, Contact, FIRST_STEP, GAP_OHMS, Mode, Network, NetworkError, Node, sign,
};
use nalgebra::{DMatrix, DVector};
use std::collections::HashMap;
use std::f64::consts::TAU;

/// The equations of one mode: `M dx/dt = −K x + s + a cos θ`, θ the angle of the sources.
pub(crate) struct System {
    pub(crate) m: DMatrix<f64>,
    pub(crate) k: DMatrix<f64>,
    /// s: thresholds, arcs, and sources that are steady.
    pub(crate) steady: DVector<f64>,
    /// a: sources that alternate.
    pub(crate) swinging: DVector<f64>,
}

/// The same as a rate of change about a state of rest. Sources that alternate are two states more, cos θ and
/// sin θ, so that all stays linear.
pub(crate) struct Linear {
    rate: DMatrix<f64>,
    /// Where it comes to rest, but for what alternates.
    pub(crate) rest: DVector<f64>,
    steps: HashMap<u32, DMatrix<f64>>,
}

impl Linear {
    pub(crate) fn after(&self, x: &DVector<f64>, h: f64) -> DVector<f64> {
        &self.rest + (&self.rate * h).exp() * (x - &self.rest)
    }

    pub(crate) fn rung(&mut self, x: &DVector<f64>, rung: u32) -> DVector<f64> {
        let rate = &self.rate;
        let step = self.steps.entry(rung).or_insert_with(|| (rate * (step_of(rung))).exp());
        &self.rest + &*step * (x - &self.rest)
    }

    pub(crate) fn slope(&self, x: &DVector<f64>) -> DVector<f64> {
        &self.rate * (x - &self.rest)
    }
}

/// Length of the step on a rung, s.
pub(crate) fn step_of(rung: u32) -> f64 {
    FIRST_STEP * 2f64.powi(rung as i32)
}

impl Network {
    /// How many states there are besides those of sources that alternate: voltages, then currents.
    pub(crate) fn states(&self) -> usize {
        self.nodes + self.branches.iter().filter(|b| b.henries > 0.0).count()
    }

    /// The linear network of a mode.
    pub(crate) fn linear(
        &self,
        mode: &Mode,
        arc: Option<ArcLimits>,
    ) -> Result<Linear, NetworkError> {
        let system = self.system(mode, arc);
        let mut rest = system.k.clone().lu().solve(&system.steady);
        let m = system.m.lu();
        let mut rate = m.solve(&system.k).map(|rate| -rate);
        if let Some(hertz) = self.hertz {
            let swing = m.solve(&system.swinging);
            rest = rest.map(|rest| rest.push(0.0).push(0.0));
            rate = rate.zip(swing).map(|(rate, swing)| {
                let n = swing.len();
                let mut rate = rate.resize(n + 2, n + 2, 0.0);
                rate.view_mut((0, n), (n, 1)).copy_from(&swing);
                (rate[(n, n + 1)], rate[(n + 1, n)]) = (-TAU * hertz, TAU * hertz);
                rate
            });
        }
        let (rate, rest) = rate.zip(rest).ok_or(NetworkError::Undetermined)?;
        Ok(Linear { rate, rest, steps: HashMap::new() })
    }

    /// The equations of a mode.
    pub(crate) fn system(&self, mode: &Mode, arc: Option<ArcLimits>) -> System {
        let size = self.states();
        let (mut m, mut k) = (DMatrix::zeros(size, size), DMatrix::zeros(size, size));
        let (mut steady, mut swinging) = (DVector::zeros(size), DVector::zeros(size));
        // A quantity between two nodes, in the equations of both.
        let pair = |into: &mut DMatrix<f64>, [a, b]: [Node; 2], value: f64| {
            for (row, column, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
                if row > 0 && column > 0 {
                    into[(row - 1, column - 1)] += sign * value;
                }
            }
        };
        for capacitor in &self.capacitors {
            pair(&mut m, capacitor.between, capacitor.farads);
        }
        let mut resistive = |s: &mut DVector<f64>, between: [Node; 2], volts: f64, ohms: f64| {
            pair(&mut k, between, 1.0 / ohms);
            for (node, sign) in [(between[0], -1.0), (between[1], 1.0)] {
                if node > 0 {
                    s[node - 1] += sign * volts / ohms;
                }
            }
        };
        let sources = if self.hertz.is_some() { &mut swinging } else { &mut steady };
        for branch in self.branches.iter().filter(|b| b.henries == 0.0) {
            resistive(sources, branch.between, branch.volts, branch.ohms);
        }
        for (row, branch) in (self.nodes..).zip(self.branches.iter().filter(|b| b.henries > 0.0)) {
            sources[row] = branch.volts;
        }
        for (clamp, _) in self.clamps.iter().zip(&mode.clamps).filter(|(_, on)| **on) {
            resistive(&mut steady, clamp.between, -clamp.threshold, clamp.ohms);
        }
        let here = [self.contact, 0];
        match (mode.contact, mode.arc, arc) {
            (Contact::Closed, ..) => resistive(&mut steady, here, 0.0, self.contact_ohms),
            (_, Some(positive), Some(limits)) => {
                resistive(&mut steady, here, -sign(positive) * limits.volts, ARC_OHMS)
            }
            _ => resistive(&mut steady, here, 0.0, GAP_OHMS),
        }
        let inductive = self.branches.iter().filter(|b| b.henries > 0.0);
        for (row, branch) in (self.nodes..).zip(inductive) {
            m[(row, row)] = branch.henries;
            k[(row, row)] = branch.ohms;
            for (node, sign) in [(branch.between[0], 1.0), (branch.between[1], -1.0)] {
                if node > 0 {
                    k[(row, node - 1)] -= sign;
                    k[(node - 1, row)] += sign;
                }
            }
        }
        System { m, k, steady, swinging }
    }
}
