//! One type for every source, and the uniform field.

use crate::batch::add_each;
use crate::{Coil, Dipole, Loop, Magnet, Points, Solenoid, Source, VectorsMut, Wire};

/// The same flux density everywhere, T.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uniform(
    /// B, T.
    pub [f64; 3],
);

impl Source for Uniform {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        add_each(at, out, |_| self.0);
    }
    /// 0: it has no sources of its own.
    fn bounding_radius(&self) -> f64 {
        0.0
    }
    /// Infinite: it is smooth everywhere.
    fn clearance(&self, _point: [f64; 3]) -> f64 {
        f64::INFINITY
    }
}

/// Any source of this crate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AnySource {
    /// A magnet.
    Magnet(Magnet),
    /// A current loop.
    Loop(Loop),
    /// A thin solenoid.
    Solenoid(Solenoid),
    /// A thick coil.
    Coil(Coil),
    /// A straight conductor.
    Wire(Wire),
    /// A point dipole.
    Dipole(Dipole),
    /// A uniform field.
    Uniform(Uniform),
}

impl AnySource {
    fn inner(&self) -> &dyn Source {
        match self {
            Self::Magnet(s) => s,
            Self::Loop(s) => s,
            Self::Solenoid(s) => s,
            Self::Coil(s) => s,
            Self::Wire(s) => s,
            Self::Dipole(s) => s,
            Self::Uniform(s) => s,
        }
    }
}

impl Source for AnySource {
    fn add_b(&self, at: Points<'_>, out: VectorsMut<'_>) {
        self.inner().add_b(at, out);
    }
    fn bounding_radius(&self) -> f64 {
        self.inner().bounding_radius()
    }
    fn clearance(&self, point: [f64; 3]) -> f64 {
        self.inner().clearance(point)
    }
}

macro_rules! from_source {
    ($($name:ident),*) => {$(
        impl From<$name> for AnySource {
            fn from(source: $name) -> Self {
                Self::$name(source)
            }
        }
    )*};
}
from_source!(Magnet, Loop, Solenoid, Coil, Wire, Dipole, Uniform);
