//! Life of the contacts: what the user's own test says, and nothing beyond.

use crate::answer::{DangerousAnswer, LifeAnswer, LifeTestAnswer};
use crate::units::tidy;
use reedmace_applied::life::{Bounded, MTTFD_CAUTIONS, mean_time};
use reedmace_design::{Design, Life, LifeTest};
use reedmace_units::format_number;

/// What is told; `None` of a design without the table.
pub(crate) fn answer(design: &Design) -> Option<LifeAnswer> {
    let life = design.life.as_ref()?;
    let Some(test) = &life.test else {
        let says = "No test is stated, and without one no number of a contact's life is honest: it follows from \
                    load, protection, force and the making of the faces, and differs by powers of ten. Test units \
                    at your load and state when each failed or was taken off.";
        return Some(LifeAnswer { test: None, says: vec![says.into()] });
    };
    let three = |bounded: Bounded| [bounded.value, bounded.low, bounded.high].map(tidy);
    let dangerous = life.operations_per_year.as_ref().map(|per_year| {
        let (per_year, b10d) = (per_year.si(), test.b10.low / life.dangerous_share.si());
        let (mttfd, t10d) = mean_time(b10d, per_year);
        DangerousAnswer {
            b10d: tidy(b10d),
            operations_per_year: tidy(per_year),
            mttfd_years: tidy(mttfd),
            t10d_years: tidy(t10d),
        }
    });
    let says = says(life, test, dangerous.as_ref());
    Some(LifeAnswer {
        test: Some(LifeTestAnswer {
            units: test.units,
            failures: test.fit.failures,
            load: life.load.clone(),
            confidence_percent: tidy(100.0 * life.confidence.si()),
            shape: three(test.shape),
            scale: tidy(test.fit.weibull.scale),
            b10: three(test.b10),
            dangerous,
        }),
        says,
    })
}

fn says(life: &Life, test: &LifeTest, dangerous: Option<&DangerousAnswer>) -> Vec<String> {
    let n = |value: f64| format_number(value, 3);
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
    if let Some(dangerous) = dangerous {
        says.push(format!(
            "MTTFd is {} years, from the lower bound of B10; it holds for {} years of use.",
            n(dangerous.mttfd_years),
            n(dangerous.t10d_years)
        ));
        says.push(MTTFD_CAUTIONS.into());
    }
    says
}
