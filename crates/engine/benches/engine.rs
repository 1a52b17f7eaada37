//! What a design costs: the whole check, a map, and sampled units, from the approach template.
//!
//! The references in the same run: a check without sampled units, to show the share of the samples; and a
//! block of units each found on its true drive, to show what the model gains.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reedmace_engine::{Bench, MapRequest, Options, Plane, Spread, SpreadOptions, check, map};

fn engine(c: &mut Criterion) {
    let text = reedmace_design::template("approach").expect("a template");
    let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
    let (design, _) = reedmace_design::parse(text, &nothing).expect("a template has no faults");
    let mut group = c.benchmark_group("approach");
    group.sample_size(10);
    for units in [0, 1000] {
        let options = Options { units, ..Options::default() };
        group.bench_function(format!("check with {units} units"), |b| {
            b.iter(|| check(&design, "bench.toml", &options, &|_, _| ()).expect("computes"));
        });
    }
    let request =
        MapRequest { plane: Plane::Xz, offset: None, extent: None, cells: [200, 120], contact: 0 };
    group.bench_function("map of 200 × 120 poses, closed and held", |b| {
        b.iter(|| map(&design, &request, &|_, _| ()).expect("computes"));
    });
    group.finish();
}

/// A block of units, by the model and on their true drive; and with two quantities that go together and a
/// mixture, to show what these cost.
fn spread(c: &mut Criterion) {
    let text = reedmace_design::template("approach").expect("a template");
    let together = text.to_owned()
        + "\n[[correlation]]\nof = [\"contact[reed].operate\", \"contact[reed].release\"]\nrank = 0.8\n";
    let mixed = together.replace(
        "\"5 ± 0.1 mm\"",
        "{ mixture = [{ value = \"5 ± 0.1 mm\", share = 0.7 }, { value = \"5.1 ± 0.1 mm\", share = 0.3 }] }",
    );
    let mut group = c.benchmark_group("spread");
    group.sample_size(10);
    group.throughput(Throughput::Elements(reedmace_engine::BLOCK));
    for (text, name, exact) in [
        (text, "a block on its true drive", true),
        (text, "a block by the model", false),
        (mixed.as_str(), "a block by the model, correlated and mixed", false),
    ] {
        let nothing = |_: &str| Err(std::io::ErrorKind::NotFound.into());
        let (design, _) = reedmace_design::parse(text, &nothing).expect("no faults");
        // A study so long that a block of it holds few units that prove the model.
        let options = SpreadOptions {
            units: 1_000_000,
            range: Some(0..reedmace_engine::BLOCK),
            seed: 1,
            exact,
        };
        let study =
            Spread::new(&Bench::default(), &design, options, &|_, _| ()).expect("quantities vary");
        group.bench_function(name, |b| {
            b.iter(|| {
                let mut tally = study.tally().expect("limits in order");
                study.run(&mut tally, &|_| true).expect("computes");
                tally
            });
        });
    }
    group.finish();
}

criterion_group!(benches, engine, spread);
criterion_main!(benches);
