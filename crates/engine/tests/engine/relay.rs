//! Coils wound of a wire, driven by a voltage.

use crate::at_work::study;
use reedmace_engine::answer::{Answer, Bound, Direction, Event, EventKind, FigureAnswer};
use std::f64::consts::PI;

/// One contact in one coil, nothing toleranced.
const EXACT: &str = r#"
format = 1
title = "Relay"

[[contact]]
name = "contact"
family = "watermint"
operate = "12 AT"
release = "6 AT"
overall_length = "24 mm"

[[coil]]
name = "coil"
bobbin = { inner_diameter = "3.2 mm", length = "9 mm", window = "1.7 mm" }
wire = "0.05 mm grade 1"
wire_overall = "0.058 mm"
lay = "layered"
turns = 2400
thermal_resistance = "150 K/W"

[sweep]
kind = "voltage"
coil = "coil"
from = "0 V"
to = "9 V"

[relay]
supply = "5 V"

[surroundings]
temperature = "20 °C"
"#;

fn figure<'a>(answer: &'a Answer, name: &str) -> &'a FigureAnswer {
    answer.figures.iter().find(|f| f.name == name).unwrap_or_else(|| panic!("no {name}"))
}

fn nominal(answer: &Answer, name: &str) -> f64 {
    figure(answer, name).value.value.expect("the nominal relay has it")
}

fn event(answer: &Answer, kind: EventKind) -> &Event {
    answer.contacts[0].events.iter().find(|e| e.kind == kind).expect("it happens")
}

fn at(answer: &Answer, kind: EventKind) -> f64 {
    event(answer, kind).at.value.expect("nominal")
}

/// Events lie within 1e-9 of the path, here some volts of ten.
const PLACED: f64 = 2e-8;

fn close(found: f64, wanted: f64, within: f64) {
    assert!((found / wanted - 1.0).abs() < within, "{found}, not {wanted}");
}

/// Turns of 154.67 a layer, worked out layer by layer beside the evened winding; copper at 1/58 Ω·mm²/m.
#[test]
fn cross_winding_by_hand() {
    let answer = study(EXACT).answer;
    let (mut left, mut layer, mut length) = (2400.0f64, 0, 0.0);
    while left > 0.0 {
        let here = left.min(155.0);
        length += here * PI * (3.2 + 0.058 * f64::from(1 + 2 * layer));
        (left, layer) = (left - here, layer + 1);
    }
    let ohm = length * 1e-3 / 58.0 / (PI / 4.0 * 0.05f64.powi(2));
    close(nominal(&answer, "wire length of coil"), length * 1e-3, 1e-3);
    close(nominal(&answer, "resistance of coil"), ohm, 1e-3);
    close(
        nominal(&answer, "wire mass of coil"),
        length * PI / 4.0 * 0.05f64.powi(2) * 8.89e-3,
        1e-3,
    );
    let whole = 3.2 + 2.0 * 0.058 * f64::from(layer);
    let outer = nominal(&answer, "outer diameter of coil");
    assert!(outer < whole && outer > whole - 0.116, "{outer} of {whole}");
    close(nominal(&answer, "room above of coil"), 1.7 - 0.5 * (outer - 3.2), 1e-9);
}

/// A coil of the same section with its diameters stated makes the same field.
#[test]
fn law_the_wound_section_is_the_source() {
    let wound = study(EXACT).answer;
    let (outer, ohm) =
        (nominal(&wound, "outer diameter of coil"), nominal(&wound, "resistance of coil"));
    let (start, end) = (EXACT.find("bobbin =").unwrap(), EXACT.find("turns =").unwrap());
    let stated = format!(
        "length = \"9 mm\"\ninner_diameter = \"3.2 mm\"\nouter_diameter = \"{outer} mm\"\nresistance = \"{ohm} Ω\"\n"
    );
    let stated = study(&[&EXACT[..start], &stated, &EXACT[end..]].concat()).answer;
    for kind in [EventKind::Operate, EventKind::Release] {
        close(at(&stated, kind), at(&wound, kind), PLACED);
    }
}

/// The same ampere-turns by a voltage and by a current; copper and its own heat between them.
#[test]
fn law_voltage_is_current_times_warm_resistance() {
    let current = EXACT
        .replace("kind = \"voltage\"", "kind = \"current\"")
        .replace("\"0 V\"", "\"0 mA\"")
        .replace("to = \"9 V\"", "to = \"20 mA\"");
    let amperes = at(&study(&current).answer, EventKind::Operate) * 1e-3;
    let cold = study(EXACT).answer;
    let ohm = nominal(&cold, "resistance of coil");
    close(at(&cold, EventKind::Operate), amperes * ohm, PLACED);
    for kelvin in [-40.0, 35.0, 85.0] {
        let there =
            EXACT.replace("temperature = \"20 °C\"", &format!("temperature = \"{kelvin} °C\""));
        let factor = 1.0 + 0.00393 * (kelvin - 20.0);
        close(at(&study(&there).answer, EventKind::Operate), amperes * ohm * factor, PLACED);
        // Warmed through by 5 V: the rise is 150 K/W of what the warm coil takes, and there is one such rise.
        let warmed = there.replace("to = \"9 V\"", "to = \"12 V\"\nwarmed_by = \"5 V\"");
        let volts = at(&study(&warmed).answer, EventKind::Operate);
        let hot = volts / amperes;
        let rise = (hot / ohm - 1.0) / 0.00393 + 20.0 - kelvin;
        // The rise is what little the resistance has grown by.
        close(rise, 150.0 * 25.0 / hot, 1e-6);
    }
}

/// In the surroundings that are told as the hottest, the warmed coil operates at its very supply.
#[test]
fn law_hottest_surroundings_are_where_the_supply_just_serves() {
    let weak = EXACT.replace("supply = \"5 V\"", "supply = \"2.4 V\"");
    let hottest = nominal(&study(&weak).answer, "hottest surroundings of contact");
    let there = weak
        .replace("temperature = \"20 °C\"", &format!("temperature = \"{hottest} °C\""))
        .replace("to = \"9 V\"", "to = \"9 V\"\nwarmed_by = \"2.4 V\"");
    let answer = study(&there).answer;
    close(at(&answer, EventKind::Operate), 2.4, PLACED);
    close(nominal(&answer, "operate voltage hot, warmed of contact"), 2.4, PLACED);
    // By iteration: the wire is as much hotter as 150 K/W make of what it takes.
    let ohm = nominal(&answer, "resistance of coil");
    let warm = (0..100)
        .fold(ohm, |hot, _| ohm * (1.0 + 0.00393 * (hottest - 20.0 + 150.0 * 2.4 * 2.4 / hot)));
    close(nominal(&answer, "operate voltage at 20 °C of contact"), 2.4 * ohm / warm, PLACED);
}

/// Temperature, wire and bobbin move the events as all other quantities do.
#[test]
fn prop_temperature_wire_and_bobbin_flow_through() {
    let text = EXACT
        .replace("temperature = \"20 °C\"", "temperature = \"-20..60 °C\"")
        .replace("wire_overall = \"0.058 mm\"", "wire_diameter = \"0.050 ± 0.001 mm\"")
        .replace("inner_diameter = \"3.2 mm\"", "inner_diameter = \"3.2 ± 0.1 mm\"")
        .replace("turns = 2400", "turns = \"2400 ± 10\"");
    let answer = study(&text).answer;
    let operate = event(&answer, EventKind::Operate);
    let drivers: Vec<&str> = operate.drivers.iter().map(|d| d.path.as_str()).collect();
    for path in [
        "surroundings.temperature",
        "coil[coil].wire_diameter",
        "coil[coil].bobbin.inner_diameter",
        "coil[coil].wire_overall",
        "coil[coil].turns",
    ] {
        assert!(drivers.contains(&path), "{path} is not among {drivers:?}");
    }
    let [low, high] = [-20.0, 60.0].map(|t| 1.0 + 0.00393 * (t - 20.0));
    let band = &operate.at;
    // More than temperature alone makes, and wire of 2 % less diameter has 4 % more resistance.
    let alone = high / low;
    assert!(band.high / band.low > alone * 1.07 && band.high / band.low < alone * 1.2, "{band:?}");
    // What is told at 20 °C does not see the temperature of the surroundings.
    let at_20 = figure(&answer, "operate voltage at 20 °C of contact");
    assert!(at_20.drivers.iter().all(|d| d.path != "surroundings.temperature"), "{at_20:?}");
    let hot = figure(&answer, "operate voltage hot of contact");
    close(hot.value.high, at_20.value.high * high, PLACED);
}

/// A stated resistance is the coil's, and as many turns are wound as it takes.
#[test]
fn prop_turns_follow_from_the_resistance() {
    let answer = study(EXACT).answer;
    let ohm = nominal(&answer, "resistance of coil");
    let text = EXACT.replace("turns = 2400", &format!("resistance = \"{ohm} Ω ± 10 %\""));
    let wound = study(&text).answer;
    close(at(&wound, EventKind::Operate), at(&answer, EventKind::Operate), 2e-3);
    let stated = &figure(&wound, "resistance of coil").value;
    close(stated.high / stated.low, 1.1 / 0.9, 1e-9);
    close(event(&wound, EventKind::Operate).at.high, 1.1 * at(&wound, EventKind::Operate), PLACED);
}

/// Two contacts side by side in one coil, the second so many ampere-turns less sensitive.
fn pair(first: &str) -> String {
    let other = "[[contact]]\nname = \"other\"\nfamily = \"watermint\"\noperate = \"14 AT\"\nrelease = \"6 AT\"\n\
                 overall_length = \"24 mm\"\nat = [\"0 mm\", \"1.1 mm\", \"0 mm\"]\n\n[[coil]]";
    EXACT
        .replace("operate = \"12 AT\"", &format!("operate = \"{first}\""))
        .replace(
            "overall_length = \"24 mm\"",
            "overall_length = \"24 mm\"\nat = [\"0 mm\", \"-1.1 mm\", \"0 mm\"]",
        )
        .replace("inner_diameter = \"3.2 mm\"", "inner_diameter = \"5 mm\"")
        .replace("to = \"9 V\"", "to = \"30 V\"")
        .replacen("[[coil]]", other, 1)
}

/// A neighbour takes flux, and a closed one more: what closes second waits for it, what opens first is let go.
#[test]
fn prop_a_contact_waits_for_what_its_neighbour_takes() {
    let operate = |text: &str, contact: usize| {
        let answer = study(text).answer;
        let events = &answer.contacts[contact].events;
        let first = events.iter().find(|e| e.kind == EventKind::Operate).expect("it closes");
        first.at.value.expect("nominal")
    };
    let text = pair("12 AT");
    let (start, end) =
        (text.find("[[contact]]").unwrap(), text.find("[[contact]]\nname = \"other\"").unwrap());
    let alone = operate(&[&text[..start], &text[end..]].concat(), 0);
    let beside_open = operate(&pair("60 AT"), 1);
    let beside_closed = operate(&text, 1);
    assert!(beside_open > 1.1 * alone, "{alone} V alone, {beside_open} V beside an open one");
    assert!(beside_closed > 1.02 * beside_open, "{beside_open} V, then {beside_closed} V");
    // The more sensitive one closes while its neighbour is open.
    assert!(operate(&text, 0) < beside_closed);
}

/// What a demand on a share of many units is counted on: exact units, walked together.
#[test]
fn prop_tolerances_of_one_contact_move_its_neighbour() {
    let text = pair("12 AT").replace("operate = \"12 AT\"", "operate = \"12 ± 1 AT\"");
    let answer = study(&text).answer;
    let other = answer.contacts[1].events.iter().find(|e| e.kind == EventKind::Release).unwrap();
    let first = answer.contacts[0].events.iter().find(|e| e.kind == EventKind::Operate).unwrap();
    assert!(first.drivers.iter().any(|d| d.path == "contact[contact].operate"), "{first:?}");
    assert!(other.at.high - other.at.low < 1e-6, "its release does not depend on that: {other:?}");
    let either = pair("14 AT").replace("operate = \"14 AT\"", "operate = \"14 ± 1 AT\"");
    let answer = study(&either).answer;
    let operate = answer.contacts[1].events.iter().find(|e| e.kind == EventKind::Operate).unwrap();
    let drivers: Vec<&str> = operate.drivers.iter().map(|d| d.path.as_str()).collect();
    assert!(drivers.contains(&"contact[contact].operate"), "whichever closes first: {drivers:?}");
}

/// The same relay with blades of a known alloy.
fn moving(suppression: &str) -> String {
    let text = EXACT.replace(
        "overall_length = \"24 mm\"",
        "overall_length = \"24 mm\"\nalloy = \"Nickel-iron 52\"\nrestitution = \"0.3..0.6\"",
    );
    text.replace("supply = \"5 V\"", &format!("supply = \"5 V\"\n{suppression}"))
}

/// Times between what the coil alone takes and that with some swings of the blades; release as a clamp's closed
/// form with the inductance of the closed contact.
#[test]
fn cross_times_of_a_relay() {
    let answer = study(&moving("suppression = \"diode\"")).answer;
    let timing = answer.timing.as_ref().expect("it moves");
    let [one] = &timing.contacts[..] else { panic!("one contact") };
    let [operate, release] =
        [EventKind::Operate, EventKind::Release].map(|kind| at(&answer, kind) / 5.0);
    let ohms = 5.0 / (1e-3 * nominal(&answer, "coil current"));
    let coil = |time: f64, millihenries: f64| 1e-3 * millihenries / ohms * time;
    // Until the current would operate it at rest, with the least inductance on the way.
    let least = coil(-(1.0 - operate).ln(), timing.open_inductance);
    let period = 1.0 / one.frequency;
    let found = 1e-3 * one.operate;
    assert!(found > least && found < least + 3.0 * period, "{found} from {least} {period}");
    // V/R at the start, 0.7 V against it.
    let share = 0.7 / 5.0;
    let law = coil(((1.0 + share) / (release + share)).ln(), timing.closed_inductance);
    close(1e-3 * one.release, law, 5e-3);
    close(1e-3 * one.release, nominal(&answer, "release time of contact") * 1e-3, 1e-3);
    close(one.operate, nominal(&answer, "operate time of contact"), 1e-3);
    assert!(timing.closed_inductance > timing.open_inductance);
    assert!(one.bounce[0] < one.bounce[1] && one.bounce[1] < one.bounce[2]);
    let bounce = &figure(&answer, "bounce time of contact").value;
    close(bounce.low, one.bounce[0], 1e-3);
    close(bounce.high, one.bounce[2], 1e-3);
    // Its series end where the words say.
    let gap = &one.closing.gap;
    assert!(gap[0] > 24.0 && *gap.last().expect("some") < 6.0, "{gap:?}");
    assert!(*one.opening.gap.last().expect("some") > 15.0);
}

/// The higher the voltage against the current, the sooner; a resistor that is stated is that one.
#[test]
fn prop_suppression_costs_release_time() {
    let answer =
        study(&moving("suppression = \"resistor\"\nsuppression_resistance = \"1 kΩ\"")).answer;
    let timing = answer.timing.as_ref().expect("it moves");
    let row = |kind: &str| timing.suppressions.iter().find(|row| row.kind == kind).expect("told");
    assert_eq!(row("none").release, 0.0);
    assert!(row("none").peak.is_none());
    assert!(row("zener").release < row("resistor").release);
    assert!(row("resistor").release < row("diode").release);
    assert!(row("diode").release < row("rc").release);
    assert!(row("resistor").stated && row("resistor").parts.contains("1"));
    close(row("resistor").standing, 25.0, 1e-6);
    close(row("resistor").release, timing.contacts[0].release, 1e-9);
    close(row("diode").peak.expect("bounded"), 5.7, 1e-9);
}

/// Without an alloy nothing is told of the motion.
#[test]
fn prop_no_alloy_no_times() {
    assert!(study(EXACT).answer.timing.is_none());
}

/// Copper's straight law and 150 K/W by iteration, beside what is told of the wire; looked at no further than its class.
#[test]
fn cross_the_wire_ends_what_is_looked_at() {
    let of = |text: &str| {
        let answer = study(text).answer;
        let told = figure(&answer, "hottest surroundings of contact").clone();
        (answer, told)
    };
    let (answer, ample) = of(EXACT);
    assert_eq!(ample.value.value, Some(155.0));
    let end = ample.ends.iter().find(|end| end.upper).expect("an end");
    assert_eq!(end.at, 155.0);
    assert!(answer.warnings.iter().all(|one| one.code != "W0401"));
    // Far hotter by the formula alone: the supply is more than twice what it takes at 20 °C.
    assert!(nominal(&answer, "operate voltage at 20 °C of contact") < 2.5);
    let (_, other) = of(&EXACT.replace("turns = 2400", "turns = 2400\nthermal_class = \"130 °C\""));
    assert_eq!(other.value.value, Some(130.0));
    let (_, never) = of(&EXACT.replace("supply = \"5 V\"", "supply = \"0.1 V\""));
    let end = never.ends.iter().find(|end| !end.upper).expect("an end");
    assert_eq!(never.value.value, Some(end.at));
    let hot = EXACT.replace("temperature = \"20 °C\"", "temperature = \"20..150 °C\"");
    let (answer, _) = of(&hot);
    let ohm = nominal(&answer, "resistance of coil");
    let wire = (0..200)
        .fold(150.0, |wire, _| 150.0 + 150.0 * 25.0 / (ohm * (1.0 + 0.00393 * (wire - 20.0))));
    close(nominal(&answer, "hottest wire"), wire, 1e-6);
    assert_eq!(wire > 155.0, answer.warnings.iter().any(|one| one.code == "W0401"), "{wire}");
    assert!(wire > 155.0);
}

/// The room of a demand on a figure that ended where the looking did is at least, or at most, what is told.
#[test]
fn prop_room_to_an_end_is_a_bound() {
    let of = |supply: &str, within: &str| {
        let demand = format!(
            "[[demand]]\nfigure = \"hottest surroundings of contact\"\nwithin = \"{within}\"\n\n[surroundings]"
        );
        let text = EXACT.replace("supply = \"5 V\"", &format!("supply = \"{supply}\""));
        let demand = study(&text.replace("[surroundings]", &demand)).answer.demands.remove(0);
        (demand.margin_nominal.expect("a room"), demand.margin_nominal_bound, demand.reason)
    };
    // It operates up to the wire's class, 155 °C, and nothing above was looked at.
    let (room, bound, reason) = of("5 V", ">= 100 °C");
    assert_eq!((room, bound), (55.0, Some(Bound::AtLeast)));
    assert!(reason.starts_with("at least 55"), "{reason}");
    assert_eq!(of("5 V", "<= 170 °C").1, Some(Bound::AtMost));
    // At no temperature looked at.
    let (room, bound, reason) = of("0.1 V", ">= 60 °C");
    assert_eq!((room, bound), (-260.0, Some(Bound::AtMost)));
    assert!(reason.starts_with("at least 260"), "{reason}");
    // A number between the ends is one.
    let answer = study(EXACT).answer;
    let supply = 1.2 * nominal(&answer, "operate voltage at 20 °C of contact");
    assert_eq!(of(&format!("{supply:.3} V"), ">= 0 °C").1, None);
}

/// Of contacts that break and change over voltages are told, at their own events, and no times: a warning says so.
/// Operate and release are those of the relay, `[iec61810-1]`: a contact that breaks opens as it operates.
#[test]
fn prop_no_times_of_what_breaks_or_changes_over() {
    for form in ["B", "C"] {
        let text = moving("")
            .replace("release = \"6 AT\"", &format!("release = \"6 AT\"\nform = \"{form}\""));
        let answer = study(&text).answer;
        assert!(answer.timing.is_none());
        assert!(answer.figures.iter().all(|one| !one.name.starts_with("operate time")));
        let warning = answer.warnings.iter().find(|one| one.code == "W0402").expect("a note");
        assert!(warning.message.contains("`contact`"), "{warning:?}");
        assert!(warning.message.contains("length"), "{warning:?}");
        for contact in &answer.contacts {
            let event = |kind| contact.events.iter().find(|e| e.kind == kind).expect("it happens");
            for (kind, what) in [(EventKind::Operate, "operate"), (EventKind::Release, "release")] {
                let name = format!("{what} voltage at 20 °C of {}", contact.name);
                close(nominal(&answer, &name), event(kind).at.value.expect("nominal"), PLACED);
            }
        }
        assert_eq!(answer.contacts.len(), if form == "C" { 2 } else { 1 });
        assert_eq!(warning.message.contains("`contact NC`"), form == "C");
    }
    assert!(study(&moving("")).answer.warnings.iter().all(|one| one.code != "W0402"));
}

/// A contact that a magnet holds closed operates where the coil takes that off, and is back where it closes again.
#[test]
fn prop_a_held_contact_operates_by_opening() {
    let text = r#"
format = 1
title = "Held"

[[contact]]
name = "contact"
family = "flag"
alloy = "Nickel-iron 52"
axis = [1, 0, 0]
normal = [0, 0, 1]

[[magnet]]
name = "bias"
shape = "cuboid"
size = ["10 mm", "3 mm", "3 mm"]
grade = "NdFeB 240/80"
direction = [1, 0, 0]
at = ["0 mm", "0 mm", "-11 mm"]

[[coil]]
name = "coil"
length = "12 mm"
inner_diameter = "4 mm"
outer_diameter = "8 mm"
turns = 1000
resistance = "100 Ω"
axis = [1, 0, 0]

[sweep]
kind = "voltage"
coil = "coil"
from = "0 V"
to = "4 V"

[relay]
supply = "5 V"

[surroundings]
temperature = "20 °C"
"#;
    let answer = study(text).answer;
    let at = |kind: EventKind, direction: Direction| {
        let of = |e: &&Event| e.kind == kind && e.direction == direction;
        answer.contacts[0].events.iter().find(of).and_then(|e| e.at.value).expect("it happens")
    };
    let (opens, closes) =
        (at(EventKind::Release, Direction::Forward), at(EventKind::Operate, Direction::Back));
    assert!(opens > closes && closes > 0.0, "{opens} {closes}");
    close(nominal(&answer, "operate voltage at 20 °C of contact"), opens, PLACED);
    close(nominal(&answer, "release voltage at 20 °C of contact"), closes, PLACED);
    assert!(answer.timing.is_none());
    let told: Vec<_> = answer.warnings.iter().filter(|one| one.code == "W0402").collect();
    assert!(told.len() == 1 && told[0].message.contains("field of a magnet"), "{told:?}");
}
