//! What a contact switches: rules, what it goes through, what protects it.

use super::{
    Ink,
    demands::sign,
    layout::{
        Side::{self, Left, Right},
        cut, table, wrap,
    },
    paint,
};
use reedmace_engine::{
    Answer,
    answer::{LoadAnswer, LoadRule, PartAnswer, Tried},
};
use reedmace_report::{brief, number::number};

const RULES: [Side; 4] = [Left, Left, Right, Left];
const TRIED: [Side; 6] = [Left, Right, Right, Right, Left, Left];

/// All loads; `None` where there are none.
pub(crate) fn loads(answer: &Answer) -> Option<String> {
    let told: Vec<String> = answer.loads.iter().map(load).collect();
    (!told.is_empty()).then(|| told.join("\n"))
}

fn load(load: &LoadAnswer) -> String {
    let title = format!("Load {} at {}", load.name, load.contact);
    let mut out = format!("{}  {}\n", paint(Ink::Heading, &title), load.about);
    let rows: Vec<Vec<String>> = load.rules.iter().map(rule).collect();
    for line in table(&RULES, &rows) {
        out.push_str(&format!("  {line}\n"));
    }
    for finding in &load.findings {
        out.push_str(&wrap("  ", finding));
    }
    if let Some(protection) = &load.protection {
        for part in &protection.parts {
            out.push_str(&wrap("  ", &bought(part)));
        }
    }
    let heading = ["protection", "V", "arc ms", "A", "", "parts"].map(String::from).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(heading).chain(load.tried.iter().filter_map(tried)).collect();
    for (index, line) in table(&TRIED, &rows).iter().enumerate() {
        let line = if index == 0 { paint(Ink::Faint, line) } else { line.clone() };
        out.push_str(&format!("  {line}\n"));
    }
    out
}

fn rule(rule: &LoadRule) -> Vec<String> {
    let share = format!("{} %", brief::share(&rule.share));
    // What is longer stands in the report.
    let limit = if rule.limit.chars().count() <= 8 { rule.limit.clone() } else { String::new() };
    vec![sign(rule.verdict).to_string(), cut(&rule.rule, 46), share, limit]
}

fn bought(part: &PartAnswer) -> String {
    let value = if part.value.is_empty() { String::new() } else { format!(" {}", part.value) };
    format!("buy: {}{value}, rated for at least {}", part.name, part.ratings.join(", "))
}

fn tried(tried: &Tried) -> Option<Vec<String>> {
    let done = tried.done.as_ref()?;
    Some(vec![
        tried.kind.clone(),
        number(done.peak_voltage, "V"),
        number(done.arc, "ms"),
        number(done.peak_current, "A"),
        if done.mends() { "mends it".into() } else { cut(&done.fails, 22) },
        cut(&tried.parts, 24),
    ])
}
