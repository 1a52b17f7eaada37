//! What the trade knows of reed contacts. Common practice, no source, where nothing else is said.

use crate::at_work::{LEVELS, REED, design_of, drives, places, reed, study};
use reedmace_engine::answer::{Direction, EventKind, Verdict};

const BAR: &str = "[[magnet]]\nname = \"bar\"\nshape = \"cuboid\"\n\
                   size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"1.2 T\"\n";

fn contact() -> String {
    format!("{REED}{LEVELS}")
}

fn slide(direction: &str, z: f64) -> String {
    format!(
        "{BAR}direction = {direction}\n[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
         from = [\"-60 mm\", \"0 mm\", \"{z} mm\"]\nto = [\"60 mm\", \"0 mm\", \"{z} mm\"]\n"
    )
}

#[test]
fn prop_parallel_magnet_sliding_past_closes_in_the_middle_and_beyond_each_end() {
    let answer = reed(&design_of(&contact(), &slide("[1, 0, 0]", 11.0)));
    let events = places(&answer);
    let forward: Vec<f64> = events
        .iter()
        .filter(|e| e.0 == EventKind::Operate && e.1 == Direction::Forward)
        .map(|e| e.2)
        .collect();
    assert_eq!(forward.len(), 3, "{forward:?}");
    assert!(forward[0] < -15.0 && forward[1].abs() < 15.0 && forward[2] > 15.0, "{forward:?}");
    let lobes: Vec<(usize, bool)> = answer.events.iter().map(|e| (e.lobe, e.main_lobe)).collect();
    assert!(lobes.iter().all(|(lobe, main)| *main == (*lobe == 2)), "{lobes:?}");
    let warnings = study(&design_of(&contact(), &slide("[1, 0, 0]", 11.0))).answer.warnings;
    assert!(warnings.iter().any(|w| w.code == "W0103"));
    let figures = study(&design_of(&contact(), &slide("[1, 0, 0]", 11.0))).answer.figures;
    assert!(figures.is_empty(), "a slide past is no approach: {figures:?}");
}

/// Far enough away only the middle closes it.
#[test]
fn prop_farther_away_only_the_main_lobe_closes() {
    let events = places(&reed(&design_of(&contact(), &slide("[1, 0, 0]", 18.0))));
    assert_eq!(events.iter().filter(|e| e.0 == EventKind::Operate).count(), 2);
}

/// A magnet square to the contact over its middle: as much flux one way as the other. Beside the
/// blades' plane of symmetry the null is exact.
#[test]
fn prop_a_magnet_square_to_the_contact_has_its_null_in_the_middle() {
    let across = format!("{BAR}direction = [0, 1, 0]\n");
    let along = format!("{BAR}direction = [1, 0, 0]\n");
    let places = [[0.0, 12.0, 0.0], [8.0, 12.0, 0.0], [-8.0, 12.0, 0.0]];
    let across = drives(&contact(), &across, "bar", &places);
    let along = drives(&contact(), &along, "bar", &places);
    assert!(across[0][0].abs() < 1e-9 * along[0][0].abs(), "{across:?}");
    // and a lobe of either sign beside it: two closures in a pass
    assert!((across[1][0] + across[2][0]).abs() < 1e-9 * across[1][0].abs(), "{across:?}");
    assert!(across[1][0].abs() > 0.3 * along[0][0].abs());
}

#[test]
fn prop_trimmed_leads_ask_for_more_ampere_turns() {
    let stated = "operate = \"20..25 AT\"\nrelease = \"9..14 AT\"\n\
                  coil = { length = \"25 mm\", mean_diameter = \"9.25 mm\" }\n";
    let at = |length: f64| {
        let own = REED.replace("55 mm", &format!("{length} mm"));
        let text = design_of(
            &format!("{own}calibrated_length = \"55 mm\"\n{stated}"),
            &format!(
                "{BAR}direction = [1, 0, 0]\n[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
                from = [\"0 mm\", \"0 mm\", \"60 mm\"]\nto = [\"0 mm\", \"0 mm\", \"6 mm\"]\n"
            ),
        );
        let answer = reed(&text);
        let ways = answer.conversions.clone();
        let mounted = ways.iter().rfind(|c| c.operate.unit == "AT").unwrap().operate.clone();
        let measured = ways[0].operate.clone();
        assert_eq!((measured.unit.as_str(), measured.low, measured.high), ("AT", 20.0, 25.0));
        (mounted.value.unwrap(), places(&answer)[0].2)
    };
    let trims = [55.0, 48.0, 40.0, 30.0, 22.0].map(at);
    assert!((trims[0].0 - 22.5).abs() < 1e-9, "{trims:?}");
    for pair in trims.windows(2) {
        assert!(pair[1].0 > pair[0].0, "ampere-turns: {trims:?}");
        assert!(pair[1].1 < pair[0].1, "the magnet has to come nearer: {trims:?}");
    }
}

/// Operating at 12 mm and releasing at 20 mm is a differential of 60 %.
#[test]
fn prop_differential_of_an_approach() {
    let magnet = format!("{BAR}direction = [1, 0, 0]\n");
    let d = drives(&contact(), &magnet, "bar", &[[0.0, 0.0, 12.0], [0.0, 0.0, 20.0]]);
    let own = format!(
        "{REED}coil = \"uniform\"\noperate = \"{} mT\"\nrelease = \"{} mT\"\n",
        d[0][0].abs(),
        d[1][1].abs()
    );
    for (from, to) in [(40.0, 6.0), (6.0, 40.0)] {
        let sweep = format!(
            "[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
            from = [\"0 mm\", \"0 mm\", \"{from} mm\"]\nto = [\"0 mm\", \"0 mm\", \"{to} mm\"]\n"
        );
        let figures = study(&design_of(&own, &format!("{magnet}{sweep}"))).answer.figures;
        let figure =
            |name: &str| figures.iter().find(|f| f.name == name).unwrap().value.value.unwrap();
        let (difference, ratio) =
            (figure("differential of reed"), figure("differential ratio of reed"));
        assert!((difference - 8.0).abs() < 1e-5, "{difference} mm");
        assert!((ratio - 60.0).abs() < 1e-4, "{ratio} %");
    }
}

/// A bias magnet beside the contact makes it normally closed: a magnet against it opens it.
#[test]
fn prop_bias_magnet_makes_it_normally_closed() {
    let rest = "[[magnet]]\nname = \"bias\"\nshape = \"cuboid\"\ndirection = [1, 0, 0]\n\
        size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"1.2 T\"\nat = [\"0 mm\", \"20 mm\", \"0 mm\"]\n\
        [[magnet]]\nname = \"lid\"\nshape = \"cuboid\"\ndirection = [-1, 0, 0]\n\
        size = [\"10 mm\", \"5 mm\", \"5 mm\"]\nremanence = \"1.2 T\"\n\
        [sweep]\nkind = \"line\"\nmoves = \"lid\"\n\
        from = [\"0 mm\", \"0 mm\", \"70 mm\"]\nto = [\"0 mm\", \"0 mm\", \"20 mm\"]\n\
        [[demand]]\ncontact = \"reed\"\nclosed = \">= 60 mm\"\n\
        [[demand]]\ncontact = \"reed\"\nopen = \"<= 21 mm\"\n";
    let answer = study(&design_of(&contact(), rest)).answer;
    assert!(answer.contacts[0].closed_at_start);
    let events = places(&answer.contacts[0]);
    let kinds: Vec<_> = events.iter().map(|e| (e.0, e.1)).collect();
    let expected =
        [(EventKind::Release, Direction::Forward), (EventKind::Operate, Direction::Back)];
    assert_eq!(kinds, expected);
    assert!(events[0].2 < events[1].2, "it lets go nearer than it closes again: {events:?}");
    assert!(answer.demands.iter().all(|d| d.verdict == Verdict::Met), "{:#?}", answer.demands);
}

/// Held by a bias magnet too weak to close it, it stays closed: a latch. The answer says so.
#[test]
fn prop_a_contact_that_never_opens_is_spoken_of() {
    let sweep = |from: f64| {
        format!(
            "{BAR}direction = [1, 0, 0]\n[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
            from = [\"0 mm\", \"0 mm\", \"{from} mm\"]\nto = [\"0 mm\", \"0 mm\", \"6 mm\"]\n"
        )
    };
    let codes = |from: f64| {
        let answer = study(&design_of(&contact(), &sweep(from))).answer;
        (answer.warnings.iter().any(|w| w.code == "W0111"), answer.contacts[0].events.len())
    };
    assert_eq!(codes(20.0), (true, 0), "closed all along");
    assert_eq!(codes(30.0), (true, 1), "operates, never lets go");
    assert_eq!(codes(60.0), (false, 2));
}

/// The strongest drive is the trace's highest; blades that saturate sooner pull less and lose more.
#[test]
fn prop_saturation_limits_the_contact_force() {
    let sweep = format!(
        "{BAR}direction = [1, 0, 0]\n[sweep]\nkind = \"line\"\nmoves = \"bar\"\n\
        from = [\"0 mm\", \"0 mm\", \"60 mm\"]\nto = [\"0 mm\", \"0 mm\", \"6 mm\"]\n"
    );
    let [soft, hard, never] = ["0.75 T", "1.5 T", "2.5 T"].map(|saturation| {
        let own = format!("{}saturation = \"{saturation}\"\n", contact());
        let contact = study(&design_of(&own, &sweep)).answer.contacts.remove(0);
        let highest = contact.trace.iter().map(|r| r.drive_open.abs()).fold(0.0, f64::max);
        let top = contact.strongest.expect("found");
        assert!((top.overdrive - highest / contact.operate.value.unwrap()).abs() < 1e-6);
        assert!((top.at - 6.0).abs() < 1e-9 && top.unit == "mm", "{top:?}");
        top
    });
    for (less, more) in [(&soft, &hard), (&hard, &never)] {
        assert!(less.force < more.force && less.peak < more.peak && less.taken > more.taken);
    }
    // B = J + μ0 H, and under a near magnet μ0 H is no longer small beside Js.
    assert!(soft.peak > 0.7 && soft.taken < 100.0 && never.taken > 0.0, "{soft:?}");
}

#[test]
fn prop_release_lies_beyond_operate() {
    for direction in ["[1, 0, 0]", "[-1, 0, 0]"] {
        let events = places(&reed(&design_of(&contact(), &slide(direction, 16.0))));
        let find = |kind, way| events.iter().find(|e| (e.0, e.1) == (kind, way)).unwrap().2;
        let operate = find(EventKind::Operate, Direction::Forward);
        let release = find(EventKind::Release, Direction::Back);
        assert!(release < operate, "{events:?}");
    }
}
