//! How near an outside magnet must come to an open door to pass for the shut one.

use super::{
    Ink,
    layout::{
        Side::{self, Left, Right},
        cut, table, wrap,
    },
    paint,
};
use reedmace_engine::{Answer, answer::Outsider};
use reedmace_report::number::{number, with_unit};

/// The table; `None` of a design without a door.
pub(crate) fn door(answer: &Answer) -> Option<String> {
    let door = answer.door.as_ref()?;
    let heading = ["outside magnet", "contact", "changes it", "holds it", "all as if shut"];
    let mut rows = vec![heading.map(String::from).to_vec()];
    rows.extend(door.outsiders.iter().flat_map(of));
    let sides: [Side; 5] = [Left, Left, Right, Right, Right];
    let mut out = format!("{}\n", paint(Ink::Heading, "Defeat"));
    out += &wrap(
        "  ",
        &format!(
            "the door open at {}: how near a magnet must come, in mm from middle to middle, any side, any \
             turn",
            with_unit(door.open_at, &door.unit)
        ),
    );
    for (index, line) in table(&sides, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    if rows.iter().flatten().any(|cell| cell == "–") {
        out += &wrap(
            "  ",
            "a dash: open with the door shut, or only where the magnet would be in the contact",
        );
    }
    for contact in &door.contacts {
        out += &wrap("  ", &contact.comes_back.replace('`', ""));
    }
    out += &wrap(
        "  ",
        "A guard interlock needs more than one contact and the proof its own standard asks for.",
    );
    Some(out)
}

/// A line for each contact.
fn of(outsider: &Outsider) -> Vec<Vec<String>> {
    let distance = |mm: Option<f64>| mm.map_or_else(|| "–".to_string(), |mm| number(mm, "mm"));
    let row = |(k, at): (usize, &reedmace_engine::answer::OutsiderAtContact)| {
        vec![
            if k == 0 { cut(&outsider.name, 16) } else { String::new() },
            cut(&at.contact, 16),
            distance(at.changes),
            distance(at.holds),
            if k == 0 { distance(outsider.passes_for_shut) } else { String::new() },
        ]
    };
    outsider.contacts.iter().enumerate().map(row).collect()
}
