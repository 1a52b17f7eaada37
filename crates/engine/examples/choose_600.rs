//! How long a choice among 20 contacts and 30 magnets takes, with two free positions.
//!
//! `cargo run --release -p reedmace-engine --example choose_600` prints the time; `-- all` leaves out no
//! combination for its cost or its reach, `-- share` asks for a yield of 99 %, `-- save FOLDER` writes the design and its
//! catalogue for `reedmace choose`.

use reedmace_design::{Catalogue, Design, Diagnostic, parse_with};
use reedmace_engine::{ChooseOptions, choose};
use reedmace_materials::Grades;
use std::fmt::Write;
use std::time::Instant;

const DESIGN: &str = r#"format = 1
title = "Six hundred pairs"
[[contact]]
name = "frame"
family = "reed-0-0"
at = ["0 ± 0.3 mm", "0 mm", "0 ± 0.3 mm"]
[[magnet]]
name = "flap"
catalogue = "block-0"
[sweep]
kind = "line"
moves = "flap"
from = ["0 ± 1 mm", "0 ± 1 mm", "70 mm"]
to = ["0 ± 1 mm", "0 ± 1 mm", "9 mm"]
[[demand]]
contact = "frame"
closed = "<= 11 mm"
[[demand]]
contact = "frame"
open = ">= 30 mm"
[surroundings]
temperature = "-15..45 °C"
[choose]
cost = "price"
YIELD
[choose.free]
"contact[frame].family" = FAMILIES
"magnet[flap].catalogue" = MAGNETS
"contact[frame].at[0]" = { from = "-6 mm", to = "6 mm" }
"contact[frame].at[2]" = { from = "-8 mm", to = "0 mm" }
"#;

/// Five glasses in four bands, and thirty blocks of four grades: text of a catalogue, and their names.
fn stock() -> (String, Vec<String>, Vec<String>) {
    let glasses = [
        (10.0, 44.0, 0.85),
        (12.0, 50.0, 1.0),
        (14.0, 55.0, 1.15),
        (18.0, 60.0, 1.4),
        (21.0, 65.0, 1.6),
    ];
    let bands = [("10..14", 1.0), ("14..20", 0.8), ("15..30", 0.6), ("22..28", 0.9)];
    let (mut text, mut families, mut magnets) = (String::new(), Vec::new(), Vec::new());
    for (g, (glass, length, width)) in glasses.into_iter().enumerate() {
        for (b, (band, price)) in bands.into_iter().enumerate() {
            let name = format!("reed-{g}-{b}");
            let release = band.split("..").next().and_then(|low| low.parse().ok()).unwrap_or(10.0);
            let release = format!("{}..{}", 0.45 * release, 0.7 * release);
            write!(
                text,
                "[[family]]\nname = \"{name}\"\nlead_diameter = \"0.5 mm\"\noverall_length = \"{length} mm\"\n\
                 blade_span = \"{} mm\"\nblade_width = \"{width} mm\"\nblade_thickness = \"0.18 mm\"\n\
                 overlap = \"0.8 mm\"\ngap = \"0.035 mm\"\noperate = \"{band} AT\"\nrelease = \"{release} AT\"\n\
                 coil = {{ length = \"25 mm\", mean_diameter = \"9 mm\" }}\nglass_length = \"{glass} mm\"\n\
                 glass_diameter = \"2.2 mm\"\nprice = {}\n",
                0.82 * glass,
                price + 0.02 * glass
            )
            .expect("text");
            families.push(name);
        }
    }
    let grades = ["Hard ferrite 28/24", "NdFeB bonded 80/60", "SmCo 200/150", "NdFeB 280/120"];
    for k in 0..30 {
        let (grade, size) = (grades[k % 4], 3.0 + 0.3 * k as f64);
        let price = [0.02, 0.08, 0.3, 0.12][k % 4] * (0.5 + size * size * size / 200.0);
        write!(
            text,
            "[[stock]]\nname = \"block-{k}\"\nshape = \"cuboid\"\nsize = [\"{:.1} ± 0.1 mm\", \"{size:.1} ± 0.1 mm\", \
             \"{:.1} ± 0.1 mm\"]\ndirection = [1, 0, 0]\ngrade = \"{grade}\"\nprice = {price:.3}\n",
            1.4 * size,
            0.7 * size
        )
        .expect("text");
        magnets.push(format!("block-{k}"));
    }
    (text, families, magnets)
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let says = |word: &str| words.iter().any(|w| w == word);
    let (stock, families, magnets) = stock();
    let wanted = if says("share") { "yield = \"99 %\"" } else { "" };
    let text = DESIGN
        .replace("YIELD", wanted)
        .replace("FAMILIES", &format!("{families:?}"))
        .replace("MAGNETS", &format!("{magnets:?}"));
    if let Some(folder) = words.iter().position(|w| w == "save").and_then(|k| words.get(k + 1)) {
        let folder = std::path::Path::new(folder);
        let design = text.replacen('\n', "\ncatalogue = [\"stock.toml\"]\n", 1);
        let written = std::fs::write(folder.join("stock.toml"), stock)
            .and_then(|()| std::fs::write(folder.join("pairs.toml"), design));
        written.expect("a folder to write to");
        return;
    }
    let grades = Grades::builtin();
    let catalogue = Catalogue::builtin().extended_with(&stock, &grades).expect("a sound catalogue");
    let none = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let remake = |text: &str| -> Result<Design, Vec<Diagnostic>> {
        Ok(parse_with(text, &catalogue, &grades, &none)?.0)
    };
    let design = remake(&text).expect("a sound design");
    let options = ChooseOptions { prune: !says("all"), ..ChooseOptions::default() };
    let begun = Instant::now();
    let found = choose(&design, "pairs.toml", &options, &remake, &|_| true).expect("an answer");
    let answer = &found.answer;
    println!("{:.1} s", begun.elapsed().as_secs_f64());
    println!(
        "{} combinations, {} placed, {} found",
        answer.combinations, answer.tried, answer.found
    );
    for lost in &answer.lost {
        println!("{:6}  {}", lost.count, lost.reason);
    }
    for c in answer.candidates.iter().take(5) {
        println!(
            "{:.3}  {:?} mm  {:?}",
            c.cost,
            c.margin,
            c.values.iter().map(|v| &v.text).collect::<Vec<_>>()
        );
    }
}
