//! The contacts of the checks.

use reedmace_contact::Geometry;
use reedmace_units::{Length, Ratio};
use serde_json::Value;

/// The open reference contact of `data/README.md`.
pub fn reference() -> Geometry {
    Geometry {
        lead_diameter: Length::mm(0.55),
        overall_length: Length::mm(55.0),
        blade_span: Length::mm(12.0),
        blade_width: Length::mm(1.3),
        blade_thickness: Length::mm(0.22),
        overlap: Length::mm(1.0),
        gap: Length::mm(0.05),
        permeability: Ratio::new(5000.0),
    }
}

/// A contact of the data, lengths in mm.
pub fn geometry(g: &Value) -> Geometry {
    let mm = |key: &str| Length::mm(number(&g[key]));
    Geometry {
        lead_diameter: mm("lead_diameter"),
        overall_length: mm("overall_length"),
        blade_span: mm("blade_span"),
        blade_width: mm("blade_width"),
        blade_thickness: mm("blade_thickness"),
        overlap: mm("overlap"),
        gap: mm("gap"),
        permeability: Ratio::new(number(&g["permeability"])),
    }
}

/// A number of the data.
pub fn number(v: &Value) -> f64 {
    v.as_f64().expect("a number")
}
