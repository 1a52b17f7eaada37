//! What a design costs: the whole check, a map, and one sampled unit, from the approach template.
//!
//! The reference in the same run is a check without sampled units: the share of the samples shows.

use criterion::{Criterion, criterion_group, criterion_main};
use reedmace_engine::{MapRequest, Options, Plane, check, map};

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

criterion_group!(benches, engine);
criterion_main!(benches);
