//! What contacts switch: figures by hand, rules over tolerances, waveforms, protection, netlists.

use crate::at_work::{LEVELS, REED, design_of, parse, study};
use reedmace_engine::answer::{Answer, LoadAnswer, Verdict};
use reedmace_engine::netlists;

const PUMP: &str =
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../designs/pump-relay.toml"));
const RATED: &str = "metal = \"rhodium\"\ncontact_resistance = \"100 mΩ\"\nswitching_voltage = \"200 V\"\n\
                     switching_current = \"0.5 A\"\nswitching_power = \"10 W\"\ncarry_current = \"1 A\"\n";

/// A contact beside a magnet, and a load of these keys.
fn switching(load: &str) -> Answer {
    let rest = format!(
        "[[magnet]]\nname = \"slug\"\nshape = \"cuboid\"\nsize = [\"10 mm\", \"5 mm\", \"5 mm\"]\n\
         remanence = \"1.2 T\"\ndirection = [1, 0, 0]\n[sweep]\nkind = \"line\"\nmoves = \"slug\"\n\
         from = [\"0 mm\", \"0 mm\", \"40 mm\"]\nto = [\"0 mm\", \"0 mm\", \"6 mm\"]\n\
         [[load]]\nname = \"it\"\n{load}\n"
    );
    study(&design_of(&format!("{REED}{LEVELS}{RATED}"), &rest)).answer
}

fn figure(answer: &Answer, name: &str) -> [f64; 3] {
    let found = answer.figures.iter().find(|f| f.name == format!("{name} of it"));
    let band = &found.unwrap_or_else(|| panic!("no {name}")).value;
    [band.low, band.value.expect("nominal"), band.high]
}

fn close(found: f64, expected: f64) {
    assert!((found / expected - 1.0).abs() < 1e-9, "{found} for {expected}");
}

fn verdict(load: &LoadAnswer, rule: &str) -> Verdict {
    let found = load.rules.iter().find(|one| one.rule.starts_with(rule));
    found.unwrap_or_else(|| panic!("no {rule}")).verdict
}

/// 24 V ± 10 % into 60 Ω ± 5 %: products of the ends.
#[test]
fn law_a_resistive_load_by_hand() {
    let answer =
        switching("kind = \"resistive\"\nsupply = \"24 V ± 10 %\"\nresistance = \"60 Ω ± 5 %\"");
    let [low, nominal, high] = figure(&answer, "current at break");
    close(nominal, 0.4);
    close(low, 21.6 / 63.0);
    close(high, 26.4 / 57.0);
    close(figure(&answer, "switched power")[2], 26.4 * 26.4 / 57.0);
    close(figure(&answer, "share of switching power")[2], 10.0 * 26.4 * 26.4 / 57.0);
    // 14 V and 0.35 A of rhodium: 0.35 V/(V − 14) opens without an arc.
    close(figure(&answer, "share of arc limit")[1], 100.0 * 0.4 / (0.35 * 24.0 / 10.0));
    close(figure(&answer, "share of melting voltage")[1], 100.0 * 0.04 / 0.693);
    let load = &answer.loads[0];
    assert_eq!(verdict(load, "voltage × current"), Verdict::AtRisk);
    assert_eq!(verdict(load, "voltage ≤"), Verdict::Met);
    assert_eq!(load.bare.opens.arc, 0.0);
}

/// Peaks on alternating voltage; a power in a coil takes the smaller of two currents.
#[test]
fn law_alternating_voltage_by_hand() {
    let answer = switching(
        "kind = \"inductive\"\nsupply = \"24 V\"\nfrequency = \"50 Hz\"\nresistance = \"60 Ω\"\ninductance = \"200 mH\"",
    );
    let z = 60f64.hypot(std::f64::consts::TAU * 50.0 * 0.2);
    close(figure(&answer, "switched voltage")[1], 24.0 * 2f64.sqrt());
    close(figure(&answer, "carried current")[1], 24.0 / z);
    let amperes = 24.0 / z * 2f64.sqrt();
    close(figure(&answer, "current at break")[1], amperes);
    close(
        figure(&answer, "unprotected surge")[1],
        24.0 * 2f64.sqrt() + amperes * (0.2f64 / 50e-12).sqrt(),
    );
    // More resistance than reactance: of the two loads with that power the one that draws less.
    let z = 60f64.hypot(std::f64::consts::TAU * 50.0 * 0.1);
    let watts = (24.0 / z).powi(2) * 60.0;
    let same = switching(&format!(
        "kind = \"inductive\"\nsupply = \"24 V\"\nfrequency = \"50 Hz\"\npower = \"{watts} W\"\ninductance = \"100 mH\""
    ));
    close(figure(&same, "carried current")[1], 24.0 / z);
    let opens = &answer.loads[0].bare.opens;
    assert!((opens.current[0] / amperes - 1.0).abs() < 0.01, "{}", opens.current[0]);
}

/// A capacitor takes the supply over all resistances, a cable over its impedance, a lamp fifteen times its own.
#[test]
fn law_inrush_by_hand() {
    let capacitor = switching(
        "kind = \"capacitive\"\nsupply = \"24 V\"\nresistance = \"1 kΩ\"\ncapacitance = \"100 µF\"\n\
         series_resistance = \"0.3 Ω\"\nsource_resistance = \"0.2 Ω\"",
    );
    close(figure(&capacitor, "current at make")[1], 24.0 / 0.6);
    let load = &capacitor.loads[0];
    assert_eq!(verdict(load, "current at make and break"), Verdict::Missed);
    assert_eq!(verdict(load, "current at make × resistance"), Verdict::Missed);
    assert!((load.bare.closes.peak_current / 40.0 - 1.0).abs() < 0.01);
    let mends: Vec<&str> = load
        .tried
        .iter()
        .filter(|tried| tried.done.as_ref().is_some_and(|done| done.mends()))
        .map(|tried| tried.kind.as_str())
        .collect();
    // An inductor would hold the peak as well, and strike an arc when the contact opens.
    assert_eq!(mends, ["resistor"]);
    let cable = switching(
        "kind = \"cable\"\nsupply = \"24 V\"\nresistance = \"1 kΩ\"\ncapacitance = \"5 nF\"\nimpedance = \"120 Ω\"",
    );
    close(figure(&cable, "current at make")[1], 24.0 / 120.1 + 0.024);
    let lamp = switching("kind = \"lamp\"\nsupply = \"12 V\"\npower = \"1.2 W\"");
    close(figure(&lamp, "current at make")[1], 1.5);
    let measured = switching(
        "kind = \"lamp\"\nsupply = \"12 V\"\npower = \"1.2 W\"\ninrush_current = \"0.9 A\"",
    );
    close(figure(&measured, "current at make")[1], 0.9);
    assert!((measured.loads[0].bare.closes.peak_current / 0.9 - 1.0).abs() < 0.01);
}

/// The pump arcs unless a resistor and a capacitor take its current over; a diode comes too late.
#[test]
fn reg_the_pump_is_mended_by_rc_alone() {
    let answer = study(PUMP).answer;
    let [load] = &answer.loads[..] else { panic!("one load") };
    assert!(load.rules.iter().all(|rule| rule.verdict == Verdict::Met), "{:#?}", load.rules);
    assert!(load.bare.opens.arc > 0.5 && load.bare.opens.energy > 3.0);
    let with = &load.protection.as_ref().expect("protected").with;
    assert_eq!(with.opens.arc, 0.0);
    assert!(with.opens.peak_voltage < 250.0 && with.closes.peak_current <= 1.0);
    for tried in &load.tried {
        let mends = tried.done.as_ref().is_some_and(|done| done.mends());
        // Across the load it does the same but for the supply's resistance.
        assert!(mends == (tried.kind == "rc") || tried.kind == "rc across load", "{}", tried.kind);
    }
    let moving = &with.opens;
    assert_eq!(moving.time.len(), moving.voltage.len());
    assert!(moving.time.windows(2).all(|pair| pair[0] <= pair[1]) && moving.time.len() < 1500);
}

/// Stated parts go into the circuit; what cannot serve says why.
#[test]
fn prop_stated_parts_and_refusals() {
    let stated = PUMP.replace(
        "protect = \"rc\"",
        "protect = \"rc\"\nprotect_resistance = \"47 Ω\"\nprotect_capacitance = \"0.22 µF\"",
    );
    let answer = study(&stated).answer;
    let parts = &answer.loads[0].protection.as_ref().expect("protected").parts;
    assert_eq!([&parts[0].value, &parts[1].value], ["47 Ω", "220 nF"]);
    let swinging = PUMP.replace("protect = \"rc\"", "frequency = \"50 Hz\"\nprotect = \"diode\"");
    let answer = study(&swinging).answer;
    let load = &answer.loads[0];
    assert!(
        load.protection.is_none()
            && load.refused.as_ref().is_some_and(|why| why.contains("half wave"))
    );
}

/// Both movements of every load, each a netlist of its own with what a simulator is to find.
/// The current at make of every kind of protection against the circuit followed over time: the greatest there can
/// be, and not much more.
#[test]
fn cross_currents_at_make_with_protection() {
    let capacitor = "kind = \"capacitive\"\nsupply = \"12 V ± 5 %\"\ncurrent = \"10 mA\"\n\
                     capacitance = \"4.7 µF ± 20 %\"\nseries_resistance = \"0.4 Ω\"";
    let cable = "kind = \"cable\"\nsupply = \"24 V\"\ncurrent = \"20 mA\"\ncapacitance = \"5 nF\"";
    let lamp = "kind = \"lamp\"\nsupply = \"24 V\"\npower = \"2 W\"";
    let coil = "kind = \"inductive\"\nsupply = \"24 V ± 10 %\"\ncurrent = \"0.2 A\"\ninductance = \"100 mH\"";
    for (load, kinds) in [
        (capacitor, &["resistor"][..]),
        (cable, &["resistor", "inductor"]),
        (lamp, &["resistor"]),
        (coil, &["rc", "rc across load", "diode", "zener", "varistor", "resistor"]),
    ] {
        for kind in kinds {
            let answer = switching(&format!("{load}\nprotect = \"{kind}\""));
            let makes = figure(&answer, "current at make")[2];
            let refused = answer.loads[0].refused.clone().unwrap_or_default();
            let told = answer.loads[0].protection.as_ref();
            let told = told.unwrap_or_else(|| panic!("{kind} of {load}: {refused}"));
            let ratio = makes / told.with.closes.peak_current;
            assert!(
                (0.999..1.25).contains(&ratio),
                "{kind} of {load}: {makes} A, {ratio} times the peak"
            );
        }
    }
}

#[test]
fn prop_netlists_of_a_design() {
    let design = parse(PUMP);
    let lists = netlists(&design, true).expect("a circuit");
    assert_eq!(lists.len(), 2);
    for (list, moves) in lists.iter().zip(["opens", "closes"]) {
        assert_eq!((list.load.as_str(), list.moves.as_str()), ("pump", moves));
        assert!(list.text.starts_with("* Dosing pump relay") && list.text.ends_with(".end\n"));
        assert_eq!(list.asked.len(), 2);
    }
    let bare = netlists(&design, false).expect("a circuit");
    assert!(bare[0].text.lines().count() < lists[0].text.lines().count());
}

/// The example's test: five failures among eight, B10 and MTTFd from its lower bound over half of the failures.
#[test]
fn law_life_of_the_pump_relay() {
    let answer = study(PUMP).answer;
    let test = answer.life.as_ref().and_then(|life| life.test.as_ref()).expect("a test");
    assert_eq!((test.units, test.failures), (8, 5));
    let [b10, low, high] = test.b10;
    assert!(low < b10 && b10 < high && test.shape[0] > 1.0);
    let life = answer.life.as_ref().expect("the table");
    let dangerous = life.dangerous.as_ref().expect("operations a year");
    close(dangerous.b10d, 2.0 * low);
    close(dangerous.mttfd_years, 20.0 * low / 300_000.0);
    let years = answer.figures.iter().find(|f| f.name == "MTTFd in years").expect("told");
    assert!((years.value.low / (20.0 * low / 350_000.0) - 1.0).abs() < 1e-3);
    let tested = "failed = [1.61e6, 2.35e6, 2.87e6, 3.30e6, 3.92e6]\nrunning = [4e6, 4e6, 4e6]\n";
    let without = PUMP.replace(tested, "");
    let life = study(&without).answer.life.expect("the table");
    assert!(
        life.test.is_none() && life.says[0].contains("no number of a contact's life is honest")
    );
    // What `[iso13849-1]` lists is told for what it is, in no number of the answer.
    assert!(life.dangerous.is_none());
    assert!(life.says[1].contains("667 or of 13.3 years"), "{:?}", life.says);
    let stated = "b10d = { value = \"400000\", source = \"standard\", note = \"table C.1\" }\n";
    let answer = study(&PUMP.replace(tested, stated)).answer;
    let life = answer.life.as_ref().expect("the table");
    assert!(life.test.is_none() && life.says[0].contains("source: standard (table C.1)"));
    assert!(life.says[0].contains("no measurement of these contacts"));
    close(life.dangerous.as_ref().expect("told").mttfd_years, 4e6 / 300_000.0);
    let years = answer.figures.iter().find(|f| f.name == "MTTFd in years").expect("told");
    assert!((years.value.low / (4e6 / 350_000.0) - 1.0).abs() < 1e-3);
    assert!(answer.figures.iter().all(|f| !f.name.starts_with("B10")));
}

/// The example's construction: its leads by hand, an easy match, and a gap that makes it stiffer to close.
#[test]
fn law_construction_of_the_pump_relay() {
    let answer = study(PUMP).answer;
    let [made] = &answer.construction[..] else { panic!("one contact") };
    let row = |what: &str| {
        made.rows
            .iter()
            .find(|row| row.what.starts_with(what))
            .unwrap_or_else(|| panic!("no {what}"))
    };
    // 34 mm in all, 16 mm of blades 1.6 by 0.26 mm that overlap by 1.4 mm, leads of 0.6 mm; 0.44 µΩ·m.
    let leads = 0.44e-6
        * (18e-3 / (std::f64::consts::PI * 0.3e-3f64.powi(2)) + 15.3e-3 / (1.6e-3 * 0.26e-3));
    assert!((row("lead resistance").value / (1e3 * leads) - 1.0).abs() < 1e-6, "{leads}");
    // Paschen in nitrogen at 0.8 bar over 70 µm: A 11.8, B 325, γ 0.01.
    let pd = 0.8e5 * 70e-6 / (101_325.0 / 760.0 * 0.01);
    let volts = 325.0 * pd / (11.8 * pd / 101f64.ln()).ln();
    assert!((row("stand-off").value / volts - 1.0).abs() < 1e-6);
    assert!(row("stand-off").low < volts && volts < row("stand-off").high);
    // Lamé: 155 GPa and 0.3 in 62.5 GPa and 0.215, expansions 10.3 and 9.05 ppm/K.
    let mismatch = row("mismatch").value * 1e-6;
    let stress = mismatch / (0.7 / 155e9 + 1.215 / 62.5e9);
    assert!((1e6 * row("radial stress").value / stress - 1.0).abs() < 1e-6, "{stress}");
    let cooling = mismatch / (10.3e-6 - 9.05e-6);
    // From 420 °C to the middle of 0 to 35 °C.
    assert!((cooling - 402.5).abs() < 1e-6, "{cooling}");
    let figure = |name: &str| &answer.figures.iter().find(|f| f.name == name).expect(name).value;
    assert!((figure("stand-off voltage of relay").value.expect("told") / volts - 1.0).abs() < 1e-3);
    assert!(figure("stand-off voltage of relay").low < figure("stand-off voltage of relay").high);
    let worth = |of: &str| made.worth.iter().find(|worth| worth.of == of).expect(of);
    assert!(worth("gap").operate > 0.0 && worth("blade thickness").operate > 0.0);
    // Longer blades are softer, a larger gap area carries the flux thinner: overlap is near its best.
    assert!(worth("overlap").operate.abs() < 0.1 * worth("gap").operate);
    assert!(worth("contact metals together").release > 0.0);
    // The dimensions as stated; the pull of the answer's row less the spring over its way.
    assert_eq!(worth("gap").size[0], 70.0);
    assert_eq!(worth("overlap").size[0], 1400.0);
    let spring = made.spring.as_ref().expect("stated in a coil");
    close(spring.operate, 27.5);
    let way = 1e-6 * (worth("gap").size[0] - worth("contact metals together").size[0]);
    let held = 1e3 * row("stiffness that the operate value").value * way;
    close(spring.force, row("pull at operate, closed").value - held);
    // About what a gap of 70 µm makes of 27.5 AT: two thirds to twice its share.
    let share = worth("gap").operate * 70.0 / 27.5;
    assert!((0.5..2.0).contains(&share), "{share}");
}
