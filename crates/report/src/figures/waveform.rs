//! What a contact goes through with its load, over time: before and after it is protected.

use super::{
    canvas::{Anchor, Canvas, WIDTH},
    over_time::Panel,
};
use reedmace_engine::answer::{LoadAnswer, Moving, Switching};

const LEFT: f64 = 84.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 44.0;
const PANEL: f64 = 96.0;
/// From one panel to the next: time and title between them.
const PITCH: f64 = PANEL + 66.0;
/// What is left of a curve's height when it counts as settled.
const SETTLED: f64 = 0.02;

/// Which number of a movement a panel shows.
type Of = fn(&Moving) -> &[f64];

/// Draws voltage and current as the contact opens, and the current as it closes; without protection thin and
/// dashed where there is one.
pub fn draw(load: &LoadAnswer, prefix: &str) -> Canvas {
    let with = load.protection.as_ref();
    let title = format!("{} at {}", load.name, load.contact);
    let description = match with {
        Some(with) => format!(
            "Voltage and current of the contact as it opens and closes, without protection and with {}.",
            with.kind
        ),
        None => {
            "Voltage and current of the contact as it opens and closes, without protection.".into()
        }
    };
    let mut canvas = Canvas::new(prefix, &title, &description, TOP + 3.0 * PITCH);
    canvas.text(&title, [0.0, 14.0], Anchor::Start, "f-ink head");
    legend(&mut canvas, with.map(|with| with.kind.as_str()));
    let panels: [(&str, bool, Of); 3] = [
        ("opening: voltage across the contact, V", true, |moving| &moving.voltage),
        ("opening: current through the contact, A", true, |moving| &moving.current),
        ("closing: current through the contact, A", false, |moving| &moving.current),
    ];
    for (k, (words, opens, of)) in panels.into_iter().enumerate() {
        let moving = |switching: &Switching| {
            if opens { switching.opens.clone() } else { switching.closes.clone() }
        };
        let before = moving(&load.bare);
        let after = with.map(|with| moving(&with.with));
        let top = TOP + 24.0 + k as f64 * PITCH;
        // Both panels of a movement share its time: in one of them nothing may happen at all.
        let shown: &[Of] =
            if opens { &[|m| &m.voltage, |m| &m.current] } else { &[|m| &m.current] };
        let until = std::iter::once(&before).chain(&after);
        let until = until.flat_map(|moving| shown.iter().map(|of| settles(moving, *of)));
        let until = until.fold(1e-9, f64::max);
        panel(&mut canvas, top, words, [Some(&before), after.as_ref()], until, of);
    }
    canvas
}

fn legend(canvas: &mut Canvas, kind: Option<&str>) {
    let y = 34.0;
    let before = if kind.is_some() { "s-faded line dashed" } else { "s-drive bold" };
    canvas.line([0.0, y], [28.0, y], before);
    canvas.text("without protection", [36.0, y + 4.0], Anchor::Start, "f-ink");
    if let Some(kind) = kind {
        canvas.line([180.0, y], [208.0, y], "s-drive bold");
        canvas.text(&format!("with {kind}"), [216.0, y + 4.0], Anchor::Start, "f-ink");
    }
}

fn panel(
    canvas: &mut Canvas,
    top: f64,
    words: &str,
    curves: [Option<&Moving>; 2],
    until: f64,
    of: Of,
) {
    let mut span = [0.0f64, 0.0f64];
    for moving in curves.into_iter().flatten() {
        for (_, value) in moving.time.iter().zip(of(moving)).filter(|(t, _)| **t <= until) {
            span = [span[0].min(*value), span[1].max(*value)];
        }
    }
    if span[1] - span[0] < 1e-12 {
        span[1] = 1.0;
    }
    let panel = Panel {
        across: [LEFT, WIDTH - RIGHT],
        upright: [top, top + PANEL],
        until,
        span,
        ticks: [4, 8],
    };
    panel.frame(canvas, words);
    let before = if curves[1].is_some() { "s-faded line dashed" } else { "s-drive line" };
    for (moving, class) in curves.into_iter().zip([before, "s-drive line"]) {
        if let Some(moving) = moving {
            panel.curve(canvas, &moving.time, of(moving), class);
        }
    }
}

/// When a curve has come so near its end value that the rest is not worth the room, with a little more.
fn settles(moving: &Moving, of: Of) -> f64 {
    let values = of(moving);
    let (Some(last), Some(end)) = (values.last(), moving.time.last()) else { return 0.0 };
    let most = values.iter().fold(0.0f64, |most, value| most.max((value - last).abs()));
    let far = |value: &f64| (value - last).abs() > SETTLED * most;
    let until = values.iter().rposition(far).map_or(0.0, |k| moving.time[k]);
    (1.15 * until).min(*end)
}
