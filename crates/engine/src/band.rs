//! The drive along the sweep with its worst-case band.

use crate::answer::TraceRow;
use crate::error::EngineError;
use crate::quantity::{Level, Unit};
use crate::realise::{Reach, Workshop};
use crate::scene::Scene;
use crate::track::Track;
use crate::units::{Shown, millitesla};
use rayon::prelude::*;
use reedmace_contact::Scratch;
use std::collections::BTreeMap;

/// Rows of a trace at most; a table sweep has one per pose.
const ROWS: usize = 240;

/// The trace of one contact.
///
/// At each row every variable is put at each limit alone; the limits that raise the drive make one
/// corner, those that lower it another, and the scenes of these corners give the band.
pub(crate) fn trace(
    workshop: &Workshop,
    nominal: &Scene,
    track: &Track,
    contact: usize,
    shown: &Shown,
) -> Result<Vec<TraceRow>, EngineError> {
    let rows = rows(nominal, track);
    let n = workshop.variables.len();
    let open_along = |scene: &Scene, rows: &[f64]| -> Vec<f64> {
        let mut scratch = Scratch::default();
        rows.iter().map(|&c| scene.drive(contact, c, &mut scratch).open).collect()
    };
    let mut scratch = Scratch::default();
    let centre: Vec<_> = rows.iter().map(|&c| nominal.drive(contact, c, &mut scratch)).collect();
    let still: Vec<f64> = centre.iter().map(|drive| drive.open).collect();
    let alone: Vec<[Vec<f64>; 2]> = (0..n)
        .into_par_iter()
        .map(|v| {
            let elsewhere = match workshop.reaches[v] {
                Reach::Nothing => true,
                Reach::Contact(own) => own != contact,
                Reach::All => false,
            };
            if elsewhere {
                return Ok([still.clone(), still.clone()]);
            }
            let at = |level: Level| {
                let mut unit = vec![Level::Nominal; n];
                unit[v] = level;
                Ok::<_, EngineError>(open_along(&workshop.scene(&unit)?, &rows))
            };
            Ok([at(Level::LOW)?, at(Level::HIGH)?])
        })
        .collect::<Result<_, EngineError>>()?;

    // Rows that share a corner share its scene.
    let mut corners: BTreeMap<Vec<i8>, Vec<usize>> = BTreeMap::new();
    for i in 0..rows.len() {
        for upper in [false, true] {
            let sense = if upper { 1.0 } else { -1.0 };
            let side = |a: &[Vec<f64>; 2]| -> i8 {
                let (low, high) = (sense * a[0][i], sense * a[1][i]);
                let middle = sense * centre[i].open;
                if low > middle && low > high {
                    -1
                } else if high > middle {
                    1
                } else {
                    0
                }
            };
            corners.entry(alone.iter().map(side).collect()).or_default().push(i);
        }
    }
    let corners: Vec<_> = corners.into_iter().collect();
    let found: Vec<Vec<f64>> = corners
        .par_iter()
        .map(|(sides, members)| {
            let unit: Unit = sides.iter().map(|&s| Level::Toward(f64::from(s))).collect();
            let at: Vec<f64> = members.iter().map(|&i| rows[i]).collect();
            Ok(open_along(&workshop.scene(&unit)?, &at))
        })
        .collect::<Result<_, EngineError>>()?;
    let mut band: Vec<[f64; 2]> = centre.iter().map(|d| [d.open, d.open]).collect();
    for ((_, members), drives) in corners.iter().zip(found) {
        for (&i, drive) in members.iter().zip(drives) {
            band[i] = [band[i][0].min(drive), band[i][1].max(drive)];
        }
    }
    let row = |((c, drive), [low, high]): ((&f64, &crate::scene::Drive), &[f64; 2])| TraceRow {
        coordinate: shown.number(*c),
        drive_open: millitesla(drive.open),
        drive_closed: millitesla(drive.closed),
        drive_open_low: millitesla(*low),
        drive_open_high: millitesla(*high),
    };
    Ok(rows.iter().zip(&centre).zip(&band).map(row).collect())
}

/// Coordinates of the rows: the poses of a table, else evenly spaced ones with the lobes' tops.
fn rows(scene: &Scene, track: &Track) -> Vec<f64> {
    let corners = scene.motion.corners();
    if let crate::motion::Motion::Table { .. } = scene.motion {
        return corners;
    }
    let [from, to] = scene.motion.range();
    let mut rows: Vec<f64> =
        (0..=ROWS).map(|k| from + (to - from) * k as f64 / ROWS as f64).collect();
    rows.extend(corners);
    rows.extend(track.lobes().iter().map(|l| l.at));
    rows.sort_by(|a, b| if to > from { a.total_cmp(b) } else { b.total_cmp(a) });
    rows.dedup();
    rows
}
