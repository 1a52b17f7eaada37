//! Which models make the numbers and how good they are: told with every answer.

use crate::answer::ModelNote;
use crate::realise::Workshop;
use crate::shared::is_shared;
use reedmace_design::{Design, Material, Model, Sweep};
use reedmace_units::format_number;

/// The models that a design's answer rests on.
pub(crate) fn notes(workshop: &Workshop, units: u64) -> Vec<ModelNote> {
    let design = &workshop.design;
    let note = |model: Model, how: &str, accuracy: &str, references: &[&str]| ModelNote {
        name: model.name().into(),
        how: how.into(),
        accuracy: accuracy.into(),
        references: references.iter().map(|r| (*r).into()).collect(),
    };
    let figures = design.figures();
    let tells = |model: Model| figures.iter().any(|figure| figure.basis.model == model);
    let mut notes = vec![note(
        Model::Contact,
        "a magnetic circuit of blades, leads, gap and air, linear iron, solved for its \
         reciprocity kernel",
        "drive within 0.4 % of the largest response of three-dimensional finite elements on the \
         reference contact, open, closed and at low permeability; promised 1 %. Straight leads; what \
         saturation changes is told apart",
        &["harrington1968", "bickley1934", "leus2004", "osborn1945"],
    )];
    notes.push(note(
        Model::Saturation,
        "the same circuit with iron on an arctangent curve through its permeability in weak \
         fields and its saturation, for the strongest drive and the contact force",
        "gap flux over that of linear iron within 0.3 % of three-dimensional nonlinear finite elements \
         with the same curve on the open reference contact from 15 to 100 ampere-turns; a real alloy's \
         knee is sharper or softer. The force is the magnetic pull of blades lying flat on each other, \
         without stiffness",
        &["jackson1999"],
    ));
    if !design.magnets.is_empty() {
        notes.push(note(
            Model::Magnets,
            "closed forms of uniformly polarized bodies",
            "1e-9 of the field or better against high-precision quadrature; real magnets differ from \
             uniform polarization by a few percent near their faces",
            &["yang1990", "derby2010", "caciagli2018"],
        ));
    }
    if design.magnets.iter().any(|m| matches!(m.material, Material::Grade { .. })) {
        notes.push(note(
            Model::Grades,
            "recoil line through the mean field inside the magnet, remanence linear in \
             temperature",
            "below 0.5 % of the polarization for recoil permeabilities to 1.1; grade values are the \
             table's, see each row's source",
            &["iec60404-8-1", "osborn1945"],
        ));
        notes.push(note(
            Model::WorkingPoints,
            "the inside of each magnet sampled with the field of all others at the worst \
             place of the sweep, on a curve of two straight lines, at both ends of the temperature range",
            "mean field inside within 7e-4 of J; losses beyond the knee within 2.1 % of J of blocks cut \
             into cells on the same curve. Where the knee lies is common practice, no source. Steel is \
             left out: what it does to a magnet beside it is not counted",
            &["chen1991"],
        ));
    }
    if !design.coils.is_empty() {
        notes.push(note(
            Model::Coils,
            "even current over the winding's section or mean diameter",
            "1e-9 of the field or better; a real winding's ends and layers differ below 1 % outside it",
            &["derby2010"],
        ));
    }
    if is_shared(design) {
        notes.push(note(
            Model::Shared,
            "one system of all their iron and air, gaps open or closed, walked together",
            "flux beside an open neighbour within 1 % of three-dimensional finite elements. Of contacts that would \
             change at the very same place the first named is taken to be first; the others wait for what it \
             has taken. Maps, conversions and saturation are of each contact alone",
            &["harrington1968"],
        ));
    }
    if tells(Model::Windings) {
        let gauges = design.coils.iter().filter_map(|coil| coil.wound()).any(|one| one.is_gauge());
        let mut references = vec!["iec60028", "iec60317-0-1", "grover1946"];
        references.extend(gauges.then_some("astmb258"));
        notes.push(note(
            Model::Windings,
            "turns laid by geometry, annealed copper, resistance straight with temperature; inductance in air",
            "turns and layers exact for the stated wire; of the resistance what the wire's diameter leaves, and \
             0.3 % for layers taken as holding fractions of a turn. A stated resistance replaces it",
            &references,
        ));
    }
    if asks_for_heat(design) {
        notes.push(note(
            Model::WarmCoils,
            "one temperature of the wire, heat by one thermal resistance, steady",
            "as good as the thermal resistance: an estimate in still air is credible within half of itself. The \
             drive that a contact needs is taken as the same at all temperatures",
            &["iec60028", "churchill1975", "iec61810-1"],
        ));
    }
    if tells(Model::Float) {
        notes.push(note(
            Model::Float,
            "Archimedes, in a liquid at rest of one density; water by its formulation, other liquids by \
             a density at 15 °C and an expansion",
            "exact for the stated mass, size and density; water within 2e-5. Not true where the float rubs or \
             sticks on its stem, where foam, deposits or two liquids stand on each other, where the magnet is \
             drawn to steel, or where surface tension lifts a small float: a fraction of a millimetre. \
             Contacts do not see each other's iron: closer than their length along one line they share flux",
            &["iapwssr6"],
        ));
    }
    if design.level.as_ref().is_some_and(|level| level.tank.is_some()) {
        notes.push(note(
            Model::Tank,
            "volume of the stated shape below a level",
            "1e-12 of the tank for the shape as stated; a real shell is out of round, bulges under load and \
             leans, and a strapping table of the tank itself replaces the shape",
            &["jones", "takahasi1974"],
        ));
    }
    if tells(Model::Slosh) {
        notes.push(note(
            Model::Slosh,
            "linear waves in a rigid tank without baffles, as if its surface were a rectangle or a \
             circle over even depth",
            "frequencies of boxes and upright cylinders to 1e-6; of lying cylinders an estimate. Waves \
             higher than a fifth of the depth, breaking waves and baffles are not in it. The hold time is that \
             of a level swinging as a sine at the lowest frequency",
            &["lamb1932", "ibrahim2005"],
        ));
    }
    if tells(Model::Ladder) {
        notes.push(note(
            Model::Ladder,
            "a chain of resistors with a contact at each tap; of contacts closed together the outermost two count",
            "exact for the stated resistors, whose tolerances are in the limits; resistance of contacts and leads is \
             left out",
            &["iec60063"],
        ));
    }
    if !design.conductors.is_empty() {
        notes.push(note(
            Model::Conductors,
            "the law of Biot and Savart for straight round ones with an even, steady current",
            "1e-12 of the field against quadrature; what leads to the ends of a short one, and the field of \
             an alternating current's eddies in metal near by, are not counted",
            &["jackson1999"],
        ));
    }
    if design.rotor.is_some() {
        notes.push(note(
            Model::Wheel,
            "pulses of a contact that closes and opens late and bounces, counted over a gate",
            "arithmetic, exact for an even speed and times that do not depend on the drive; near its peak a \
             contact operates sooner, and a K-factor falls at small flows by friction and viscosity, which \
             no number here tells. False alarms are those of independent normal readings",
            &["iec62246"],
        ));
    }
    if tells(Model::Construction) {
        notes.push(note(
            Model::Construction,
            "breakdown of the gap, one spot of contact, clamped beams, a seal by Lamé's solution, and \
             the snap of a spring in the contact's own circuit solved anew",
            "materials by their tables, whose ranges are told; breakdown to a third, constriction to a factor of two, \
             stiffness an upper bound; what a micrometre is worth to a quarter (a judgement, no source), for blades \
             that bend where the beam does",
            &[
                "lieberman2005",
                "holm1967",
                "timoshenko1970",
                "timoshenko1974",
                "harris2002",
                "senturia2001",
            ],
        ));
    }
    if tells(Model::Times) {
        notes.push(note(
            Model::Times,
            "one mode of the blades as a mass on the spring that the operate value asks for, the pull of \
             the contact's circuit at each gap, current and motion of the coil together; each contact followed alone, if it makes and no magnet holds it",
            "times within 1e-4 of an implicit solver's for the equations; of a real contact a quarter (a judgement, no \
             source): iron does not saturate in them, which makes the pull of a strongly driven closed contact too \
             large; eddy currents in the blades and memory of the iron are left out; after the first impact higher modes \
             take part, which bounce longer than one mass. A pull that would let go at another current than \
             stated is scaled to the stated one. Steel beside the coil raises its inductance, which is not counted",
            &["timoshenko1974", "senturia2001", "grover1946"],
        ));
    }
    if !design.loads.is_empty() {
        notes.push(note(
            Model::Loads,
            "circuits of lumped parts, piecewise linear, stepped exactly from event to event; an arc is a \
             steady voltage that burns while at least its least current flows",
            "peaks and mean squares within 1 % of a circuit simulator on the same parts. A cable is its capacitance \
             behind its wave impedance, a varistor two straight lines, iron in a load keeps its inductance, the \
             contact moves at once and does not bounce; a narrow gap that breaks down again is not in it. Arc \
             limits are those of the metal in air, many from memory",
            &["holm1967", "nagel1975"],
        ));
    }
    if design.life.is_some() {
        notes.push(note(
            Model::Life,
            "Weibull's distribution of the stated test by maximum likelihood, bounds by the likelihood ratio; without a test \
             what a maker or a standard says, named so",
            "as good as the test: units like those built, at the load of use. Bounds of few failures are wide, and \
             slightly too narrow below ten",
            &["meeker1998", "iso13849-1"],
        ));
    }
    if design.target.is_some() {
        notes.push(note(
            Model::Target,
            "at rest at every place, solved with the contact and its magnet together",
            "not true of thin vanes near saturation, which the flux density told of the steel shows; of fast \
             ones, whose eddy currents hold the flux back for about μ σ d² ∕ π², half a millisecond in 1.5 mm \
             of mild steel; nor of hard or magnetized steel, whose remanence adds a field of its own and leaves \
             another distance after each pass. Permeability of steel as bought lies anywhere between 50 and \
             2000: the study tells what that changes",
            &["lindholm1980", "harrington1968", "jackson1999"],
        ));
    }
    if design.latch.is_some() {
        notes.push(note(
            Model::Latch,
            "drive at rest between release and operate; fields from outside even and along the contact",
            "as good as the events. Temperature changes the magnets alone, by the straight law of their grade; \
             levels of the contact are taken as the same, and what a magnet loses for good beyond its knee is told \
             apart. Mechanical shock is not in it: a knock moves the blades, and near a level less than all of \
             the room is then enough",
            &["iec62246", "iec60404-8-1"],
        ));
    }
    if tells(Model::Earth) {
        notes.push(note(
            Model::Earth,
            "an even field of the stated size along each contact",
            "arithmetic; steel near by bends the earth's field, which is not counted",
            &[],
        ));
    }
    if !design.motors.is_empty() {
        notes.push(note(
            Model::Motors,
            "dipoles of the stated field on their axis",
            "true from some twice the size of the motor on; nearer, and beside its steel, measure. Fields that turn \
             or alternate are told by their greatest, at rest",
            &["jackson1999"],
        ));
    }
    if let Some(panels) = workshop.cut {
        let accuracy = format!(
            "linear steel at the stated permeability; half of the {} panels change the drive by at most {} % \
             of it or of the operate level, and about half of that may still be wrong; with a plate beside the reference contact within 0.4 % of \
             three-dimensional finite elements",
            panels.count,
            format_number(100.0 * panels.change, 2)
        );
        let blended = workshop.blend.as_ref().filter(|b| b.units() > 1).map(|blend| {
            format!(
                "; kernels of units blended from those solved in {}, which changes no drive tried by more \
                 than {} %",
                blend.units(),
                format_number(100.0 * blend.error, 2)
            )
        });
        let accuracy = accuracy + &blended.unwrap_or_default();
        notes.push(note(
            Model::Steel,
            "charge on flat panels, in one system with the contact",
            &accuracy,
            &["lindholm1980", "harrington1968"],
        ));
    }
    if design.door.is_some() {
        notes.push(note(
            Model::Outsiders,
            "dipoles of their moment, from 96 sides, turned \
             any way",
            "distances within 6 % of those of a cube of the same moment, by whose own field it was tried; a \
             long or flat magnet nearer than twice its length reaches further along its axis",
            &["jackson1999", "iso14119"],
        ));
    }
    notes.push(note(
        Model::Events,
        "exact walk of open and closed state along the drive, forward and back",
        "places to 1e-9 of the path; a lobe is missed only if it passes a level by less than 0.5 % of \
         it between two samples",
        &["oliveira2020", "iec62246"],
    ));
    if workshop.variables.len() > 0 {
        notes.push(note(
            Model::WorstCase,
            "the corner of the tolerances that pushes each event and demand furthest, \
             accepted when no single quantity makes it worse",
            "exact where every quantity acts one way only, which is checked at five values of each; \
             events that do not are marked",
            &[],
        ));
    }
    if units > 0 {
        let accuracy = format!(
            "{units} scrambled Sobol points, the events of each found on its true drive, with a 95 % \
             interval; ± is three sigma of a normal distribution truncated there, a..b is uniform, all \
             independent"
        );
        notes.push(note(
            Model::Shares,
            "units drawn within tolerance, counted where they meet a demand",
            &accuracy,
            &["joe2008", "owen1995", "korn1998"],
        ));
    }
    notes
}

/// The keys that a source names in square brackets.
pub(crate) fn keys(source: &str) -> impl Iterator<Item = String> {
    let key =
        |word: &str| word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    let pieces = source.split('[').skip(1).filter_map(|piece| Some(piece.split_once(']')?.0));
    pieces.filter(move |word| key(word)).map(str::to_owned)
}

/// True when some number depends on how warm a coil gets.
fn asks_for_heat(design: &Design) -> bool {
    let warmed = matches!(&design.sweep, Sweep::Voltage(sweep) if sweep.warmed_by.si() != 0.0);
    warmed || design.relay.is_some()
}
