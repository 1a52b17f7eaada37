//! Windings: how many turns of a wire a bobbin takes, and what they are then.

use crate::conductor::Conductor;
use std::f64::consts::PI;

/// A round wire, diameters in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Of the conductor.
    pub bare: f64,
    /// With its enamel.
    pub overall: f64,
}

/// The room for a winding, lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bobbin {
    /// Diameter that the first layer lies on.
    pub inner_diameter: f64,
    /// Length between the flanges.
    pub length: f64,
    /// Height of the window above the inner diameter.
    pub window: f64,
}

/// How the turns lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lay {
    /// Each layer in the grooves of the one below: the closest lay.
    Orthocyclic,
    /// Each layer straight above the one below.
    Layered,
    /// Wild.
    Random {
        /// Share of the winding's section that wire with its enamel fills: 0.6 to 0.75 is common (common
        /// practice, no source); no lay of round wires exceeds π/√12.
        fill: f64,
    },
}

/// Why a winding cannot be.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WindingError {
    /// Not one turn has room between the flanges and in the window.
    #[error("the wire, {overall} m over its enamel, is too thick for the bobbin")]
    NoTurnFits {
        /// Diameter over the enamel.
        overall: f64,
    },
    /// The turns stand above the window.
    #[error("{turns} turns do not fit: the bobbin takes {most}")]
    Overfull {
        /// Turns wanted.
        turns: f64,
        /// Turns that the window takes.
        most: f64,
    },
}

/// A wound coil, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winding {
    /// Turns.
    pub turns: f64,
    /// Layers; none are told of a random lay.
    pub layers: Option<u32>,
    /// Turns of its first layer; none are told of a random lay.
    pub turns_per_layer: Option<f64>,
    /// Inner diameter.
    pub inner_diameter: f64,
    /// Outer diameter, over the enamel.
    pub outer_diameter: f64,
    /// Length of the wire without its ends.
    pub wire_length: f64,
    /// Share of the winding's section that is conductor.
    pub conductor_share: f64,
    wire: Wire,
}

impl Winding {
    /// Resistance at a temperature (K), Ω.
    pub fn resistance(&self, conductor: Conductor, temperature: f64) -> f64 {
        let per_length = conductor.per_length(self.wire.bare) * conductor.factor(temperature);
        self.wire_length * per_length
    }

    /// Mass of the conductor, kg; the enamel comes on top.
    pub fn mass(&self, conductor: Conductor) -> f64 {
        self.wire_length * PI / 4.0 * self.wire.bare * self.wire.bare * conductor.density
    }
}

/// A winding whose layers hold fractions of a turn, and which may end in a part of a layer.
///
/// Whole turns and layers make a winding grow in steps as its wire does; what is made of it (field, resistance)
/// hardly does, because turns that find no room in a layer lie in the next. This one grows evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Even {
    /// Outer diameter of the section that the turns fill evenly, m.
    pub outer_diameter: f64,
    /// Length of the wire without its ends, m.
    pub wire_length: f64,
}

/// A wire laid on a bobbin: the geometry that every question here asks.
#[derive(Debug, Clone, Copy)]
pub struct Laid {
    bobbin: Bobbin,
    wire: Wire,
    lay: Lay,
}

/// Rounding of lengths written in decimals must not cost a turn.
const SLACK: f64 = 1e-9;

impl Laid {
    /// Lays a wire on a bobbin.
    ///
    /// # Errors
    /// [`WindingError::NoTurnFits`] if it takes no turn.
    pub fn new(bobbin: Bobbin, wire: Wire, lay: Lay) -> Result<Self, WindingError> {
        let room = bobbin.length.min(bobbin.window) / wire.overall;
        if room + SLACK < 1.0 {
            return Err(WindingError::NoTurnFits { overall: wire.overall });
        }
        Ok(Self::anyhow(bobbin, wire, lay))
    }

    /// The same whether a turn has room or not: for what is asked of a unit at the limits of its tolerances.
    pub fn anyhow(bobbin: Bobbin, wire: Wire, lay: Lay) -> Self {
        Self { bobbin, wire, lay }
    }

    /// Turns that fill the window.
    pub fn most_turns(&self) -> f64 {
        if let Lay::Random { fill } = self.lay {
            let whole = self.bobbin.window * self.bobbin.length * fill;
            return (whole / (PI / 4.0 * self.wire.overall.powi(2)) + SLACK).floor();
        }
        let layers =
            1.0 + ((self.bobbin.window - self.wire.overall) / self.layer_pitch() + SLACK).floor();
        (0..layers as u32).map(|layer| self.in_layer(layer)).sum()
    }

    /// The winding of so many turns.
    ///
    /// # Errors
    /// [`WindingError::Overfull`] if they do not fit.
    pub fn wind(&self, turns: f64) -> Result<Winding, WindingError> {
        let most = self.most_turns();
        if turns > most {
            return Err(WindingError::Overfull { turns, most });
        }
        Ok(self.unlimited(turns))
    }

    /// As [`Self::wind`], however high the winding stands.
    ///
    /// A turn counts `π` times its layer's mean diameter: its climb along the axis adds less than
    /// `½ (pitch/(π D))²`, 1e-5 for any wire that a coil is wound of.
    pub fn unlimited(&self, turns: f64) -> Winding {
        let Bobbin { inner_diameter, length, .. } = self.bobbin;
        let (layers, height) = match self.lay {
            Lay::Random { .. } => (None, self.wild_height(turns)),
            _ => {
                let layers = self.layers(turns).count() as u32;
                let above = f64::from(layers.max(1) - 1) * self.layer_pitch();
                (Some(layers), self.wire.overall + above)
            }
        };
        let copper = turns * PI / 4.0 * self.wire.bare * self.wire.bare;
        Winding {
            turns,
            layers,
            turns_per_layer: layers.map(|_| self.in_layer(0)),
            inner_diameter,
            outer_diameter: inner_diameter + 2.0 * height,
            wire_length: self.wire_length(turns),
            conductor_share: copper / (height * length),
            wire: self.wire,
        }
    }

    /// The evened winding of so many turns, however high it stands.
    ///
    /// A layer holds as many turns as it does on average over all wires of about this diameter: half a turn less
    /// than go into its length, and a quarter less again in the grooves.
    pub fn even(&self, turns: f64) -> Even {
        let inner = self.bobbin.inner_diameter;
        if let Lay::Random { .. } = self.lay {
            let height = self.wild_height(turns);
            let wire_length = turns * PI * (inner + height);
            return Even { outer_diameter: inner + 2.0 * height, wire_length };
        }
        let lost = if self.lay == Lay::Orthocyclic { 0.75 } else { 0.5 };
        let per_layer = (self.bobbin.length / self.wire.overall - lost).max(1.0);
        let height = (turns / per_layer - 1.0).max(0.0) * self.layer_pitch() + self.wire.overall;
        Even { outer_diameter: inner + 2.0 * height, wire_length: turns * PI * (inner + height) }
    }

    /// Length of the wire of so many turns, m.
    pub fn wire_length(&self, turns: f64) -> f64 {
        match self.lay {
            Lay::Random { .. } => {
                turns * PI * (self.bobbin.inner_diameter + self.wild_height(turns))
            }
            _ => self.layers(turns).map(|(turns, diameter)| turns * PI * diameter).sum(),
        }
    }

    /// Turns whose wire is so long (m), fractions of a turn too, however high they stand.
    pub fn turns_of_length(&self, wire_length: f64) -> f64 {
        if let Lay::Random { .. } = self.lay {
            // π (D N + h N²) = length, h the height of one turn.
            let (d, h) = (self.bobbin.inner_diameter, self.wild_height(1.0));
            let c = wire_length / PI;
            return 2.0 * c / (d + (d * d + 4.0 * h * c).sqrt());
        }
        let (mut turns, mut left) = (0.0, wire_length);
        for (full, diameter) in self.layers(f64::INFINITY) {
            let here = (left / (PI * diameter)).min(full);
            turns += here;
            left -= full * PI * diameter;
            if left <= 0.0 {
                break;
            }
        }
        turns
    }

    /// Turns of a resistance (Ω) at 20 °C, as [`Self::turns_of_length`].
    pub fn turns_of_resistance(&self, conductor: Conductor, resistance: f64) -> f64 {
        self.turns_of_length(resistance / conductor.per_length(self.wire.bare))
    }

    /// Turns that fill a share of what the window takes.
    pub fn turns_of_fill(&self, share: f64) -> f64 {
        (share * self.most_turns() + SLACK).floor()
    }

    /// The wire.
    pub fn wire(&self) -> Wire {
        self.wire
    }

    /// Height from a layer to the next.
    fn layer_pitch(&self) -> f64 {
        match self.lay {
            Lay::Orthocyclic => 0.75f64.sqrt() * self.wire.overall,
            _ => self.wire.overall,
        }
    }

    /// Turns of a full layer. In the grooves every second layer is shifted by half a wire, and has one turn
    /// less unless the flanges leave that half.
    fn in_layer(&self, layer: u32) -> f64 {
        let room = self.bobbin.length / self.wire.overall + SLACK;
        let shifted = matches!(self.lay, Lay::Orthocyclic) && layer % 2 == 1;
        if shifted && room - room.floor() < 0.5 { room.floor() - 1.0 } else { room.floor() }
            .max(1.0)
    }

    /// Turns and mean diameter (m) of each layer of so many turns, from the inside; not for a random lay.
    pub fn layers(&self, turns: f64) -> impl Iterator<Item = (f64, f64)> {
        let this = *self;
        let mut left = turns;
        (0..).map_while(move |layer| {
            let here = this.in_layer(layer).min(left);
            left -= here;
            let height = this.wire.overall + 2.0 * f64::from(layer) * this.layer_pitch();
            (here > 0.0).then_some((here, this.bobbin.inner_diameter + height))
        })
    }

    /// Height of so many turns laid at random.
    fn wild_height(&self, turns: f64) -> f64 {
        let Lay::Random { fill } = self.lay else { unreachable!("asked of random lays only") };
        turns * PI / 4.0 * self.wire.overall.powi(2) / (fill * self.bobbin.length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const BOBBIN: Bobbin = Bobbin { inner_diameter: 3e-3, length: 10e-3, window: 1e-3 };
    const WIRE: Wire = Wire { bare: 0.05e-3, overall: 0.0575e-3 };

    fn laid(lay: Lay) -> Laid {
        Laid::new(BOBBIN, WIRE, lay).expect("fits")
    }

    /// The densest square and hexagonal packing of circles, π/4 and π/√12, as the wire gets thin.
    #[test]
    fn val_fill_of_round_wires() {
        let thin = Wire { bare: 1e-6, overall: 1e-6 };
        for (lay, limit) in [(Lay::Layered, PI / 4.0), (Lay::Orthocyclic, 0.906900)] {
            let laid = Laid::new(BOBBIN, thin, lay).expect("fits");
            let winding = laid.wind(laid.most_turns()).expect("its own capacity");
            assert!((winding.conductor_share - limit).abs() < 3e-4, "{}", winding.conductor_share);
        }
    }

    /// By hand: 10/0.0575 is 173.9, so 173 turns a layer and the half for the shifted one; 17 layers in 1 mm,
    /// 19 in the grooves.
    #[test]
    fn cross_layers_by_hand() {
        assert_eq!(laid(Lay::Layered).most_turns(), 17.0 * 173.0);
        assert_eq!(laid(Lay::Orthocyclic).most_turns(), 19.0 * 173.0);
        let tight = Bobbin { length: 10.0 * WIRE.overall, ..BOBBIN };
        let grooves = Laid::new(tight, WIRE, Lay::Orthocyclic).expect("fits");
        assert_eq!(grooves.most_turns(), 10.0 * 10.0 + 9.0 * 9.0);

        let winding = laid(Lay::Layered).wind(400.0).expect("fits");
        assert_eq!((winding.layers, winding.turns_per_layer), (Some(3), Some(173.0)));
        assert!((winding.outer_diameter - 3.345e-3).abs() < 1e-12);
        let length = PI * (173.0 * 3.0575e-3 + 173.0 * 3.1725e-3 + 54.0 * 3.2875e-3);
        assert!((winding.wire_length - length).abs() < 1e-12);
        let ohm = length * 8.78096;
        assert!((winding.resistance(Conductor::COPPER, 293.15) / ohm - 1.0).abs() < 1e-6);
        assert!((winding.resistance(Conductor::COPPER, 358.15) / ohm - 1.25545).abs() < 1e-5);
        let mass = length * PI / 4.0 * 0.05e-3f64.powi(2) * 8890.0;
        assert!((winding.mass(Conductor::COPPER) - mass).abs() < 1e-15);
    }

    #[test]
    fn prop_too_much_is_refused() {
        let laid = laid(Lay::Layered);
        assert_eq!(laid.wind(2942.0), Err(WindingError::Overfull { turns: 2942.0, most: 2941.0 }));
        let thick = Wire { bare: 1e-3, overall: 1.1e-3 };
        let refused = Laid::new(BOBBIN, thick, Lay::Layered);
        assert!(matches!(refused, Err(WindingError::NoTurnFits { .. })));
    }

    proptest! {
        /// Within a layer's height of the diameter, and of the length what half a turn per layer makes.
        #[test]
        fn prop_evened_winding_is_near_the_whole_one(
            orthocyclic in any::<bool>(), overall in 40e-6..80e-6f64, turns in 600.0..3000.0f64,
        ) {
            let lay = if orthocyclic { Lay::Orthocyclic } else { Lay::Layered };
            let wire = Wire { bare: 0.87 * overall, overall };
            let laid = Laid::new(BOBBIN, wire, lay).expect("fits");
            let (even, whole) = (laid.even(turns.floor()), laid.unlimited(turns.floor()));
            let apart = (whole.outer_diameter - even.outer_diameter) / (2.0 * overall);
            prop_assert!((-0.25..=1.25).contains(&apart), "{apart}");
            let longer = even.wire_length / whole.wire_length - 1.0;
            prop_assert!(longer.abs() < 3e-3, "{longer:e}");
        }

        #[test]
        fn prop_turns_of_a_length_have_that_length(which in 0..3usize, turns in 1.0..2500.0f64) {
            let lays = [Lay::Orthocyclic, Lay::Layered, Lay::Random { fill: 0.65 }];
            let laid = laid(lays[which]);
            let back = laid.turns_of_length(laid.wire_length(turns));
            prop_assert!((back / turns - 1.0).abs() < 1e-11, "{back}");
            let winding = laid.wind(turns).expect("fits");
            let ohm = winding.resistance(Conductor::COPPER, crate::conductor::REFERENCE_TEMPERATURE);
            let back = laid.turns_of_resistance(Conductor::COPPER, ohm);
            prop_assert!((back / turns - 1.0).abs() < 1e-11, "{back}");
        }

        /// A random lay as full as a layered one is as high and as long, to the part of a layer at its top.
        #[test]
        fn prop_lays_agree_where_they_fill_alike(layers in 3..17u32) {
            let turns = f64::from(layers) * 173.0;
            let square = laid(Lay::Layered).wind(turns).expect("fits");
            let fill = square.conductor_share * (WIRE.overall / WIRE.bare).powi(2);
            let wild = laid(Lay::Random { fill }).wind(turns).expect("fits");
            prop_assert!((wild.outer_diameter / square.outer_diameter - 1.0).abs() < 1e-12);
            prop_assert!((wild.wire_length / square.wire_length - 1.0).abs() < 1e-12);
        }
    }
}
