//! The answer on a terminal: stamp, events, strip plot, demands, warnings, in 80 columns.
//!
//! Text is made with its colours in; the stream it goes to takes them out where they do not belong.

mod choose;
mod construction;
mod conversions;
mod demands;
mod door;
mod events;
mod figures;
#[cfg(test)]
mod fixture;
mod ink;
mod latch;
mod layout;
mod level;
mod life;
mod load;
mod magnets;
mod notes;
mod numbers;
mod relay;
mod rotor;
mod spread;
mod stamp;
mod steel;
mod strip;
mod target;
mod timing;

pub(crate) use choose::choose;
pub(crate) use ink::{Ink, paint};
pub(crate) use layout::wrap;
pub(crate) use numbers::band;
pub(crate) use spread::spread;

use reedmace_engine::Answer;
use reedmace_report::brief;
use std::path::Path;

/// Columns we may use.
pub(crate) const WIDTH: usize = 80;

/// Everything `check` prints.
pub(crate) fn check(answer: &Answer, report: Option<&Path>) -> String {
    let mut parts = vec![stamp::stamp(answer)];
    for (_, contact) in brief::at_length(answer) {
        parts.push(events::events(&answer.sweep, contact, &brief::names(answer, contact)));
        parts.extend(strip::strip(&answer.sweep, contact));
        parts.extend(conversions::conversions(contact));
    }
    parts.extend(level::stages(answer));
    parts.extend(level::level(answer));
    parts.extend(figures::figures(answer));
    parts.extend(door::door(answer));
    parts.extend(rotor::rotor(answer));
    parts.extend(latch::latch(answer));
    parts.extend(relay::relay(answer));
    parts.extend(timing::timing(answer));
    parts.extend(construction::construction(answer));
    parts.extend(load::loads(answer));
    parts.extend(life::life(answer));
    parts.extend(target::target(answer));
    parts.extend(steel::steel(answer));
    parts.extend(demands::demands(answer));
    parts.extend(magnets::magnets(&answer.magnets));
    parts.extend(notes::warnings(&answer.warnings));
    parts.extend(notes::models(&answer.models));
    parts.extend(report.map(notes::report));
    parts.join("\n").replace(layout::NO_BREAK, " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use anstream::adapter::strip_str;

    const GOLDEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/check.txt");

    fn plain(answer: &Answer) -> String {
        strip_str(&check(answer, Some(Path::new("lid.report.html")))).to_string()
    }

    #[test]
    fn reg_check_reads_as_the_golden_does() {
        let text = plain(&fixture::answer());
        if std::env::var_os("REEDMACE_BLESS").is_some() {
            std::fs::write(GOLDEN, &text).unwrap();
        }
        assert_eq!(text, std::fs::read_to_string(GOLDEN).unwrap());
    }

    #[test]
    fn nothing_is_wider_than_eighty_columns() {
        for line in plain(&fixture::answer()).lines() {
            assert!(line.chars().count() <= WIDTH, "{} columns: {line}", line.chars().count());
        }
    }

    #[test]
    fn steel_says_what_it_moves_in_eighty_columns() {
        let text = plain(&fixture::with_steel());
        for words in ["What the steel does", "−0.76", "only with it", "14.8 % of saturation"] {
            assert!(text.contains(words), "{words} is missing:\n{text}");
        }
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        assert!(!plain(&fixture::answer()).contains("steel"));
    }

    #[test]
    fn words_say_what_colour_says() {
        let text = plain(&fixture::answer());
        for word in ["met", "at risk", "missed", "some units only", "warning[W0301]"] {
            assert!(text.contains(word), "{word} is missing");
        }
    }

    #[test]
    fn a_design_without_demands_or_events_still_reads() {
        let mut answer = fixture::answer();
        answer.verdict = None;
        answer.demands.clear();
        answer.contacts[0].events.clear();
        answer.contacts[0].closed.clear();
        answer.contacts[0].trace.truncate(1);
        let text = plain(&answer);
        assert!(text.contains("NO DEMANDS"));
        assert!(text.contains("never operates"));
    }
}
