//! Where magnets of a grade work on their demagnetisation curve, and what that costs them for good.
//!
//! A magnet's inside is sampled all over. At each point the field along the polarization is
//! `H = (B − J)/μ0`: its own share goes with J, `−N J/μ0` with a local demagnetizing factor N, and the
//! rest comes from every other source at that point, at the worst place of the sweep. Where the two meet
//! the curve is the working point.
//!
//! Each point is taken as if the whole magnet had the polarization the point has. That is exact for a
//! sphere in an even field, and elsewhere as long as nothing is beyond its knee but for the small part
//! that recoil permeability plays. Beyond the knee it is an estimate: the loss of blocks divided into
//! cells with a polarization each differs by up to 2.1 % of J (`cross_loss_against_cells`).

use crate::answer::{CurvePoint, MagnetAnswer, MagnetState, WorkingPoint};
use crate::error::EngineError;
use crate::interior::Interior;
use crate::opposing::Opposing;
use crate::quantity::{Level, Quantified};
use crate::realise::Workshop;
use crate::scene::Scene;
use crate::units::{Shown, tidy};
use reedmace_design::{Magnet, Material};
use reedmace_fields::{AnySource, MU_0, Magnet as MagnetSource, Source, Vectors};
use reedmace_materials::{DemagnetizationCurve, Grade, PerKelvin};
use reedmace_units::{FieldStrength, Quantity, Ratio, Temperature, unit_named};

/// Every magnet of a grade at both ends of the temperature range, in the design's order.
pub(crate) fn of_magnets(
    workshop: &Workshop,
    shown: &Shown,
) -> Result<Vec<MagnetAnswer>, EngineError> {
    let design = &workshop.design;
    let temperature = &design.surroundings.temperature;
    let mut scenes = Vec::new();
    let levels: &[Level] = match workshop.variables.index_of(&temperature.path) {
        Some(_) => &[Level::LOW, Level::HIGH],
        None => &[Level::Nominal],
    };
    for level in levels {
        let mut unit = vec![Level::Nominal; workshop.variables.len()];
        if let Some(i) = workshop.variables.index_of(&temperature.path) {
            unit[i] = *level;
        }
        let at = Temperature::from_si(level.of(&temperature.limits()));
        scenes.push((at, workshop.unsettled(&unit)?));
    }
    let graded =
        design.magnets.iter().enumerate().filter_map(|(k, magnet)| match &magnet.material {
            Material::Grade { grade, .. } => Some((k, magnet, grade.as_ref())),
            Material::Hard { .. } => None,
        });
    Ok(graded.filter_map(|(k, magnet, grade)| answer(&scenes, k, magnet, grade, shown)).collect())
}

/// The answer about magnet `k`; `None` for one without polarization.
fn answer(
    scenes: &[(Temperature, Scene)],
    k: usize,
    magnet: &Magnet,
    grade: &Grade,
    shown: &Shown,
) -> Option<MagnetAnswer> {
    let AnySource::Magnet(source) = &scenes[0].1.bodies[k].source else { return None };
    let inside = Interior::of(&source.shape);
    let direction = unit_vector(source.polarization)?;
    let factors = own_factors(source, direction, &inside);
    let states = scenes.iter().map(|(temperature, scene)| {
        let remanence = magnet.material.remanence().is.nominal;
        let curve = grade.curve_with(remanence, *temperature);
        let opposing = Opposing::along(scene, k, direction, &inside);
        state(*temperature, &curve, &inside, &factors, &opposing, shown)
    });
    let states: Vec<MagnetState> = states.collect();
    let critical = (0..states.len()).max_by(|a, b| {
        let (a, b) = (&states[*a], &states[*b]);
        a.loss.total_cmp(&b.loss).then(b.worst.knee_margin.total_cmp(&a.worst.knee_margin))
    })?;
    Some(MagnetAnswer {
        name: magnet.name.clone(),
        grade: grade.designation.clone(),
        remanence_drift: shown_in::<PerKelvin>("%/K", grade.remanence_drift.nominal.si()),
        coercivity_drift: shown_in::<PerKelvin>("%/K", grade.coercivity_drift.nominal.si()),
        recoil_permeability: grade.recoil_permeability.nominal.si(),
        demagnetizing_factor: tidy(inside.mean(&factors)),
        states,
        critical,
    })
}

fn unit_vector(v: [f64; 3]) -> Option<[f64; 3]> {
    let length = v.iter().map(|c| c * c).sum::<f64>().sqrt();
    (length > 0.0).then(|| v.map(|c| c / length))
}

/// Local demagnetizing factor along the polarization at each point: `1 − B/J` of the magnet alone.
fn own_factors(source: &MagnetSource, direction: [f64; 3], inside: &Interior) -> Vec<f64> {
    let alone = MagnetSource { polarization: direction, ..*source };
    let mut b = Vectors::zeros(inside.weights.len());
    alone.add_b(inside.points.points(), b.view_mut());
    (0..b.len())
        .map(|i| 1.0 - b.get(i).iter().zip(direction).map(|(b, d)| b * d).sum::<f64>())
        .collect()
}

/// The magnet at one temperature.
fn state(
    temperature: Temperature,
    curve: &DemagnetizationCurve,
    inside: &Interior,
    factors: &[f64],
    opposing: &Opposing,
    shown: &Shown,
) -> MagnetState {
    let load = |factor: f64, applied: f64| {
        curve.load(Ratio::from_si(factor), FieldStrength::from_si(applied))
    };
    let fields: Vec<FieldStrength> =
        factors.iter().zip(&opposing.worst).map(|(n, h)| load(*n, *h)).collect();
    let worst = (0..fields.len())
        .max_by(|a, b| fields[*a].si().total_cmp(&fields[*b].si()))
        .expect("a magnet has an inside");
    let beyond: Vec<f64> = fields.iter().map(|h| f64::from(u8::from(*h > curve.knee()))).collect();
    let lost: Vec<f64> = fields.iter().map(|h| 1.0 - curve.kept(*h).si()).collect();
    let mean = load(inside.mean(factors), opposing.mean);
    let point = |h: FieldStrength| working_point(curve, h);
    let b = curve.polarization(mean).si() - MU_0 * mean.si();
    MagnetState {
        temperature: tidy(temperature.in_celsius()),
        curve: [FieldStrength::from_si(0.0), curve.knee(), curve.intrinsic_coercivity()]
            .map(|h| CurvePoint {
                h: -kiloamperes_per_metre(h.si()) + 0.0,
                j: tidy(curve.polarization(h).si()),
            })
            .to_vec(),
        remanence: tidy(curve.remanence().si()),
        intrinsic_coercivity: kiloamperes_per_metre(curve.intrinsic_coercivity().si()),
        knee: kiloamperes_per_metre(curve.knee().si()),
        field_from_outside: -kiloamperes_per_metre(opposing.mean) + 0.0,
        permeance_coefficient: (mean.si() > 0.0).then(|| tidy(b / (MU_0 * mean.si()))),
        mean: point(mean),
        worst: point(fields[worst]),
        worst_at: opposing.changes.then(|| shown.number(opposing.worst_at[worst])),
        beyond_knee: percent(inside.mean(&beyond)),
        loss: percent(inside.mean(&lost)),
    }
}

fn working_point(curve: &DemagnetizationCurve, h: FieldStrength) -> WorkingPoint {
    let j = curve.polarization(h).si();
    WorkingPoint {
        h: -kiloamperes_per_metre(h.si()) + 0.0,
        b: tidy(j - MU_0 * h.si()),
        j: tidy(j),
        knee_margin: percent(1.0 - h.si() / curve.knee().si()),
    }
}

fn kiloamperes_per_metre(si: f64) -> f64 {
    shown_in::<FieldStrength>("kA/m", si)
}

fn percent(share: f64) -> f64 {
    shown_in::<Ratio>("%", share)
}

/// A value in SI in the unit of that name.
fn shown_in<Q: Quantity>(symbol: &str, si: f64) -> f64 {
    tidy(si / unit_named::<Q>(symbol).expect("a unit of the table").factor)
}
