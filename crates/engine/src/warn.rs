//! What the user should know before trusting or building the answer.

use crate::answer::{
    Direction, DoorAnswer, DoorContact, Event, EventKind, FigureAnswer, LevelAnswer, Strongest,
    Warning,
};
use crate::applied::Applied;
use crate::outcome::Outcome;
use crate::realise::Workshop;
use crate::saturation;
use crate::scene::{Reed, Scene};
use crate::track::{Course, Track};
use crate::units::{Shown, millimetres};
use reedmace_contact::SaturationError;
use reedmace_design::{Contact, Demand, DemandKind, Design};
use reedmace_fields::{AnySource, Source};
use reedmace_units::format_number;

/// Share of itself by which saturation may overstate the drive at an event before it is told.
const OVERSTATED: f64 = 0.02;
/// Percent that saturation may take off the flux at the strongest before it is told.
const TAKEN: f64 = 20.0;
/// Release over operate drive above which a contact hardly has a differential. Common practice, no
/// source.
const THIN_DIFFERENTIAL: f64 = 0.9;

/// Codes of what is so of a contact whatever its levels.
pub(crate) const OF_A_BODY: &[&str] = &["W0101", "W0102", "W0109", "W0110", "W0112"];

/// A relay's coil whose wire gets hotter in some unit than its enamel stands.
pub(crate) fn of_wire(design: &Design, figures: &[FigureAnswer]) -> Option<Warning> {
    let coil = &design.coils[design.relay.as_ref()?.coil];
    let class = coil.thermal_class.is.nominal.in_celsius();
    let hottest = &figures.iter().find(|figure| figure.name == "hottest wire")?.value;
    (hottest.high > class).then(|| Warning {
        code: "W0401".into(),
        message: format!(
            "the wire of coil `{}` gets up to {} °C hot in the hottest surroundings; the thermal class of its enamel \
             is {} °C",
            coil.name,
            format_number(hottest.high, 3),
            format_number(class, 3)
        ),
        help: "take more turns of a thinner wire, a lower supply, or enamel of a higher class and state its \
               `thermal_class`"
            .into(),
    })
}

/// Contacts of an open door that do not come back to what they show there.
pub(crate) fn of_open_door(door: &DoorAnswer) -> Vec<Warning> {
    let lost = door.contacts.iter().filter(|contact| contact.room.low < 0.0);
    let help = |contact: &DoorContact| match contact.closed_when_open {
        true => {
            "it then misses what it watches for: bring its bias nearer or take a stronger one, or choose a more \
             sensitive contact"
        }
        false => {
            "the open door then shows as shut: move other magnets away from this contact or take weaker ones, let \
             the door's own go farther, or choose a contact with a higher release"
        }
    };
    let warning = |contact: &DoorContact| Warning {
        code: "W0115".into(),
        message: contact.comes_back.clone(),
        help: help(contact).into(),
    };
    lost.map(warning).collect()
}

/// Contacts of a level stem whose fault no output shows: the reading is then wrong and looks sound.
pub(crate) fn of_faults(level: &LevelAnswer) -> Option<Warning> {
    let hidden: Vec<String> = level
        .hidden_faults()
        .map(|fault| {
            let fails = if fault.stays_closed { "stays closed" } else { "never closes" };
            format!("`{}` {fails}", fault.contact)
        })
        .collect();
    (!hidden.is_empty()).then(|| Warning {
        code: "W0501".into(),
        message: format!("a single fault shows nowhere at the output: {}", hidden.join(", ")),
        help: "the output is the same at every level of the sweep as that of a sound stem: check this contact by \
               another sensor, or move the ends of the sweep so that the output differs somewhere"
            .into(),
    })
}

/// Contacts of a relay whose blades are known but whose times are not told: those that break or change over, and those
/// that a magnet holds.
pub(crate) fn of_times(design: &Design, applied: &Applied, courses: &[Course]) -> Vec<Warning> {
    let Some(relay) = &applied.relay else { return Vec::new() };
    let moved = (design.contacts.iter().enumerate())
        .filter(|(_, contact)| contact.construction.alloy.is_some());
    let (makes, others): (Vec<_>, Vec<_>) = moved.partition(|(k, _)| design.is_timed(*k));
    let held = makes.into_iter().filter(|(k, _)| relay.is_held(&courses[*k])).collect();
    let of = |contacts: Vec<(usize, &Contact)>, why: &str| {
        let names: Vec<&str> = contacts.iter().map(|(_, contact)| contact.name.as_str()).collect();
        (!names.is_empty()).then(|| Warning {
            code: "W0402".into(),
            message: format!(
                "no operate, bounce, release and transfer times are told of `{}`: {why}",
                names.join("`, `")
            ),
            help: "measure them; voltages and currents at which it operates and releases are told"
                .into(),
        })
    };
    let sided = "the blade between its sides takes another time as its length and the spring of the fixed side, which \
                 follows it as it leaves, have it, and the design states neither";
    let taken =
        "it opens as the coil takes the field of a magnet off it, which is not followed over time";
    of(others, sided).into_iter().chain(of(held, taken)).collect()
}

/// Warnings about one contact.
pub(crate) fn of_contact(
    workshop: &Workshop,
    scene: &Scene,
    outcome: &Outcome,
    track: &Track,
    events: &[Event],
    strongest: Result<Option<&Strongest>, SaturationError>,
    contact: usize,
) -> Vec<Warning> {
    let design = &workshop.design.contacts[contact];
    let (course, reed) = (&outcome.courses[contact], &scene.reeds[contact]);
    let name = &design.name;
    let mut warnings = Vec::new();
    let mut warn = |code: &str, message: String, help: &str| {
        warnings.push(Warning { code: code.into(), message, help: help.into() });
    };
    let shown = Shown::of(&workshop.design);
    let percent = |share: f64| format_number(100.0 * share.abs(), 2);
    match (saturation::overstated(workshop, scene, course, contact), strongest) {
        (Err(why), _) | (_, Err(why)) => warn(
            "W0112",
            format!("what saturation does to `{name}` is not known: {why}"),
            "check that no source touches the contact; drives and events are those of linear iron",
        ),
        (Ok(Some((over, at))), _) if over.abs() > OVERSTATED => warn(
            "W0101",
            format!(
                "the drive of `{name}` is told {} where it operates or releases at {}: its blades saturate \
                 {} there than in the coil that operate and release are stated in",
                match over {
                    // Saturating iron leaves next to nothing of it: a ratio says no more.
                    over if over > 1.0 => "more than twice as high as it is".into(),
                    over if over > 0.0 => format!("{} % too high", percent(over)),
                    over => format!("{} % too low", percent(over)),
                },
                shown.place(at),
                if over > 0.0 { "more" } else { "less" },
            ),
            match workshop.design.magnets.len() {
                0 => {
                    "leave that much room at the events, or state operate and release as measured in a coil like \
                     this one (`coil`)"
                }
                _ => {
                    "leave that much room at the events, or take a weaker magnet nearer to the middle of the \
                     contact, which drives the leads less"
                }
            },
        ),
        (Ok(_), Ok(Some(top))) if top.taken > TAKEN => warn(
            "W0110",
            format!(
                "the blades of `{name}` saturate where the drive is strongest: {} % of the flux across the gap \
                 is lost, so that a stronger magnet or coil hardly presses them harder together; where it operates \
                 and releases they do not, and events hold",
                format_number(top.taken, 2)
            ),
            "if the contact force, which is told with saturation, is enough, nothing need be done: a weaker magnet \
             or a greater distance serves as well; if not, choose a contact with thicker blades",
        ),
        _ => (),
    }
    if let Some((gap, c)) = nearest(scene, design, contact, track)
        && gap < 0.0
    {
        warn(
            "W0102",
            format!(
                "a magnet reaches {} mm into the {} of `{name}` at {}",
                format_number(millimetres(-gap), 3),
                if design.glass_diameter.is_some() { "glass" } else { "blades" },
                shown.place(c)
            ),
            "move the path outward, or shorten it",
        );
    }
    let forward = course.operations(Direction::Forward);
    let wanted = |d: &Demand| {
        d.contact == Some(contact)
            && matches!(d.kind, DemandKind::Closures(n) if n > 1 && n as usize == course.closures(Direction::Forward))
    };
    let as_wanted = scene.motion.is_periodic() || workshop.design.demands.iter().any(wanted);
    if forward > 1 && !as_wanted {
        warn(
            "W0103",
            format!("`{name}` operates {forward} times in one pass: side lobes close it again"),
            "if one closure is wanted, pass at a greater distance, turn the magnet, or choose a less \
             sensitive contact; a demand `closures = 1` keeps watch",
        );
    } else if forward == 1 && !scene.motion.is_periodic() {
        let strongest_other = outcome.peaks[contact]
            .iter()
            .enumerate()
            .filter(|(k, _)| Some(*k) != course.main_lobe())
            .map(|(_, p)| *p)
            .fold(0.0, f64::max);
        let held = workshop.design.latch.is_some() || reed.steady[0].abs() >= reed.operate;
        if held {
            let against = against_bias(course, reed);
            if against > 0.7 {
                warn(
                    "W0114",
                    format!(
                        "what takes the bias off `{name}` drives it to {} % of operate the other way round",
                        format_number(100.0 * against, 2)
                    ),
                    "from 100 % on it closes again: use a weaker magnet or pulse, or end its way sooner",
                );
            }
        } else if strongest_other > 0.7 {
            warn(
                "W0104",
                format!(
                    "a side lobe of the drive on `{name}` reaches {} % of its operate level",
                    format_number(100.0 * strongest_other, 2)
                ),
                "a stronger magnet, a closer pass or a more sensitive contact closes it twice",
            );
        }
    }
    if forward == 0 && !course.operated_at_start() {
        let best = outcome.peaks[contact].iter().copied().fold(0.0, f64::max);
        warn(
            "W0105",
            format!(
                "`{name}` never operates: the drive reaches {} % of its operate level",
                format_number(100.0 * best, 2)
            ),
            "come closer, use a stronger magnet or more ampere-turns, or a more sensitive contact; \
             check the directions of magnet and contact",
        );
    }
    let released = course.events.iter().any(|e| e.kind == EventKind::Release);
    if !released && (forward > 0 || course.operated_at_start()) {
        let held = track.drive.iter().map(|d| d.closed.abs()).fold(f64::INFINITY, f64::min);
        let held = format_number(100.0 * held / reed.release, 3);
        let how =
            if forward > 0 { "does not release once operated" } else { "is operated all along" };
        warn(
            "W0111",
            format!(
                "`{name}` {how}: along the sweep its drive falls to {held} % of its release level at \
                 the lowest"
            ),
            "if it is meant to release, take what moves farther away, use a weaker magnet or set several \
             farther apart, or choose a contact with a higher release level",
        );
    }
    if released && workshop.design.latch.is_none() && course.comes_back_changed() {
        warn(
            "W0113",
            format!(
                "`{name}` has operated where it comes back to, and had not where it began: its drive is {} % of \
                 operate and {} % of release there",
                format_number(100.0 * course.ends[0][0].abs(), 3),
                format_number(100.0 * course.ends[0][1].abs(), 3)
            ),
            "if it is meant to remember, state [latch], else start the sweep farther away",
        );
    }
    if course.chatters {
        warn(
            "W0106",
            format!("`{name}` does not hold where it operates: its release level is not below"),
            "check the operate and release values; they must be of one contact and one coil",
        );
    } else if reed.release > THIN_DIFFERENTIAL * reed.operate {
        warn(
            "W0107",
            format!(
                "the differential of `{name}` is small: release at {} % of operate",
                format_number(100.0 * reed.release / reed.operate, 3)
            ),
            "vibration or a slow approach can make it chatter; choose a contact with a lower release",
        );
    }
    for event in events {
        if !event.monotone {
            warn(
                "W0108",
                format!(
                    "an event of `{name}` at {} {} turns round between the values tried of a quantity",
                    event.at.value.map_or("?".into(), |v| format_number(v, 4)),
                    event.at.unit
                ),
                "its limits were searched with the inner values too, but a worse place between the \
                 values tried cannot be ruled out",
            );
            break;
        }
    }
    if let Some(limit) = outside_validation(design) {
        warn(
            "W0109",
            format!("{limit} of `{name}` is outside the range the circuit was checked over"),
            "the 1 % accuracy is not proven there; compare with a measurement or a finite-element run",
        );
    }
    warnings
}

/// Highest drive of a contact against its bias, over its operate level.
fn against_bias(course: &Course, reed: &Reed) -> f64 {
    let bias = reed.steady[0].signum();
    let against = course.lobes.iter().filter(|lobe| lobe.sign != bias);
    against.map(|lobe| lobe.peak).fold(0.0, f64::max) / reed.operate
}

/// Least distance between any magnet and the glass (or, if not stated, the blades) along the sweep,
/// and the coordinate of it; negative where they overlap.
pub(crate) fn nearest(
    scene: &Scene,
    design: &Contact,
    contact: usize,
    track: &Track,
) -> Option<(f64, f64)> {
    let (half, radius) = match (&design.glass_length, &design.glass_diameter) {
        (Some(length), Some(diameter)) => (0.5 * length.si(), 0.5 * diameter.si()),
        _ => (0.5 * design.blade_span.si(), 0.5 * design.blade_width.si()),
    };
    let step = (track.at.len() / 64).max(1);
    let places = track.at.iter().step_by(step).chain(track.at.last());
    places
        .map(|&c| {
            let gap = scene
                .sources_at(contact, c)
                .filter(|(_, s)| matches!(s.source, AnySource::Magnet(_)))
                .flat_map(|(_, s)| {
                    (0..=32).map(move |k| s.clearance([half * (k as f64 / 16.0 - 1.0), 0.0, 0.0]))
                })
                .fold(f64::INFINITY, f64::min);
            (gap - radius, c)
        })
        .filter(|(gap, _)| gap.is_finite())
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// The first property of the contact outside what finite elements have covered.
fn outside_validation(contact: &Contact) -> Option<&'static str> {
    let gap_over_thickness = contact.gap.si() / contact.blade_thickness.si();
    let overlap_over_width = contact.overlap.si() / contact.blade_width.si();
    let slenderness = contact.overall_length.si() / contact.lead_diameter.si();
    if contact.permeability.si() < 500.0 {
        Some("the permeability")
    } else if !(0.01..=0.6).contains(&gap_over_thickness) {
        Some("the gap over the blade thickness")
    } else if !(0.2..=3.0).contains(&overlap_over_width) {
        Some("the overlap over the blade width")
    } else if slenderness < 15.0 {
        Some("the slenderness")
    } else {
        None
    }
}
