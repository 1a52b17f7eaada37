//! What a network does before its contact moves.

use crate::network::{ArcLimits, Contact, Mode, Network, NetworkError};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::TAU;

/// Cosine and sine parts of every state of a network whose sources alternate: `x = re cos θ − im sin θ`.
struct Swing {
    re: DVector<f64>,
    im: DVector<f64>,
}

impl Network {
    /// Angle of the sources when the contact leaves a state: where the voltage across it, or the current through
    /// it, is greatest. 0 of steady sources.
    ///
    /// # Errors
    /// [`NetworkError`] if the network is not one that can be followed.
    pub fn angle(&self, from: Contact) -> Result<f64, NetworkError> {
        let Some(hertz) = self.hertz else { return Ok(0.0) };
        let swing = self.swing(from, hertz)?;
        let at = self.contact - 1;
        Ok(-swing.im[at].atan2(swing.re[at]))
    }

    /// Voltages of the nodes, then currents of the branches with inductance, a time (s) after the moment of
    /// [`Self::angle`] had the contact stayed as it was.
    ///
    /// # Errors
    /// [`NetworkError`] if the network is not one that can be followed.
    pub fn before(&self, from: Contact, time: f64) -> Result<Vec<f64>, NetworkError> {
        let x = self.undisturbed(from, time)?;
        Ok(x.rows(0, self.states()).iter().copied().collect())
    }

    /// The same as a state, with those of the sources.
    pub(crate) fn undisturbed(
        &self,
        from: Contact,
        time: f64,
    ) -> Result<DVector<f64>, NetworkError> {
        let Some(hertz) = self.hertz else { return self.at_rest(from, None) };
        let (sin, cos) = (self.angle(from)? + TAU * hertz * time).sin_cos();
        let swing = self.swing(from, hertz)?;
        Ok((swing.re * cos - swing.im * sin).push(cos).push(sin))
    }

    /// State at rest under steady sources.
    fn at_rest(
        &self,
        contact: Contact,
        arc: Option<ArcLimits>,
    ) -> Result<DVector<f64>, NetworkError> {
        let mut mode = self.quiet(contact);
        for _ in 0..=self.clamps.len() {
            let rest = self.linear(&mode, arc)?.rest;
            let next = self.mode(&rest, contact, &mode, None);
            if next == mode {
                return Ok(rest);
            }
            mode = next;
        }
        Err(NetworkError::Chatter)
    }

    /// Swing of every state, `(i ω M + K) X = a`, without any clamp.
    fn swing(&self, contact: Contact, hertz: f64) -> Result<Swing, NetworkError> {
        let system = self.system(&self.quiet(contact), None);
        let n = system.k.nrows();
        let mut both = DMatrix::zeros(2 * n, 2 * n);
        let turned = system.m * (TAU * hertz);
        both.view_mut((0, 0), (n, n)).copy_from(&system.k);
        both.view_mut((n, n), (n, n)).copy_from(&system.k);
        both.view_mut((0, n), (n, n)).copy_from(&(-&turned));
        both.view_mut((n, 0), (n, n)).copy_from(&turned);
        let driven = system.swinging.resize_vertically(2 * n, 0.0);
        let found = both.lu().solve(&driven).ok_or(NetworkError::Undetermined)?;
        let swing = Swing { re: found.rows(0, n).into(), im: found.rows(n, n).into() };
        let conducts = self.clamps.iter().any(|clamp| {
            let across = |part: &DVector<f64>| self.across(part, clamp.between);
            across(&swing.re).hypot(across(&swing.im)) > clamp.threshold
        });
        if conducts { Err(NetworkError::Conducts) } else { Ok(swing) }
    }

    fn quiet(&self, contact: Contact) -> Mode {
        Mode { contact, arc: None, passed: false, clamps: vec![false; self.clamps.len()] }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::{Branch, Capacitor, Contact, Network};
    use std::f64::consts::TAU;

    /// A coil on 50 Hz: the current lags by `atan(ω L/R)` and its peak is `V/|R + i ω L|`; an open contact takes
    /// the supply's voltage.
    #[test]
    fn cross_a_coil_on_alternating_voltage() {
        let network = Network {
            nodes: 2,
            capacitors: [1, 2].map(|k| Capacitor { between: [k, 0], farads: 1e-12 }).to_vec(),
            branches: vec![
                Branch { between: [0, 1], volts: 325.0, ohms: 1e-3, henries: 0.0 },
                Branch { between: [1, 2], volts: 0.0, ohms: 100.0, henries: 0.5 },
            ],
            clamps: Vec::new(),
            contact: 2,
            contact_ohms: 0.1,
            hertz: Some(50.0),
        };
        let (r, x) = (100.101, TAU * 50.0 * 0.5);
        let angle = network.angle(Contact::Closed).expect("a network");
        assert!((angle - f64::atan2(x, r)).abs() < 1e-6, "{angle}");
        let state = network.before(Contact::Closed, 0.0).expect("a network");
        assert!((state[2] - 325.0 / f64::hypot(r, x)).abs() < 1e-5, "{state:?}");
        // A quarter of a turn on there is none.
        let later = network.before(Contact::Closed, 5e-3).expect("a network");
        assert!(later[2].abs() < 1e-5, "{later:?}");
        let open = network.before(Contact::Open, 0.0).expect("a network");
        assert!((open[1] - 325.0).abs() < 1e-3, "{open:?}");
    }
}
