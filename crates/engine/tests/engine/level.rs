//! A level stem: draught, overlap, differential, what is read, slosh.

use crate::at_work::{REED, study};
use reedmace_engine::answer::{Answer, Band, EventKind, LevelAnswer};

/// Two contacts `pitch` mm apart that release at `release` mT, in a liquid of `density` kg/m³, their tank rocked.
fn stem(pitch: f64, release: f64, density: f64) -> Answer {
    let text = format!(
        "format = 1\ntitle = \"test\"\n[[contact]]\nname = \"stage\"\n{REED}\
         operate = \"0.75 mT\"\nrelease = \"{release} mT\"\ncoil = \"uniform\"\nrepeat = 2\n\
         pitch = [\"0 mm\", \"0 mm\", \"{pitch} mm\"]\nat = [\"0 mm\", \"0 mm\", \"120 mm\"]\n\
         axis = [0, 0, 1]\nnormal = [0, 1, 0]\n\
         [[magnet]]\nname = \"ring\"\nshape = \"ring\"\nouter_diameter = \"28 mm\"\n\
         inner_diameter = \"22 mm\"\nlength = \"4 mm\"\nremanence = \"0.2 T\"\ndirection = [0, 0, 1]\n\
         at = [\"0 mm\", \"0 mm\", \"20 mm\"]\n\
         [float]\nshape = \"cylinder\"\ndiameter = \"30 mm\"\nbore = \"0 mm\"\nheight = \"40 mm\"\n\
         mass = \"12 g\"\ndensity = \"{density} kg/m³\"\nlower_stop = \"0 mm\"\nupper_stop = \"400 mm\"\n\
         [tank]\nshape = \"box\"\nlength = \"1 m\"\nwidth = \"1 m\"\nheight = \"0.4 m\"\nat = \"0 mm\"\n\
         [slosh]\nacceleration = \"0.015 m/s²\"\noff_middle = \"400 mm\"\n\
         [ladder]\nreading = \"resistance\"\nfirst = \"100 Ω\"\nstep = \"50 Ω\"\n\
         [sweep]\nkind = \"level\"\nmoves = \"ring\"\nfrom = \"40 mm\"\nto = \"330 mm\"\n"
    );
    study(&text).answer
}

fn level(answer: &Answer) -> &LevelAnswer {
    answer.level.as_ref().expect("a level sweep")
}

fn figure(answer: &Answer, name: &str) -> f64 {
    let found = answer.figures.iter().find(|f| f.name == name);
    found.unwrap_or_else(|| panic!("{name}")).value.value.expect("nominal")
}

fn at(band: &Option<Band>) -> f64 {
    band.as_ref().and_then(|band| band.value).expect("the nominal unit has it")
}

/// A cylinder of 12 g and 30 mm by Archimedes, six digits.
#[test]
fn cross_draught_is_that_of_archimedes() {
    for (density, draught) in [(998.2, 17.0071), (835.0, 20.3312), (745.0, 22.7873)] {
        let answer = stem(40.0, 0.38, density);
        let told = figure(&answer, "draught");
        assert!((told / draught - 1.0).abs() < 3e-6, "{density}: {told} {draught}");
        let area = std::f64::consts::PI / 4.0 * 0.03_f64.powi(2);
        let stiffness = 1e-3 * density * 9.80665 * area;
        assert!((level(&answer).stiffness / stiffness - 1.0).abs() < 1e-9);
    }
    assert!((1e3 * level(&stem(40.0, 0.38, 998.2)).stiffness - 6.91943).abs() < 1e-5);
}

/// In a lighter liquid the float swims deeper: every switching level is higher by that.
#[test]
fn law_levels_shift_with_the_draught() {
    let [water, diesel] = [998.2, 835.0].map(|density| stem(40.0, 0.38, density));
    let shift = figure(&diesel, "draught") - figure(&water, "draught");
    for (a, b) in level(&water).stages.iter().zip(&level(&diesel).stages) {
        for (a, b) in [(&a.closes_rising, &b.closes_rising), (&a.opens_falling, &b.opens_falling)] {
            assert!((at(b) - at(a) - shift).abs() < 1e-6, "{} {} {shift}", at(a), at(b));
        }
    }
}

/// Equal contacts a pitch apart switch a pitch apart: what both are closed over is the width of one less the
/// pitch; beyond that there is a dead band as wide as what is lacking, the output's line is open there, and the
/// two outputs are those of the chain's taps.
#[test]
fn law_overlap_and_dead_band_follow_from_width_and_pitch() {
    let width = |answer: &Answer| {
        let stage = &level(answer).stages[0];
        at(&stage.opens_rising) - at(&stage.closes_rising)
    };
    let near = stem(5.0, 0.38, 998.2);
    let wide = width(&near);
    assert!(wide > 8.0, "{wide}");
    for pitch in [5.0, (wide + 6.0).round()] {
        let answer = stem(pitch, 0.38, 998.2);
        let overlap = figure(&answer, "overlap rising of stage 1 and stage 2");
        assert!((overlap - (width(&answer) - pitch)).abs() < 1e-6, "{overlap} {pitch}");
        let dead = figure(&answer, "dead band");
        let falling = figure(&answer, "overlap falling of stage 1 and stage 2");
        assert!((dead - (-overlap.min(falling)).max(0.0)).abs() < 1e-6, "{dead} {overlap}");
        let level = level(&answer);
        // Below the first contact and above the last the line is open in any case.
        let open: Vec<bool> =
            level.calibration.iter().map(|row| row.above_rising.output.is_none()).collect();
        let first = open.iter().position(|open| !open).expect("some contact closes");
        let last = open.iter().rposition(|open| !open).expect("some contact closes");
        assert_eq!(open[first..last].contains(&true), overlap < 0.0, "{:?}", level.calibration);
        assert_eq!(
            level.stages.iter().map(|s| s.output).collect::<Vec<_>>(),
            [Some(100.0), Some(150.0)]
        );
    }
}

/// Walked from row to row, the contacts that a calibration table says change are those that it says are closed.
#[test]
fn prop_a_calibration_table_reads_as_its_changes_say() {
    let answer = stem(9.0, 0.38, 998.2);
    let rows = &level(&answer).calibration;
    assert!(
        rows.windows(2)
            .all(|pair| at(&Some(pair[0].level.clone())) <= at(&Some(pair[1].level.clone())))
    );
    assert_eq!((rows[0].contact.as_ref(), rows.last().unwrap().contact.as_ref()), (None, None));
    for rising in [true, false] {
        let mut closed: Vec<String> = Vec::new();
        for row in rows {
            if let (Some(contact), true) = (&row.contact, row.rising == rising) {
                // Upwards along a pass that falls, what opens there is closed above.
                let closes = (row.kind == Some(EventKind::Operate)) == rising;
                if closes { closed.push(contact.clone()) } else { closed.retain(|c| c != contact) }
            }
            closed.sort();
            let told = if rising { &row.above_rising } else { &row.above_falling };
            assert_eq!(told.closed, closed, "rising {rising}, at {:?}", row.level);
        }
        assert!(closed.is_empty());
    }
    let tank = level(&answer).tank.as_ref().expect("a tank");
    let row = &rows[rows.len() / 2];
    // A box of a square metre holds a litre for each millimetre.
    assert!((row.volume.expect("a volume") - at(&Some(row.level.clone()))).abs() < 1e-6);
    assert!((tank.capacity - 400.0).abs() < 1e-9);
}

/// The differential as a difference of levels, and as a ratio of distances from the magnet to the contact; the
/// magnet's middle lies 20 mm above the underside of the float.
#[test]
fn law_differential_is_a_difference_and_a_ratio() {
    let answer = stem(40.0, 0.38, 998.2);
    let draught = figure(&answer, "draught");
    let stage = &level(&answer).stages[0];
    let magnet = |level: f64| level - draught + 20.0;
    let ends = [
        [at(&stage.closes_rising), at(&stage.opens_falling)],
        [at(&stage.closes_falling), at(&stage.opens_rising)],
    ];
    let least = ends.into_iter().min_by(|a, b| (a[0] - a[1]).abs().total_cmp(&(b[0] - b[1]).abs()));
    let [operate, release] = least.expect("two ends");
    let ratio = 100.0 * (magnet(operate) - 120.0).abs() / (magnet(release) - 120.0).abs();
    assert!((figure(&answer, "differential of stage 1") - (operate - release).abs()).abs() < 1e-6);
    assert!((figure(&answer, "differential ratio of stage 1") / ratio - 1.0).abs() < 1e-9);
    assert!(ratio < 100.0);
}

/// In a level sender a larger differential protects against chatter under slosh (common practice, no source):
/// a surface that swings about any mean changes a contact over and over only where it swings through both its
/// levels, and the reading has to be held the longer, the smaller the differential is.
#[test]
fn prop_a_larger_differential_protects_against_slosh() {
    let told: Vec<[f64; 4]> = [0.7, 0.55, 0.3]
        .map(|release| {
            let answer = stem(40.0, release, 998.2);
            let stage = &level(&answer).stages[0];
            let [operate, opens] = [at(&stage.closes_rising), at(&stage.opens_falling)];
            let slosh = figure(&answer, "slosh");
            let means = (0..400)
                .map(|k| opens - slosh + (operate - opens + 2.0 * slosh) * f64::from(k) / 400.0);
            let worst = means.map(|mean| changes(mean, slosh, operate, opens)).max();
            [
                figure(&answer, "least differential"),
                figure(&answer, "hold time"),
                f64::from(worst.expect("means")),
                slosh,
            ]
        })
        .to_vec();
    let slosh = told[0][3];
    assert!(told.windows(2).all(|pair| pair[1][0] > pair[0][0]), "{told:?}");
    assert!(told.windows(2).all(|pair| pair[1][1] <= pair[0][1]), "{told:?}");
    for [differential, hold, changes, _] in &told {
        let chatters = *differential < 2.0 * slosh;
        assert_eq!((*hold > 0.0, *changes > 1.0), (chatters, chatters), "{told:?}");
    }
    // The outer two are one of each kind.
    assert!(told[0][1] > 0.0 && told[2][1] == 0.0, "{told:?}");
}

/// A chain is read by the outermost two contacts that are closed: a fault that changes none of them shows nowhere,
/// and is told by its name.
#[test]
fn prop_a_fault_that_shows_nowhere_is_warned_of_by_name() {
    for pitch in [40.0, 5.0] {
        let answer = stem(pitch, 0.38, 998.2);
        let hidden: Vec<String> =
            level(&answer).hidden_faults().map(|f| f.contact.clone()).collect();
        let warning = answer.warnings.iter().find(|one| one.code == "W0501");
        assert_eq!(warning.is_some(), !hidden.is_empty(), "{pitch} {hidden:?}");
        assert!(hidden.iter().all(|name| warning.is_some_and(|w| w.message.contains(name))));
    }
    let path = format!("{}/../../designs/nutrient-tank.toml", env!("CARGO_MANIFEST_DIR"));
    let answer = study(&std::fs::read_to_string(path).expect("it is there")).answer;
    let warning = answer.warnings.iter().find(|one| one.code == "W0501").expect("one hides");
    assert!(warning.message.ends_with("`stage 16` stays closed"), "{}", warning.message);
}

/// The lowest waves are the slowest: what the stem needs is what its lowest contact needs where it changes, by
/// the frequency of [lamb1932] article 228 and the hold of a sine, and the table of the slosh tells the same.
#[test]
fn cross_hold_time_is_the_most_over_the_stem() {
    let answer = stem(150.0, 0.55, 998.2);
    let slosh = figure(&answer, "slosh");
    let lowest = at(&level(&answer).stages[0].opens_falling);
    let k = std::f64::consts::PI;
    let period = std::f64::consts::TAU / (9.80665 * k * (k * 1e-3 * lowest).tanh()).sqrt();
    let over = 1.0 - figure(&answer, "least differential") / slosh;
    let hold = period * (0.75 + over.asin() / std::f64::consts::TAU);
    assert!((figure(&answer, "hold time") / hold - 1.0).abs() < 1e-6, "{hold}");
    let table = level(&answer).slosh.iter().map(|one| one.hold).fold(0.0, f64::max);
    assert_eq!(table, figure(&answer, "hold time"));
}

/// What shakes a tank at once needs the longest hold at its lowest contact, whatever the tank: the figure, which looks
/// there alone, is the most of what the table tells of every contact.
#[test]
fn cross_the_lowest_contact_holds_longest_in_every_tank() {
    let path = format!("{}/../../designs/nutrient-tank.toml", env!("CARGO_MANIFEST_DIR"));
    let text =
        std::fs::read_to_string(path).expect("it is there").replace("repeat = 16 ", "repeat = 6 ");
    let (before, rest) = text.split_once("[tank]").expect("a tank");
    let after = &rest[rest.find("[slosh]").expect("it is shaken")..];
    for shape in [
        "shape = \"upright\"\ndiameter = \"600 mm\"\nheight = \"400 mm\"\nends = \"conical\"\ndepth = \"90 mm\"",
        "shape = \"box\"\nlength = \"500 mm\"\nwidth = \"400 mm\"\nheight = \"400 mm\"",
        "shape = \"horizontal\"\ndiameter = \"420 mm\"\nlength = \"800 mm\"",
        "shape = \"horizontal\"\ndiameter = \"420 mm\"\nlength = \"800 mm\"\nends = \"ellipsoidal\"\ndepth = \"90 mm\"",
    ] {
        let tank = format!("{before}[tank]\n{shape}\nat = \"-60 mm\"\n\n{after}");
        let answer = study(&tank).answer;
        let holds: Vec<f64> = level(&answer).slosh.iter().map(|one| one.hold).collect();
        assert!(holds.len() == 6 && holds[0] > holds[5], "{shape}: {holds:?}");
        let most = holds.into_iter().fold(0.0, f64::max);
        assert_eq!(figure(&answer, "hold time"), most, "{shape}");
    }
}

/// How often a contact changes over ten swings, after the first.
fn changes(mean: f64, swing: f64, operate: f64, release: f64) -> u32 {
    let (mut closed, mut count) = (false, 0);
    for k in 0..4000 {
        let level = mean + swing * (std::f64::consts::TAU * f64::from(k) / 400.0).sin();
        let now = if closed { level > release } else { level >= operate };
        count += u32::from(now != closed && k >= 400);
        closed = now;
    }
    count
}
