//! A network while nothing begins or ends to conduct: a linear system and its exact steps.

use crate::network::{
    ARC_OHMS, ArcLimits, Contact, FIRST_STEP, GAP_OHMS, Mode, Network, NetworkError, Node, sign,
};
use nalgebra::{DMatrix, DVector};
use std::collections::HashMap;

/// The linear network of one mode: `M dx/dt = −K x + s`.
pub(crate) struct Linear {
    rate: DMatrix<f64>,
    /// Where it comes to rest.
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
    /// The system of a mode.
    pub(crate) fn linear(
        &self,
        mode: &Mode,
        arc: Option<ArcLimits>,
    ) -> Result<Linear, NetworkError> {
        let inductive = self.branches.iter().filter(|b| b.henries > 0.0).count();
        let size = self.nodes + inductive;
        let (mut m, mut k) = (DMatrix::zeros(size, size), DMatrix::zeros(size, size));
        let mut s = DVector::zeros(size);
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
        let mut resistive = |between: [Node; 2], volts: f64, ohms: f64| {
            pair(&mut k, between, 1.0 / ohms);
            for (node, sign) in [(between[0], -1.0), (between[1], 1.0)] {
                if node > 0 {
                    s[node - 1] += sign * volts / ohms;
                }
            }
        };
        for branch in self.branches.iter().filter(|b| b.henries == 0.0) {
            resistive(branch.between, branch.volts, branch.ohms);
        }
        for (clamp, _) in self.clamps.iter().zip(&mode.clamps).filter(|(_, on)| **on) {
            resistive(clamp.between, -clamp.threshold, clamp.ohms);
        }
        let here = [self.contact, 0];
        match (mode.contact, mode.arc, arc) {
            (Contact::Closed, ..) => resistive(here, 0.0, self.contact_ohms),
            (_, Some(positive), Some(limits)) => {
                resistive(here, -sign(positive) * limits.volts, ARC_OHMS)
            }
            _ => resistive(here, 0.0, GAP_OHMS),
        }
        let inductive = self.branches.iter().filter(|b| b.henries > 0.0);
        for (row, branch) in (self.nodes..).zip(inductive) {
            m[(row, row)] = branch.henries;
            k[(row, row)] = branch.ohms;
            s[row] = branch.volts;
            for (node, sign) in [(branch.between[0], 1.0), (branch.between[1], -1.0)] {
                if node > 0 {
                    k[(row, node - 1)] -= sign;
                    k[(node - 1, row)] += sign;
                }
            }
        }
        let rest = k.clone().lu().solve(&s).ok_or(NetworkError::Undetermined)?;
        let rate = -m.lu().solve(&k).ok_or(NetworkError::Undetermined)?;
        Ok(Linear { rate, rest, steps: HashMap::new() })
    }
}
