//! Operate and release as drive, over the tolerances of what they are stated in.

use crate::error::EngineError;
use crate::quantity::Level;
use crate::realise::Workshop;

/// Operate and release level of a contact, T: lowest, nominal, highest over its tolerances.
///
/// Each quantity of this contact is tried alone at both limits; the corners are those of the sum of
/// its effects.
pub(crate) fn levels(workshop: &Workshop, contact: usize) -> Result<[[f64; 2]; 3], EngineError> {
    let n = workshop.variables.len();
    let at = |unit: &Vec<Level>| {
        let scene = workshop.unsettled(unit)?;
        let reed = &scene.reeds[contact];
        Ok::<_, EngineError>([reed.operate, reed.release])
    };
    let nominal = at(&vec![Level::Nominal; n])?;
    let mut levels = [nominal; 3];
    let own = format!("contact[{}]", workshop.design.contacts[contact].table());
    let mut corner = [
        [vec![Level::Nominal; n], vec![Level::Nominal; n]],
        [vec![Level::Nominal; n], vec![Level::Nominal; n]],
    ];
    for v in 0..n {
        let path = &workshop.variables.get(v).path;
        if !path.starts_with(&own) && !path.starts_with("coil[") {
            continue;
        }
        let mut best = [[nominal[0]; 2], [nominal[1]; 2]];
        for level in [Level::LOW, Level::HIGH] {
            let mut unit = vec![Level::Nominal; n];
            unit[v] = level;
            let found = at(&unit)?;
            for i in 0..2 {
                for (side, sense) in [-1.0, 1.0].into_iter().enumerate() {
                    if sense * found[i] > sense * best[i][side] {
                        best[i][side] = found[i];
                        corner[i][side][v] = level;
                    }
                }
            }
        }
    }
    for i in 0..2 {
        levels[0][i] = at(&corner[i][0])?[i].min(nominal[i]);
        levels[2][i] = at(&corner[i][1])?[i].max(nominal[i]);
    }
    Ok(levels)
}
