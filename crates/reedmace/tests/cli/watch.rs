//! `check --watch`: states, and the last good answer kept.

use crate::bench::{Bench, faulty, met, missed};
use serde_json::Value;
use std::{
    io::{BufRead, BufReader},
    process::Child,
    sync::mpsc::{Receiver, channel},
    thread,
    time::Duration,
};

/// Far more than a check takes; a watch which is deaf fails the test instead of hanging it.
const PATIENCE: Duration = Duration::from_secs(60);

/// A watched check, ended with the test.
struct Watch {
    child: Child,
    lines: Receiver<String>,
}

impl Watch {
    fn start(bench: &Bench, words: &[&str]) -> Self {
        let mut child = bench.start(words);
        let out = BufReader::new(child.stdout.take().unwrap());
        let (sender, lines) = channel();
        thread::spawn(move || {
            for line in out.lines().map_while(Result::ok) {
                if sender.send(line).is_err() {
                    break;
                }
            }
        });
        Self { child, lines }
    }

    fn next(&self) -> Value {
        let line = self.lines.recv_timeout(PATIENCE).expect("no line came");
        serde_json::from_str(&line).unwrap()
    }

    /// The next state that is not `computing`; saving in steps may well compute twice.
    fn settled(&self) -> Value {
        loop {
            let line = self.next();
            if line["state"] != "computing" {
                return line;
            }
        }
    }

    /// Wait for a state, past repeats of the one before.
    fn until(&self, state: &str) -> Value {
        loop {
            let line = self.settled();
            if line["state"] == state {
                return line;
            }
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn a_save_is_seen_and_the_last_good_report_kept() {
    let bench = Bench::with("dip.toml", &met());
    let watch = Watch::start(&bench, &["check", "dip.toml", "--watch", "--json", "--units", "20"]);
    assert_eq!(watch.next()["state"], "computing");
    let first = watch.settled();
    assert_eq!((&first["state"], &first["answer"]["verdict"]), (&"ok".into(), &"met".into()));
    let report = bench.read("dip.report.html");

    bench.save("dip.toml", &faulty());
    let stale = watch.until("stale");
    assert_eq!(stale["diagnostics"][0]["line"], 11);
    assert_eq!(bench.read("dip.report.html"), report);

    bench.save("dip.toml", &missed());
    assert_eq!(watch.until("ok")["answer"]["verdict"], "missed");
    assert_ne!(bench.read("dip.report.html"), report);
}

#[test]
fn a_design_faulty_from_the_start_has_failed_until_it_is_mended() {
    let bench = Bench::with("dip.toml", &faulty());
    let watch = Watch::start(&bench, &["check", "dip.toml", "--watch", "--json", "--units", "20"]);
    assert_eq!(watch.settled()["state"], "failed");
    // As many editors save: a new file put in the place of the old one.
    bench.save("dip.toml.new", &met());
    std::fs::rename(bench.path("dip.toml.new"), bench.path("dip.toml")).unwrap();
    assert_eq!(watch.until("ok")["answer"]["verdict"], "met");
}

#[test]
fn a_file_the_design_names_is_watched_too() {
    let sweep = "kind = \"table\"\nmoves = \"slug\"\nfile = \"poses.csv\"\n";
    let met = met();
    let (start, end) = (met.find("kind = \"line\"").unwrap(), met.find("[[demand]]").unwrap());
    let bench = Bench::with("dip.toml", &format!("{}{sweep}", &met[..start]));
    assert!(end > start);
    bench.save("poses.csv", "x_mm,y_mm,z_mm\n0,0,30\n0,0,5\n");
    let watch = Watch::start(&bench, &["check", "dip.toml", "--watch", "--json", "--units", "20"]);
    let rows = |line: Value| line["answer"]["contacts"][0]["trace"].as_array().map(Vec::len);
    assert_eq!(rows(watch.settled()), Some(2));
    bench.save("poses.csv", "x_mm,y_mm,z_mm\n0,0,30\n0,0,10\n0,0,5\n");
    assert_eq!(rows(watch.until("ok")), Some(3));
}
