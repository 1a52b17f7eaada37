//! Quantities that only describe materials.

use reedmace_units::{Quantity, Unit};

const fn unit(symbol: &'static str, also: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, also, factor, offset: 0.0 }
}

macro_rules! kind {
    ($(#[$doc:meta])* $name:ident, $label:literal, [$($unit:expr),+ $(,)?]) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);
        impl Quantity for $name {
            const NAME: &'static str = $label;
            const UNITS: &'static [Unit] = &[$($unit),+];
            fn from_si(value: f64) -> Self {
                Self(value)
            }
            fn si(self) -> f64 {
                self.0
            }
        }
    };
}

kind!(
    /// Greatest product of B and H on the demagnetisation curve, in J/m³.
    EnergyProduct, "energy product",
    [unit("kJ/m³", &["kJ/m3"], 1e3)]
);
kind!(
    /// Relative change per kelvin, in 1/K.
    PerKelvin, "change per kelvin",
    [unit("%/K", &[], 1e-2), unit("ppm/K", &[], 1e-6)]
);
kind!(
    /// Electrical resistivity, in Ω·m.
    Resistivity, "resistivity",
    [unit("µΩ·m", &["uOhm·m"], 1e-6)]
);
kind!(
    /// Young's modulus, in Pa.
    ElasticModulus, "elastic modulus",
    [unit("GPa", &[], 1e9)]
);
kind!(
    /// Hardness, in Pa.
    Hardness, "hardness",
    [unit("GPa", &[], 1e9)]
);
