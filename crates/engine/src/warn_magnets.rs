//! What the user should know of the magnets: their working point, their temperature.

use crate::answer::Warning;
use crate::quantity::{Level, Quantified};
use crate::realise::Workshop;
use crate::scene::Scene;
use reedmace_design::Material;
use reedmace_fields::{AnySource, MU_0, MagnetShape};
use reedmace_units::{Quantity, Temperature, format_number};

/// Share of the intrinsic coercivity above which a magnet's own field is called a risk: above it
/// grades leave their straight recoil line. Common practice, no source.
const KNEE_SHARE: f64 = 0.8;
/// Warnings about magnets: the working point against the knee at both ends of the temperature range,
/// and the grade's highest temperature.
pub(crate) fn of_magnets(workshop: &Workshop, scene: &Scene) -> Vec<Warning> {
    let design = workshop.design;
    let limits = design.surroundings.temperature.limits();
    let mut warnings = Vec::new();
    for (k, magnet) in design.magnets.iter().enumerate() {
        let Material::Grade { grade, .. } = &magnet.material else { continue };
        let AnySource::Magnet(source) = &scene.bodies[k].source else { continue };
        for level in [Level::LOW, Level::HIGH] {
            let temperature = Temperature::from_si(level.of(&limits));
            let load = own_field(&source.shape, source.polarization)
                * (grade.remanence_factor(temperature)
                    / grade.remanence_factor(design.surroundings.temperature.is.nominal));
            let coercivity =
                grade.intrinsic_coercivity.nominal.si() * grade.coercivity_factor(temperature);
            if load > KNEE_SHARE * coercivity {
                warnings.push(Warning {
                    code: "W0201".into(),
                    message: format!(
                        "magnet `{}` may lose strength for good at {} °C: its own field reaches {} % \
                         of its coercivity",
                        magnet.name,
                        format_number(temperature.in_celsius(), 3),
                        format_number(100.0 * load / coercivity, 3)
                    ),
                    help: "make it longer along its magnetisation, or take a grade with a higher \
                           coercivity"
                        .into(),
                });
                break;
            }
        }
        if let Some(max) = &grade.max_temperature
            && limits.high > max.nominal.si()
        {
            warnings.push(Warning {
                code: "W0202".into(),
                message: format!(
                    "magnet `{}` is of a grade for at most {}; the surroundings reach {} °C",
                    magnet.name,
                    max,
                    format_number(Temperature::from_si(limits.high).in_celsius(), 3)
                ),
                help: "take a grade for that temperature".into(),
            });
        }
    }
    if scene.bodies.is_empty() {
        warnings.push(Warning {
            code: "W0203".into(),
            message: "nothing makes a field: the design has no magnet and no coil that carries \
                      current"
                .into(),
            help: "add a [[magnet]], or give a [[coil]] its ampere_turns".into(),
        });
    }
    warnings
}

/// Mean demagnetizing field of a magnet in itself, along its polarization, A/m.
fn own_field(shape: &MagnetShape, polarization: [f64; 3]) -> f64 {
    let factors = shape.demagnetizing_factors();
    let total = polarization.iter().map(|j| j * j).sum::<f64>();
    let own: f64 = (0..3).map(|i| factors[i] * polarization[i] * polarization[i]).sum();
    if total == 0.0 { 0.0 } else { own / (total.sqrt() * MU_0) }
}
