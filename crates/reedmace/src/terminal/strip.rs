//! The size of the drive along the sweep in block characters, with operate and release levels, and
//! under it where the contact is closed on the way there and back.

use super::{Ink, events::mark, layout::cut, paint};
use reedmace_engine::answer::{ContactAnswer, Direction, SweepAnswer, TraceRow};
use reedmace_report::number::{number, with_unit};

const COLUMNS: usize = 57;
const ROWS: usize = 8;
const GUTTER: usize = 10;
const BLOCKS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// A drive far above operate says no more than that: higher bars are cut, and that is said.
const CUT_AT_OPERATES: f64 = 4.0;

/// The plot; `None` when the sweep has fewer than two rows or never any drive.
pub(crate) fn strip(sweep: &SweepAnswer, contact: &ContactAnswer) -> Option<String> {
    let drive = columns(sweep, &contact.trace)?;
    let peak = contact.trace.iter().map(|row| row.drive_open.abs()).fold(0.0, f64::max);
    let operate = contact.operate.value.unwrap_or(contact.operate.high);
    let release = contact.release.value.unwrap_or(contact.release.high);
    let top = peak.min(CUT_AT_OPERATES * operate).max(1.25 * operate);
    if !(peak > 0.0 && top > 0.0) {
        return None;
    }
    let mut out = heading(contact, peak, top);
    let [operate, release] = [operate, release].map(|v| row_of(v, top));
    for row in (0..ROWS).rev() {
        out.push_str(&plot_row(&drive, row, top, operate, release));
    }
    for direction in [Direction::Forward, Direction::Back] {
        out.push_str(&pass(sweep, contact, direction));
    }
    out.push_str(&axis(sweep));
    Some(out)
}

fn heading(contact: &ContactAnswer, peak: f64, top: f64) -> String {
    let cut_off =
        if peak > top { format!(", cut at {}", with_unit(top, "mT")) } else { String::new() };
    let text = format!("  |drive| of {}, peak {}{cut_off}", contact.name, with_unit(peak, "mT"));
    format!("{}\n", paint(Ink::Faint, &text))
}

fn row_of(level: f64, top: f64) -> usize {
    ((level / top * ROWS as f64) as usize).min(ROWS - 1)
}

fn plot_row(drive: &[f64], row: usize, top: f64, operate: usize, release: usize) -> String {
    let ground = if row == operate {
        '─'
    } else if row == release {
        '╌'
    } else {
        ' '
    };
    let eighths =
        |v: &f64| ((v / top * ROWS as f64 - row as f64).clamp(0.0, 1.0) * 8.0).round() as usize;
    let cells: String = drive
        .iter()
        .map(|v| match eighths(v) {
            0 => ground,
            n => BLOCKS[n],
        })
        .collect();
    let label = match (row == operate, row == release) {
        (true, true) => " op., rel.",
        (true, false) => " operate",
        (false, true) => " release",
        (false, false) => "",
    };
    let scale = top * (row + 1) as f64 / ROWS as f64;
    let edge =
        if row + 1 == ROWS || row + 1 == ROWS / 2 { number(scale, "mT") } else { String::new() };
    let line = format!("{edge:>GUTTER$} │{}{label}", paint(Ink::Drive, cells.trim_end()));
    // Where a line has a label its blank end has to stay, so that the label keeps its place.
    if label.is_empty() {
        return format!("{}\n", line.trim_end());
    }
    format!("{edge:>GUTTER$} │{}{label}\n", paint(Ink::Drive, &cells))
}

fn pass(sweep: &SweepAnswer, contact: &ContactAnswer, direction: Direction) -> String {
    let mut cells = vec!['·'; COLUMNS];
    for stretch in contact.closed.iter().filter(|s| s.direction == direction) {
        let [a, b] = [stretch.from, stretch.to].map(|c| column_of(sweep, c));
        cells[a.min(b)..=a.max(b)].fill('━');
    }
    for event in contact.events.iter().filter(|e| e.direction == direction) {
        if let Some(at) = event.at.value {
            cells[column_of(sweep, at)] = mark(event.kind, direction);
        }
    }
    let word = match direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
    };
    let closed = if contact.closed.iter().any(|s| s.direction == direction) {
        " ━ closed"
    } else {
        " open"
    };
    let cells: String = cells.into_iter().collect();
    format!("{word:>GUTTER$}  {cells}{closed}\n")
}

fn axis(sweep: &SweepAnswer) -> String {
    let [left, right] = [sweep.from, sweep.to].map(|v| with_unit(v, &sweep.unit));
    let room = COLUMNS.saturating_sub(left.chars().count() + right.chars().count() + 2);
    let name = cut(&sweep.coordinate, room);
    let line = format!("{:GUTTER$}  {left} {name:^room$} {right}", "");
    format!("{}\n", paint(Ink::Faint, &line))
}

fn column_of(sweep: &SweepAnswer, coordinate: f64) -> usize {
    let share = (coordinate - sweep.from) / (sweep.to - sweep.from);
    (share.clamp(0.0, 1.0) * (COLUMNS - 1) as f64).round() as usize
}

/// The size of the drive at every column: the largest sample which falls there, or else what lies
/// between its neighbours, so that no narrow lobe is lost.
fn columns(sweep: &SweepAnswer, trace: &[TraceRow]) -> Option<Vec<f64>> {
    if trace.len() < 2 || sweep.from == sweep.to {
        return None;
    }
    let between = |column: usize| {
        let share = column as f64 / (COLUMNS - 1) as f64;
        let at = sweep.from + (sweep.to - sweep.from) * share;
        trace.windows(2).find_map(|pair| between(&pair[0], &pair[1], at))
    };
    let mut drive: Vec<f64> = (0..COLUMNS).map(|c| between(c).unwrap_or(0.0).abs()).collect();
    for row in trace {
        let cell = &mut drive[column_of(sweep, row.coordinate)];
        *cell = cell.max(row.drive_open.abs());
    }
    Some(drive)
}

fn between(a: &TraceRow, b: &TraceRow, at: f64) -> Option<f64> {
    let share = (at - a.coordinate) / (b.coordinate - a.coordinate);
    let inside = (-1e-9..=1.0 + 1e-9).contains(&share);
    inside.then_some(a.drive_open + (b.drive_open - a.drive_open) * share)
}
