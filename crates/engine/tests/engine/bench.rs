//! A bench keeps what it has solved, and answers as if it had not.

use reedmace_design::Design;
use reedmace_engine::{Bench, MapRequest, Options, Plane, check, map};

fn design(name: &str) -> Design {
    let path = format!("{}/../../designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    reedmace_design::parse(&text, &|_| Err(std::io::ErrorKind::NotFound.into())).unwrap().0
}

/// Designs in turn on one bench: answers and maps equal those of a bench that has seen nothing.
#[test]
fn prop_bench_changes_no_answer() {
    let (bench, options) = (Bench::default(), Options { units: 20, ..Options::default() });
    let request =
        MapRequest { plane: Plane::Xz, offset: None, extent: None, cells: [20, 12], contact: 0 };
    for name in ["hopper-lid", "feed-drawer", "hopper-lid"] {
        let design = design(name);
        let kept = bench.check(&design, name, &options, &|_, _| ()).unwrap().answer;
        let fresh = check(&design, name, &options, &|_, _| ()).unwrap().answer;
        assert_eq!(serde_json::to_string(&kept).unwrap(), serde_json::to_string(&fresh).unwrap());
        let kept = bench.map(&design, &request, &|_, _| ()).unwrap();
        let fresh = map(&design, &request, &|_, _| ()).unwrap();
        assert_eq!((kept.drive_open, kept.room), (fresh.drive_open, fresh.room));
    }
}

/// A glance has the events and levels of the whole answer, and drives at each coordinate.
#[test]
fn prop_glance_agrees_with_check() {
    for name in ["hopper-lid", "feed-drawer", "paddle-wheel", "probe-relay"] {
        let design = design(name);
        let options = Options { units: 0, ..Options::default() };
        let answer = check(&design, name, &options, &|_, _| ()).unwrap().answer;
        let glance = Bench::default().coarse().glance(&design).unwrap();
        assert_eq!(glance.contacts.len(), answer.contacts.len());
        for (seen, told) in glance.contacts.iter().zip(&answer.contacts) {
            let events: Vec<_> = told
                .events
                .iter()
                .filter_map(|e| Some((e.kind, e.direction, e.at.value?)))
                .collect();
            let glanced: Vec<_> = seen.events.iter().map(|e| (e.kind, e.pass, e.at)).collect();
            assert_eq!(glanced, events, "{name}");
            assert_eq!(seen.operate[1], told.operate.value.unwrap());
            assert_eq!([seen.release[0], seen.release[2]], [told.release.low, told.release.high]);
            assert_eq!(seen.coordinate.len(), seen.drive_open.len());
            assert_eq!(seen.coordinate.len(), seen.drive_closed.len());
            assert_eq!(seen.closed_at_start, told.closed_at_start);
        }
    }
}
