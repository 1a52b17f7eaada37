//! What an operate or release value is stated in, and the gap flux it stands for.

use crate::kernel::{Kernel, Scratch};
use reedmace_fields::{AnySource, Coil, Placed, Pose, Solenoid, Source};
use reedmace_units::{AmpereTurns, FluxDensity, Length, Quantity};

/// A coil the contact is measured in: coaxial with it, its middle at the gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestCoil {
    /// A winding taken as a sheet of current on its mean diameter.
    Thin {
        /// Length of the winding.
        length: Length,
        /// Mean diameter of the winding.
        mean_diameter: Length,
    },
    /// A winding with its true section, evenly filled.
    Thick {
        /// Length of the winding.
        length: Length,
        /// Inner diameter of the winding.
        inner_diameter: Length,
        /// Outer diameter of the winding.
        outer_diameter: Length,
    },
}

impl TestCoil {
    /// The coil carrying these ampere-turns, in the contact's frame.
    pub fn carrying(&self, ampere_turns: AmpereTurns) -> Placed<AnySource> {
        let source = match *self {
            Self::Thin { length, mean_diameter } => AnySource::Solenoid(Solenoid {
                radius: 0.5 * mean_diameter.si(),
                half_length: 0.5 * length.si(),
                ampere_turns: ampere_turns.si(),
            }),
            Self::Thick { length, inner_diameter, outer_diameter } => AnySource::Coil(Coil {
                inner_radius: 0.5 * inner_diameter.si(),
                outer_radius: 0.5 * outer_diameter.si(),
                half_length: 0.5 * length.si(),
                ampere_turns: ampere_turns.si(),
            }),
        };
        Placed { source, world_from_body: COIL_ALONG_X }
    }

    /// Flux density at the coil's centre, without the contact.
    pub fn centre_field(&self, ampere_turns: AmpereTurns) -> FluxDensity {
        FluxDensity::tesla(self.carrying(ampere_turns).b([0.0; 3])[0])
    }

    /// Ampere-turns that make this flux density at the coil's centre.
    pub fn ampere_turns(&self, centre_field: FluxDensity) -> AmpereTurns {
        let one = AmpereTurns::at(1.0);
        one * (centre_field / self.centre_field(one))
    }
}

/// The coil's own axis z laid along the contact's x.
const COIL_ALONG_X: Pose =
    Pose { rotation: [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]], origin: [0.0; 3] };

/// A stated sensitivity: what it was measured in, and the value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Calibration {
    /// Ampere-turns in a coil.
    AmpereTurns(TestCoil, AmpereTurns),
    /// Flux density at the empty coil's centre.
    CoilCentre(TestCoil, FluxDensity),
    /// Uniform axial flux density.
    Uniform(FluxDensity),
}

impl Calibration {
    /// Gap flux that this value stands for in a contact with this kernel, Wb.
    pub fn gap_flux(&self, kernel: &Kernel, scratch: &mut Scratch) -> f64 {
        match *self {
            Self::AmpereTurns(coil, at) => kernel.flux(&coil.carrying(at), scratch),
            Self::CoilCentre(coil, field) => {
                kernel.flux(&coil.carrying(coil.ampere_turns(field)), scratch)
            }
            Self::Uniform(field) => kernel.flux_in_uniform(field),
        }
    }
}

impl Kernel {
    /// Ampere-turns in `coil` that send `flux` (Wb) through the gap.
    pub fn ampere_turns_for(
        &self,
        flux: f64,
        coil: TestCoil,
        scratch: &mut Scratch,
    ) -> AmpereTurns {
        let one = AmpereTurns::at(1.0);
        one * (flux / self.flux(&coil.carrying(one), scratch))
    }
}
