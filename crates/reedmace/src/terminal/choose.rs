//! What was chosen: the best arrangements, cost against room, why the others are not among them.

use super::{
    Ink, WIDTH,
    layout::{
        Side::{Left, Right},
        cut, table, wrap,
    },
    notes, paint,
};
use reedmace_engine::answer::{
    Candidate, ChooseAnswer, ChosenValue, FrontPoint, Obstacle, Share, Verdict,
};
use reedmace_report::number::{number, percent, unit_label, with_unit};

/// Size of the plot, in characters.
const PLOT: [usize; 2] = [58, 11];
/// Room left of it.
const GUTTER: usize = 9;

/// Everything `choose` prints.
pub(crate) fn choose(answer: &ChooseAnswer) -> String {
    let mut parts = vec![head(answer)];
    parts.extend(candidates(answer));
    parts.extend(answer.obstacle.as_ref().map(|o| obstacle(answer, o)));
    parts.extend(plot(answer));
    parts.extend(lost(answer));
    parts.extend(notes::models(&answer.models));
    parts.join("\n").replace(super::layout::NO_BREAK, " ")
}

fn head(answer: &ChooseAnswer) -> String {
    let (word, ink) = match answer.found {
        0 => ("NONE FOUND".to_owned(), Ink::Missed),
        n => (format!("{n} FOUND"), Ink::Met),
    };
    let style = ink.style().bold().invert();
    let title = if answer.title.is_empty() { &answer.provenance.design } else { &answer.title };
    let room = WIDTH - word.chars().count() - 6;
    let demanded = match answer.wanted {
        None => "every unit within tolerance meets every demand".to_owned(),
        Some(share) => format!("{} of units meet every demand", percent(share)),
    };
    let stopped = if answer.interrupted { "; stopped before the end" } else { "" };
    let said = format!(
        "{}, {} placed and judged, seed {}: cheapest by {} such that {demanded}{stopped}",
        counted(answer.combinations, "combination"),
        answer.tried,
        answer.provenance.seed,
        answer.cost,
    );
    format!("{style}[ {word} ]{style:#}  {}\n", paint(Ink::Heading, &cut(title, room)))
        + &wrap("  ", &said)
}

fn counted(n: u64, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// A letter for each thing that is free.
fn letter(k: usize) -> String {
    let letter = char::from(b'a' + (k % 26) as u8);
    let round = k / 26;
    if round == 0 { letter.to_string() } else { format!("{letter}{round}") }
}

/// The table of what was found; `None` when nothing was.
fn candidates(answer: &ChooseAnswer) -> Option<String> {
    if answer.candidates.is_empty() {
        return None;
    }
    let legend: String = answer
        .free
        .iter()
        .enumerate()
        .map(|(k, free)| format!("  {}  {}\n", paint(Ink::Heading, &letter(k)), free.path))
        .collect();
    let mut head = vec!["".to_owned(), with_label(&answer.cost, &answer.cost_unit)];
    head.push(with_label("room", &answer.margin_unit));
    if answer.wanted.is_some() {
        head.push("units".into());
    }
    let fixed = head.len();
    head.extend((0..answer.free.len()).map(letter));
    let rows = |values: &dyn Fn(&ChosenValue) -> String| {
        let row = |(k, c): (usize, &Candidate)| {
            let mut row = vec![(k + 1).to_string(), number(c.cost, "")];
            row.push(c.margin.map_or_else(|| "–".into(), |m| number(m, &answer.margin_unit)));
            row.extend(answer.wanted.map(|_| c.share.as_ref().map_or_else(String::new, share)));
            row.extend(c.values.iter().map(values));
            row
        };
        let body = answer.candidates.iter().enumerate().map(row);
        std::iter::once(head.clone()).chain(body).collect::<Vec<_>>()
    };
    let sides: Vec<_> = (0..head.len()).map(|k| if k < fixed { Right } else { Left }).collect();
    let fits = |lines: &[String]| lines.iter().all(|line| line.chars().count() + 2 <= WIDTH);
    let mut lines = table(&sides, &rows(&|v| v.text.clone()));
    if !fits(&lines) {
        lines = table(&sides, &rows(&|v| nominal(&v.text).to_owned()));
    }
    let mut width = 24;
    while !fits(&lines) && width > 4 {
        width -= 1;
        lines = table(&sides, &rows(&|v| cut(nominal(&v.text), width)));
    }
    let mut out = legend + "\n";
    for (k, line) in lines.iter().enumerate() {
        let line = cut(line, WIDTH - 2);
        out += &format!("  {}\n", if k == 0 { paint(Ink::Heading, &line) } else { line });
    }
    Some(out + &warnings(answer))
}

fn with_label(word: &str, unit: &str) -> String {
    format!("{word} {}", unit_label(unit)).trim_end().to_owned()
}

/// A quantity without its tolerance.
fn nominal(text: &str) -> &str {
    let end = text.find([' ', '\u{a0}']).and_then(|_| text.find(['±', '+']));
    text[..end.unwrap_or(text.len())].trim_end()
}

fn share(share: &Share) -> String {
    percent(share.met as f64 / share.of as f64)
}

fn warnings(answer: &ChooseAnswer) -> String {
    let of = |(k, c): (usize, &Candidate)| {
        (!c.warnings.is_empty()).then(|| format!("{} ({})", k + 1, c.warnings.join(" ")))
    };
    let all: Vec<String> = answer.candidates.iter().enumerate().filter_map(of).collect();
    if all.is_empty() {
        return String::new();
    }
    wrap("  ! ", &format!("check warns of {}", all.join(", ")))
}

/// What is in the way, and the arrangement that comes nearest.
fn obstacle(answer: &ChooseAnswer, obstacle: &Obstacle) -> String {
    let said = wrap("✗ ", &obstacle.said);
    let mut out = said.replacen('✗', &paint(Ink::Missed, "✗"), 1);
    let Some(nearest) = &obstacle.nearest else { return out };
    out += &format!("\n  the nearest, {} {}:\n", answer.cost, cost(answer, nearest.cost));
    for value in &nearest.values {
        out += &wrap(&format!("    {} = ", value.path), &value.text);
    }
    for demand in &nearest.demands {
        let room = |room: Option<f64>| room.map_or("–".into(), |v| with_unit(v, &demand.unit));
        let sign = match demand.verdict {
            Verdict::Met => '✓',
            Verdict::AtRisk => '!',
            Verdict::Missed => '✗',
        };
        let said = format!(
            "{} {}: room {}, worst unit {}",
            demand.contact,
            demand.text,
            room(demand.margin_nominal),
            room(demand.margin_worst)
        );
        out += &wrap(&format!("  {sign} {:<8} ", demand.verdict.word()), &said);
    }
    if let Some(share) = &nearest.share {
        let said = format!(
            "{} of {} units meet every demand ({} .. {})",
            percent(share.met as f64 / share.of as f64),
            share.of,
            percent(share.low),
            percent(share.high)
        );
        out += &wrap("    ", &said);
    }
    out
}

fn cost(answer: &ChooseAnswer, cost: f64) -> String {
    format!("{} {}", number(cost, ""), answer.cost_unit).trim_end().to_owned()
}

/// Cost to the right, room upward; `None` where there is nothing to tell apart.
fn plot(answer: &ChooseAnswer) -> Option<String> {
    let points: Vec<&FrontPoint> = answer.others.iter().chain(&answer.front).collect();
    let ends = |of: fn(&FrontPoint) -> f64| {
        let low = points.iter().map(|p| of(p)).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(|p| of(p)).fold(f64::NEG_INFINITY, f64::max);
        [low, high]
    };
    let (x, y) = (ends(|p| p.cost), ends(|p| p.margin));
    if points.len() < 3 || x[0] >= x[1] || y[0] >= y[1] {
        return None;
    }
    let [columns, rows] = PLOT;
    let place = |v: f64, [low, high]: [f64; 2], count: usize| {
        ((v - low) / (high - low) * (count - 1) as f64).round() as usize
    };
    let mut cells = vec![vec![' '; columns]; rows];
    let zero = (y[0] < 0.0 && y[1] > 0.0).then(|| place(0.0, y, rows));
    if let Some(zero) = zero {
        cells[zero].fill('─');
    }
    let marks = answer.others.iter().map(|p| (p, '·'));
    let front = answer.front.iter().map(|p| (p, if p.met { '●' } else { '○' }));
    for (point, mark) in marks.chain(front) {
        cells[place(point.margin, y, rows)][place(point.cost, x, columns)] = mark;
    }
    let label = with_label("room", &answer.margin_unit);
    let mut out = paint(
        Ink::Faint,
        &format!("  {label} over {}: ● ○ none cheaper with more, · others", answer.cost),
    );
    out.push('\n');
    for row in (0..rows).rev() {
        let edge = match row {
            0 => number(y[0], &answer.margin_unit),
            _ if row + 1 == rows => number(y[1], &answer.margin_unit),
            _ if Some(row) == zero => "0".into(),
            _ => String::new(),
        };
        let line: String = cells[row].iter().collect();
        out += &format!("{edge:>GUTTER$} │{}\n", paint(Ink::Drive, line.trim_end()));
    }
    let [left, right] = x.map(|v| cost(answer, v));
    let gap = columns.saturating_sub(left.chars().count() + right.chars().count());
    out += &paint(Ink::Faint, &format!("{:GUTTER$}  {left}{}{right}", "", " ".repeat(gap)));
    Some(out + "\n")
}

/// Why the others are not among them; `None` where there are no others.
fn lost(answer: &ChooseAnswer) -> Option<String> {
    if answer.lost.is_empty() {
        return None;
    }
    let width = answer.lost.iter().map(|l| l.count.to_string().len()).max().unwrap_or(1);
    let lines = answer.lost.iter().map(|l| wrap(&format!("  {:>width$}  ", l.count), &l.reason));
    Some(paint(Ink::Heading, "The others") + "\n" + &lines.collect::<String>())
}
