//! One type per meaning, and the units each may be written in.
//!
//! Every factor is exact by definition of its unit but for the degree of arc, the oersted
//! (1000/4π A/m) and the degree Fahrenheit (5/9 K), which are the nearest doubles. The inch is
//! 25.4 mm, the mil a thousandth of it, the gauss 1e-4 T, 0 °C is 273.15 K and 0 °F is
//! 459.67 × 5/9 K, as in the table of `[nist811]` appendix B, read at second hand in a transcription.

/// One way of writing a quantity: `value_in_si = number * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// What is printed and read, e.g. `mm`.
    pub symbol: &'static str,
    /// Other spellings read but never printed, e.g. `millimetre`, `um` for `µm`.
    pub also: &'static [&'static str],
    /// SI value of one such unit.
    pub factor: f64,
    /// SI value of zero such units (temperatures only).
    pub offset: f64,
}

impl Unit {
    /// The SI value of a number of this unit.
    ///
    /// A factor such as 1e-3 has no exact binary form but its inverse 1000 has, so units that are a
    /// whole part of the SI unit are divided out: `8.3 mm` is the double nearest to 0.0083.
    pub fn to_si(&self, number: f64) -> f64 {
        let scaled = match self.parts_per_si() {
            Some(parts) => number / parts,
            None => number * self.factor,
        };
        scaled + self.offset
    }

    /// The number of this unit that makes a value in SI.
    pub fn number_of(&self, si: f64) -> f64 {
        let scaled = si - self.offset;
        match self.parts_per_si() {
            Some(parts) => scaled * parts,
            None => scaled / self.factor,
        }
    }

    /// How many of this unit make one SI unit, where that is a whole number above one.
    fn parts_per_si(&self) -> Option<f64> {
        let parts = 1.0 / self.factor;
        (parts > 1.0 && parts.fract() == 0.0).then_some(parts)
    }
}

/// A physical quantity with one meaning, held in its SI unit.
pub trait Quantity:
    Copy + PartialEq + PartialOrd + std::fmt::Debug + Send + Sync + 'static
{
    /// What it is, as named in messages: `length`, `flux density`.
    const NAME: &'static str;
    /// Every unit it may be written in; the first is the one we print when the user gave none.
    const UNITS: &'static [Unit];
    /// From the value in SI.
    fn from_si(value: f64) -> Self;
    /// The value in SI.
    fn si(self) -> f64;
}

const fn unit(symbol: &'static str, also: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, also, factor, offset: 0.0 }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $label:literal, [$($unit:expr),+ $(,)?], {$($ctor:ident $op:tt $factor:expr),* $(,)?}) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);
        impl Quantity for $name {
            const NAME: &'static str = $label;
            const UNITS: &'static [Unit] = &[$($unit),+];
            fn from_si(value: f64) -> Self { Self(value) }
            fn si(self) -> f64 { self.0 }
        }
        impl $name {
            $(#[doc = concat!("From a number of ", stringify!($ctor), ".")]
            pub const fn $ctor(value: f64) -> Self { Self(value $op $factor) })*
        }
        impl std::ops::Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl std::ops::Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl std::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
    };
}

quantity!(
    /// A length, in metres.
    Length, "length",
    [unit("mm", &[], 1e-3), unit("m", &[], 1.0), unit("cm", &[], 1e-2), unit("µm", &["um", "μm"], 1e-6), unit("in", &["inch"], 0.0254), unit("mil", &["thou"], 2.54e-5)],
    { m * 1.0, mm / 1e3, um / 1e6, inch * 0.0254 }
);
quantity!(
    /// An angle, in radians.
    Angle, "angle",
    [unit("deg", &["°"], std::f64::consts::PI / 180.0), unit("rad", &[], 1.0)],
    { deg * (std::f64::consts::PI / 180.0), rad * 1.0 }
);
quantity!(
    /// Magnetic flux density B, in tesla: a field in space.
    ///
    /// A field in space and a property of a material share a unit but not a meaning, so their sum
    /// does not compile:
    ///
    /// ```compile_fail,E0308
    /// use reedmace_units::{FluxDensity, Polarization};
    /// let sum = FluxDensity::tesla(0.1) + Polarization::tesla(1.2);
    /// ```
    FluxDensity, "flux density",
    [unit("mT", &[], 1e-3), unit("T", &[], 1.0), unit("µT", &["uT", "μT"], 1e-6), unit("G", &[], 1e-4)],
    { tesla * 1.0, mt / 1e3 }
);
quantity!(
    /// Magnetic polarization J (and remanence), in tesla: a property of a material.
    Polarization, "polarization",
    [unit("T", &[], 1.0), unit("mT", &[], 1e-3), unit("G", &[], 1e-4)],
    { tesla * 1.0 }
);
quantity!(
    /// Magnetic field strength H, in amperes per metre.
    FieldStrength, "field strength",
    [unit("kA/m", &[], 1e3), unit("A/m", &[], 1.0), unit("Oe", &[], 1000.0 / (4.0 * std::f64::consts::PI))],
    { a_per_m * 1.0, ka_per_m * 1e3 }
);
quantity!(
    /// Magnetomotive force, in ampere-turns.
    AmpereTurns, "ampere-turns",
    [unit("AT", &["A·t", "At"], 1.0)],
    { at * 1.0 }
);
quantity!(
    /// Electric current, in amperes.
    Current, "current",
    [unit("A", &[], 1.0), unit("mA", &[], 1e-3), unit("µA", &["uA", "μA"], 1e-6)],
    { a * 1.0, ma / 1e3 }
);
quantity!(
    /// Voltage, in volts.
    Voltage, "voltage",
    [unit("V", &[], 1.0), unit("mV", &[], 1e-3), unit("kV", &[], 1e3)],
    { v * 1.0 }
);
quantity!(
    /// Resistance, in ohms.
    Resistance, "resistance",
    [unit("Ω", &["ohm", "Ohm", "Ω"], 1.0), unit("mΩ", &["mohm", "mΩ"], 1e-3), unit("kΩ", &["kohm", "kΩ"], 1e3), unit("MΩ", &["Mohm", "MΩ"], 1e6)],
    { ohm * 1.0 }
);
quantity!(
    /// Power, in watts.
    Power, "power",
    [unit("W", &[], 1.0), unit("mW", &[], 1e-3)],
    { w * 1.0 }
);
quantity!(
    /// Force, in newtons.
    Force, "force",
    [unit("N", &[], 1.0), unit("mN", &[], 1e-3), unit("cN", &[], 1e-2)],
    { n * 1.0 }
);
quantity!(
    /// Mass, in kilograms.
    Mass, "mass",
    [unit("g", &[], 1e-3), unit("kg", &[], 1.0), unit("mg", &[], 1e-6)],
    { kg * 1.0, g / 1e3 }
);
quantity!(
    /// Mass per volume, in kg/m³.
    Density, "density",
    [unit("kg/m³", &["kg/m3"], 1.0), unit("g/cm³", &["g/cm3"], 1e3)],
    { kg_per_m3 * 1.0 }
);
quantity!(
    /// A volume, in cubic metres.
    Volume, "volume",
    [unit("L", &["l", "litre"], 1e-3), unit("mL", &["ml", "cm³", "cm3"], 1e-6), unit("m³", &["m3"], 1.0)],
    { m3 * 1.0, litres / 1e3 }
);
quantity!(
    /// Volume that flows per time, in m³/s.
    FlowRate, "flow rate",
    [unit("L/min", &["l/min"], 1e-3 / 60.0), unit("L/h", &["l/h"], 1e-3 / 3600.0), unit("L/s", &["l/s"], 1e-3), unit("m³/h", &["m3/h"], 1.0 / 3600.0), unit("m³/s", &["m3/s"], 1.0)],
    { m3_per_s * 1.0 }
);
quantity!(
    /// A span of time, in seconds.
    Duration, "time",
    [unit("ms", &[], 1e-3), unit("s", &[], 1.0), unit("µs", &["us", "μs"], 1e-6), unit("min", &[], 60.0), unit("h", &[], 3600.0)],
    { s * 1.0, ms / 1e3 }
);
quantity!(
    /// How often something happens, in hertz; also turns per time.
    Frequency, "frequency",
    [unit("Hz", &["1/s"], 1.0), unit("kHz", &[], 1e3), unit("rpm", &["1/min"], 1.0 / 60.0)],
    { hz * 1.0 }
);
quantity!(
    /// Pressure, in pascals.
    Pressure, "pressure",
    [unit("bar", &[], 1e5), unit("mbar", &[], 1e2), unit("kPa", &[], 1e3), unit("Pa", &[], 1.0)],
    { pa * 1.0 }
);
quantity!(
    /// Acceleration, in m/s²; `gn` is the standard acceleration of free fall, 9.80665 m/s² `[nist811]`.
    Acceleration, "acceleration",
    [unit("m/s²", &["m/s2"], 1.0), unit("gn", &[], 9.80665)],
    { m_per_s2 * 1.0 }
);
quantity!(
    /// Inductance, in henries.
    Inductance, "inductance",
    [unit("mH", &[], 1e-3), unit("H", &[], 1.0), unit("µH", &["uH", "μH"], 1e-6)],
    { h * 1.0 }
);
quantity!(
    /// Capacitance, in farads.
    Capacitance, "capacitance",
    [unit("µF", &["uF", "μF"], 1e-6), unit("nF", &[], 1e-9), unit("pF", &[], 1e-12), unit("F", &[], 1.0)],
    { f * 1.0 }
);
quantity!(
    /// Temperature rise per power, in kelvin per watt.
    ThermalResistance, "thermal resistance",
    [unit("K/W", &[], 1.0)],
    { k_per_w * 1.0 }
);
quantity!(
    /// A pure number: turns, a relative permeability.
    Ratio, "number",
    [unit("", &[], 1.0), unit("%", &[], 1e-2)],
    { new * 1.0 }
);
/// A point on the temperature scale, in kelvin.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature(f64);
impl Quantity for Temperature {
    const NAME: &'static str = "temperature";
    const UNITS: &'static [Unit] = &[
        Unit { symbol: "°C", also: &["degC", "C", "℃"], factor: 1.0, offset: 273.15 },
        Unit { symbol: "K", also: &[], factor: 1.0, offset: 0.0 },
        Unit {
            symbol: "°F",
            also: &["degF", "F", "℉"],
            factor: 5.0 / 9.0,
            offset: 459.67 * 5.0 / 9.0,
        },
    ];
    fn from_si(value: f64) -> Self {
        Self(value)
    }
    fn si(self) -> f64 {
        self.0
    }
}
impl Temperature {
    /// From degrees Celsius.
    pub const fn celsius(value: f64) -> Self {
        Self(value + 273.15)
    }
    /// In degrees Celsius.
    pub const fn in_celsius(self) -> f64 {
        self.0 - 273.15
    }
    /// From kelvin.
    pub const fn kelvin(value: f64) -> Self {
        Self(value)
    }
}
