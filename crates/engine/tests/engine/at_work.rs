//! Designs as text, and what is asked of them, for every test here.

use reedmace_design::Design;
use reedmace_engine::answer::{ContactAnswer, Direction, Event, EventKind};
use reedmace_engine::{Options, Study, check};

/// The reference contact, its levels in uniform field so that no coil stands between.
pub const REED: &str = r#"
lead_diameter = "0.55 mm"
overall_length = "55 mm"
blade_span = "12 mm"
blade_width = "1.3 mm"
blade_thickness = "0.22 mm"
overlap = "1.0 mm"
gap = "0.05 mm"
permeability = 5000
"#;

/// Levels of [`REED`] for tests that need some.
pub const LEVELS: &str = "operate = \"0.75 mT\"\nrelease = \"0.38 mT\"\ncoil = \"uniform\"\n";

/// A design of one contact `reed` and the rest as given.
pub fn design_of(contact: &str, rest: &str) -> String {
    format!("format = 1\ntitle = \"test\"\n[[contact]]\nname = \"reed\"\n{contact}\n{rest}\n")
}

/// Parses a design that must be sound.
pub fn parse(text: &str) -> Design {
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    match reedmace_design::parse(text, &none) {
        Ok((design, _)) => design,
        Err(faults) => panic!("{faults:#?}\n{text}"),
    }
}

/// Checks a design without sampling units.
pub fn study(text: &str) -> Study {
    let options = Options { units: 0, ..Options::default() };
    check(&parse(text), "test.toml", &options, &|_, _| ()).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The answer about the only contact.
pub fn reed(text: &str) -> ContactAnswer {
    study(text).answer.contacts.swap_remove(0)
}

/// Open and closed drive at each pose of a table, mT: `placed` is what is placed, by its name.
pub fn drives(contact: &str, sources: &str, placed: &str, poses: &[[f64; 3]]) -> Vec<[f64; 2]> {
    let row = |[x, y, z]: &[f64; 3]| format!("[\"{x} mm\", \"{y} mm\", \"{z} mm\"]");
    let mut rows: Vec<String> = poses.iter().map(row).collect();
    if rows.len() == 1 {
        rows.push(row(&poses[0].map(|v| v + 1.0)));
    }
    let sweep =
        format!("[sweep]\nkind = \"table\"\nmoves = \"{placed}\"\nposes = [{}]\n", rows.join(", "));
    let trace = reed(&design_of(contact, &format!("{sources}\n{sweep}"))).trace;
    trace.iter().take(poses.len()).map(|r| [r.drive_open, r.drive_closed]).collect()
}

/// Events as kind, direction and nominal place.
pub fn places(contact: &ContactAnswer) -> Vec<(EventKind, Direction, f64)> {
    let nominal = |e: &Event| e.at.value.map(|at| (e.kind, e.direction, at));
    contact.events.iter().filter_map(nominal).collect()
}

/// Numbers that are pure functions of a seed.
pub struct Dice(pub u64);

impl Dice {
    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
    /// A whole number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.between(0.0, n as f64) as usize).min(n - 1)
    }
}
