//! What the user should know of the magnets: their working point, their temperature.

use crate::answer::{MagnetAnswer, Warning};
use crate::quantity::Quantified;
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::units::{Shown, in_words};
use reedmace_design::Material;
use reedmace_units::{Quantity, Temperature};

/// Room before the knee, % of its field, below which a magnet is called at risk: the field of the knee
/// is not known better. Common practice, no source.
const LEAST_MARGIN: f64 = 10.0;

/// Warnings about magnets: the working point against the knee at both ends of the temperature range,
/// and the grade's highest temperature.
pub(crate) fn of_magnets(
    workshop: &Workshop,
    scene: &Scene,
    answers: &[MagnetAnswer],
    shown: &Shown,
) -> Vec<Warning> {
    let design = &workshop.design;
    let limits = design.surroundings.temperature.limits();
    let mut warnings = Vec::new();
    for magnet in &design.magnets {
        let Material::Grade { grade, .. } = &magnet.material else { continue };
        let answer = answers.iter().find(|a| a.name == magnet.name);
        warnings.extend(answer.and_then(|a| at_the_knee(a, shown)));
        if let Some(max) = &grade.max_temperature
            && limits.high > max.nominal.si()
        {
            warnings.push(Warning {
                code: "W0202".into(),
                message: format!(
                    "magnet `{}` is of a grade for at most {}; the surroundings reach {} °C",
                    magnet.name,
                    max,
                    in_words(Temperature::from_si(limits.high).in_celsius(), 3)
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

/// A magnet that some part of passes its knee, or comes near it, at the temperature that costs most.
fn at_the_knee(magnet: &MagnetAnswer, shown: &Shown) -> Option<Warning> {
    let worst = magnet.critical_state();
    if worst.worst.knee_margin >= LEAST_MARGIN {
        return None;
    }
    let number = |x: f64| in_words(x, 3);
    let place = worst.worst_at.map_or(String::new(), |at| {
        format!(" with {} = {} {}", shown.name, in_words(at, 4), shown.unit)
    });
    let at = format!("at {} °C{}", number(worst.temperature), place.trim_end());
    let (h, knee) = (number(-worst.worst.h), number(worst.knee));
    let name = &magnet.name;
    let message = if worst.loss > 0.0 {
        format!(
            "magnet `{name}` loses {} % of its strength for good {at}: {} % of its volume is beyond \
             the knee of its curve, where up to {h} kA/m oppose it and {knee} kA/m is the knee",
            if worst.loss < 0.1 {
                "less than 0.1".into()
            } else {
                format!("about {}", in_words(worst.loss, 2))
            },
            in_words(worst.beyond_knee, 2),
        )
    } else {
        format!(
            "magnet `{name}` comes near the knee of its curve {at}: up to {h} kA/m oppose it inside, \
             and beyond {knee} kA/m it loses strength for good"
        )
    };
    let help = if worst.field_from_outside < 0.0
        && worst.field_from_outside.abs() > 0.25 * worst.mean.h.abs()
    {
        "keep what opposes it further away, or take a grade with a higher coercivity"
    } else {
        "make it longer along its magnetisation, or take a grade with a higher coercivity"
    };
    Some(Warning { code: "W0201".into(), message, help: help.into() })
}
