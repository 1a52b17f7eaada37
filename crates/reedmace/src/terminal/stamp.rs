//! The worst verdict, the design's title and how the demands stand, as one line.

use super::{Ink, WIDTH, layout::cut, paint};
use reedmace_engine::{Answer, answer::Verdict};

/// `[ AT RISK ]  Feed hopper lid · 2 met, 1 at risk`
pub(crate) fn stamp(answer: &Answer) -> String {
    let word = answer.verdict.map_or("no demands", Verdict::word).to_uppercase();
    let ink = answer.verdict.map_or(Ink::Heading, Ink::of);
    let tally = tally(answer);
    let room = WIDTH.saturating_sub(word.chars().count() + tally.chars().count() + 6);
    let title = if answer.title.is_empty() { &answer.provenance.design } else { &answer.title };
    let style = ink.style().bold().invert();
    format!("{style}[ {word} ]{style:#}  {}{tally}\n", paint(Ink::Heading, &cut(title, room)))
}

fn tally(answer: &Answer) -> String {
    let parts: Vec<String> = [Verdict::Met, Verdict::AtRisk, Verdict::Missed]
        .iter()
        .map(|verdict| (verdict, answer.demands.iter().filter(|d| d.verdict == *verdict).count()))
        .filter(|(_, count)| *count > 0)
        .map(|(verdict, count)| format!("{count} {}", verdict.word()))
        .collect();
    if parts.is_empty() { String::new() } else { format!(" · {}", parts.join(", ")) }
}
