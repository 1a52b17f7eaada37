//! Life of the contacts: what the user's own test says, or a number from elsewhere for what it is.

use crate::answer::{DangerousAnswer, LifeAnswer, LifeTestAnswer};
use crate::units::tidy;
use reedmace_applied::life::Bounded;
use reedmace_applied::mttfd::{CHANNEL, MTTFD_CAUTIONS, TYPICAL, b10d, mean_time};
use reedmace_design::{Design, Life, LifeTest, Value};
use reedmace_units::{Ratio, format_number};

/// What is told; `None` of a design without the table.
pub(crate) fn answer(design: &Design) -> Option<LifeAnswer> {
    let life = design.life.as_ref()?;
    let tested = life.test.as_ref().map(|test| b10d(test.b10.low, life.dangerous_share.si()));
    let known = tested.or(life.b10d.as_ref().map(Value::si));
    let dangerous = life.operations_per_year.as_ref().zip(known).map(|(per_year, b10d)| {
        let (mttfd, t10d) = mean_time(b10d, per_year.si());
        DangerousAnswer {
            b10d: tidy(b10d),
            operations_per_year: tidy(per_year.si()),
            mttfd_years: tidy(mttfd),
            t10d_years: tidy(t10d),
        }
    });
    let mut says = match (&life.test, &life.b10d) {
        (Some(test), _) => of_test(life, test),
        (None, Some(b10d)) => vec![of_stated(life, b10d)],
        (None, None) => of_nothing(life),
    };
    if let Some(dangerous) = &dangerous {
        says.extend(of_machine(life, dangerous));
    }
    let test = life.test.as_ref().map(|test| told(life, test));
    Some(LifeAnswer { test, dangerous, says })
}

fn told(life: &Life, test: &LifeTest) -> LifeTestAnswer {
    let three = |bounded: Bounded| [bounded.value, bounded.low, bounded.high].map(tidy);
    LifeTestAnswer {
        units: test.units,
        failures: test.fit.failures,
        load: life.load.clone(),
        confidence_percent: tidy(100.0 * life.confidence.si()),
        shape: three(test.shape),
        scale: tidy(test.fit.weibull.scale),
        b10: three(test.b10),
    }
}

/// A number as said in a sentence.
fn n(value: f64) -> String {
    format_number(value, 3)
}

/// Why no number is honest, and what the standard lists all the same.
fn of_nothing(life: &Life) -> Vec<String> {
    let [small, greatest] = [TYPICAL[0], TYPICAL[1]];
    let mut listed = format!(
        "ISO 13849-1, table C.1, lists as typical a B10d of {} operations for {} and of {} for {}: of parts that are \
         built by good practice and used so, no measurement of these contacts.",
        n(small.b10d),
        small.part,
        n(greatest.b10d),
        greatest.part
    );
    if let Some(per_year) = &life.operations_per_year {
        let years = |b10d: f64| n(mean_time(b10d, per_year.si()).0);
        listed += &format!(
            " At {} operations a year that would be an MTTFd of {} or of {} years: the load decides. State `b10d` with \
             its source to count on either.",
            n(per_year.si()),
            years(small.b10d),
            years(greatest.b10d)
        );
    }
    let honest = "No test is stated, and without one no number of a contact's life is honest: it follows from \
                  load, protection, force and the making of the faces, and differs by powers of ten. Test units \
                  at your load and state when each failed or was taken off.";
    vec![honest.into(), listed]
}

/// A B10d that is no measurement of the user's own.
fn of_stated(life: &Life, b10d: &Value<Ratio>) -> String {
    let source = b10d.source.map_or("not said", |mark| mark.word());
    let note = b10d.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
    let load = match &life.load {
        Some(load) => format!("for this load: {load}"),
        None => "for the load that it was told of, which is not stated".into(),
    };
    format!(
        "No test of your own is stated. B10d is taken as {} operations from elsewhere, source: {source}{note}. It holds \
         for parts built by good practice and used so, and {load}; it is no measurement of these contacts.",
        n(b10d.si())
    )
}

fn of_test(life: &Life, test: &LifeTest) -> Vec<String> {
    let mut says = vec![format!(
        "By {} failures among {} units B10 lies between {} and {} operations, with {} % confidence.",
        test.fit.failures,
        test.units,
        n(test.b10.low),
        n(test.b10.high),
        n(100.0 * life.confidence.si())
    )];
    let shape = &test.shape;
    says.push(match (shape.low > 1.0, shape.high < 1.0) {
        (true, _) => format!("The shape is above 1 ({}): units wear out.", n(shape.value)),
        (_, true) => format!("The shape is below 1 ({}): units fail early.", n(shape.value)),
        _ => format!(
            "The shape is {} and may be 1: whether units wear out or fail by chance the test does not tell.",
            n(shape.value)
        ),
    });
    if life.load.is_none() {
        says.push(
            "What the units switched is not stated: the numbers hold for that load alone.".into(),
        );
    }
    says
}

/// What follows for a machine, with its cautions.
fn of_machine(life: &Life, dangerous: &DangerousAnswer) -> [String; 2] {
    let from = if life.test.is_some() { "the lower bound of B10" } else { "the stated B10d" };
    let years = dangerous.mttfd_years;
    let counts =
        if years > CHANNEL { format!(", of which {} count", n(CHANNEL)) } else { String::new() };
    let mean = format!(
        "MTTFd is {} years{counts}, from {from}; it holds for {} years of use.",
        n(years),
        n(dangerous.t10d_years)
    );
    [mean, MTTFD_CAUTIONS.into()]
}
