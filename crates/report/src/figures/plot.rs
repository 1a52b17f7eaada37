//! The plot inside the drive chart, by plotters: grid, tick labels, curves and their band.

use super::canvas::WIDTH;
use crate::palette::{BAND_TINT, Rgb, Tone};
use plotters::{
    chart::{ChartBuilder, ChartContext, LabelAreaPosition},
    coord::{Shift, cartesian::Cartesian2d, types::RangedCoordf64},
    drawing::{DrawingArea, IntoDrawingArea},
    element::Polygon,
    prelude::SVGBackend,
    series::LineSeries,
    style::{Color, IntoFont, RGBColor, ShapeStyle},
};

/// plotters works in whole pixels; drawing this much larger keeps the curves smooth.
pub const FINENESS: f64 = 20.0;
/// Left edge of the plot.
pub const LEFT: f64 = 84.0;
/// Room right of the plot.
pub const RIGHT: f64 = 152.0;
/// Top edge of the plot.
pub const TOP: f64 = 34.0;
/// Height of the plot.
pub const PLOT_HEIGHT: f64 = 184.0;
/// Room for tick labels under the plot.
const BELOW: f64 = 24.0;

/// Coordinates of the chart.
pub struct Frame {
    /// Lowest and highest value of the sweep.
    pub x: [f64; 2],
    /// Lowest and highest drive shown, mT.
    pub y: [f64; 2],
}

impl Frame {
    /// Right edge of the plot.
    pub fn right(&self) -> f64 {
        WIDTH - RIGHT
    }
    /// Bottom edge of the plot.
    pub fn bottom(&self) -> f64 {
        TOP + PLOT_HEIGHT
    }
    /// Page x of a value of the sweep.
    pub fn at_x(&self, x: f64) -> f64 {
        LEFT + (x - self.x[0]) / (self.x[1] - self.x[0]) * (self.right() - LEFT)
    }
    /// Page y of a drive.
    pub fn at_y(&self, y: f64) -> f64 {
        self.bottom() - (y - self.y[0]) / (self.y[1] - self.y[0]) * PLOT_HEIGHT
    }
}

/// One traced place, with the drive as the chart shows it.
#[derive(Clone, Copy)]
pub struct Point {
    /// Value of the sweep.
    pub x: f64,
    /// Drive of the open contact, mT.
    pub open: f64,
    /// Drive of the closed contact, mT.
    pub closed: f64,
    /// Lowest open drive over the tolerances, mT.
    pub low: f64,
    /// Highest open drive over the tolerances, mT.
    pub high: f64,
}

/// Grid and tick labels.
pub fn grid(frame: &Frame) -> String {
    plot(frame, |root| {
        let mut chart = chart(root, frame)?;
        let font = ("Noto Sans", 12.0 * FINENESS * 1.24).into_font().color(&rgb(Tone::Ink));
        let text = |value: &f64| trimmed(*value);
        chart
            .configure_mesh()
            .axis_style(pen(Tone::Ink, 0.9))
            .light_line_style(rgb(Tone::Paper).mix(0.0))
            .bold_line_style(pen(Tone::Hairline, 0.6))
            .set_all_tick_mark_size(5.0 * FINENESS)
            .x_labels(10)
            .y_labels(6)
            .x_label_formatter(&text)
            .y_label_formatter(&text)
            .label_style(font)
            .draw()
            .map_err(drop)
    })
}

/// The drive and its band.
pub fn open_curve(points: &[Point], frame: &Frame) -> String {
    plot(frame, |root| {
        let mut chart = chart(root, frame)?;
        let mut band = held(points.iter().map(|p| (p.x, p.low)), frame.y);
        band.extend(held(points.iter().map(|p| (p.x, p.high)), frame.y).into_iter().rev());
        let fill = rgb(Tone::Drive).mix(BAND_TINT);
        chart.draw_series([Polygon::new(band, fill)]).map_err(drop)?;
        for piece in visible(points.iter().map(|p| (p.x, p.open)), frame.y) {
            chart.draw_series(LineSeries::new(piece, pen(Tone::Drive, 2.4))).map_err(drop)?;
        }
        Ok(())
    })
}

/// The drive of the closed contact, which decides release: thin and dashed.
pub fn closed_curve(points: &[Point], frame: &Frame) -> String {
    let curve = plot(frame, |root| {
        let mut chart = chart(root, frame)?;
        for piece in visible(points.iter().map(|p| (p.x, p.closed)), frame.y) {
            chart.draw_series(LineSeries::new(piece, pen(Tone::Drive, 1.2))).map_err(drop)?;
        }
        Ok(())
    });
    format!("<g class=\"dashed-fine\">{curve}</g>")
}

/// A curve that runs along the edge of the frame where it leaves it, with its corners where it does:
/// plotters would move the next point to the edge and bend the way there.
fn held(curve: impl Iterator<Item = (f64, f64)>, [low, high]: [f64; 2]) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut before: Option<(f64, f64)> = None;
    for (x, y) in curve {
        if let Some((x0, y0)) = before {
            let mut crossed: Vec<f64> = [low, high]
                .into_iter()
                .filter(|level| (y0 - level) * (y - level) < 0.0)
                .map(|level| (level - y0) / (y - y0))
                .collect();
            crossed.sort_by(f64::total_cmp);
            let cut = |t: f64| (x0 + t * (x - x0), (y0 + t * (y - y0)).clamp(low, high));
            out.extend(crossed.into_iter().map(cut));
        }
        out.push((x, y.clamp(low, high)));
        before = Some((x, y));
    }
    out
}

/// The pieces of a curve between two heights, cut where it crosses them: plotters would draw what is
/// outside along the edge.
fn visible(curve: impl Iterator<Item = (f64, f64)>, [low, high]: [f64; 2]) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    let mut before: Option<(f64, f64)> = None;
    for (x, y) in curve {
        let cut =
            |(x0, y0): (f64, f64), level: f64| (x0 + (level - y0) / (y - y0) * (x - x0), level);
        let inside = |y: f64| (low..=high).contains(&y);
        if let Some(last) = before {
            let mut crossed: Vec<(f64, f64)> = [low, high]
                .into_iter()
                .filter(|level| (last.1 - level) * (y - level) < 0.0)
                .map(|level| cut(last, level))
                .collect();
            crossed.sort_by(|a, b| (a.0 - last.0).abs().total_cmp(&(b.0 - last.0).abs()));
            for point in crossed {
                pieces.last_mut().expect("never empty").push(point);
                if !inside(y) && inside(last.1) {
                    pieces.push(Vec::new());
                }
            }
        }
        if inside(y) {
            pieces.last_mut().expect("never empty").push((x, y));
        }
        before = Some((x, y));
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

type Root<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// plotters' chart over the whole figure; its plot lies exactly in [`Frame`].
fn chart<'a, 'b>(root: &'a Root<'b>, frame: &Frame) -> Result<Chart<'a, 'b>, ()> {
    let fine = |units: f64| (units * FINENESS) as u32;
    ChartBuilder::on(root)
        .margin_top(fine(TOP))
        .margin_right(fine(RIGHT))
        .set_label_area_size(LabelAreaPosition::Left, fine(LEFT))
        .set_label_area_size(LabelAreaPosition::Bottom, fine(BELOW))
        .build_cartesian_2d(frame.x[0]..frame.x[1], frame.y[0]..frame.y[1])
        .map_err(drop)
}

/// Run plotters and bring its drawing to page units and to our classes. Writing to memory cannot
/// fail; a chart too small to draw, plotters' only other complaint, leaves the plot empty.
fn plot(frame: &Frame, draw: impl FnOnce(&Root<'_>) -> Result<(), ()>) -> String {
    let size = ((WIDTH * FINENESS) as u32, ((frame.bottom() + BELOW) * FINENESS) as u32);
    let mut svg = String::new();
    let drawn = draw(&SVGBackend::with_string(&mut svg, size).into_drawing_area());
    let inside = svg.find('>').map(|start| svg[start + 1..].trim_end().trim_end_matches("</svg>"));
    let (Ok(()), Some(inside)) = (drawn, inside) else { return String::new() };
    let mut inside = inside.to_string();
    for tone in Tone::ALL {
        let hex = tone.light().hex();
        for (attribute, class) in [("stroke", "s"), ("fill", "f")] {
            for hex in [hex.clone(), hex.to_uppercase()] {
                let plain = format!("{attribute}=\"{hex}\"");
                inside = inside.replace(&plain, &format!("class=\"{class}-{}\"", tone.name()));
            }
        }
    }
    // The style sheet's size of text would win over plotters' own, which is in its finer pixels.
    let inside = inside.replace(" font-size=", " data-size=");
    format!("<g class=\"fine\" transform=\"scale({})\">{inside}</g>", 1.0 / FINENESS)
}

fn rgb(tone: Tone) -> RGBColor {
    let Rgb(r, g, b) = tone.light();
    RGBColor(r, g, b)
}

fn pen(tone: Tone, width: f64) -> ShapeStyle {
    ShapeStyle::from(rgb(tone)).stroke_width((width * FINENESS) as u32)
}

/// A tick's label without needless zeros.
fn trimmed(value: f64) -> String {
    // Ticks are sums of steps: what is left of a zero is rounding.
    let rounded = (value * 1e3).round() / 1e3 + 0.0;
    rounded.to_string().replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_a_held_curve_leaves_the_frame_where_the_curve_does() {
        let curve = [(0.0, 0.0), (1.0, 4.0), (2.0, -4.0)];
        assert_eq!(
            held(curve.into_iter(), [-1.0, 1.0]),
            [(0.0, 0.0), (0.25, 1.0), (1.0, 1.0), (1.375, 1.0), (1.625, -1.0), (2.0, -1.0)]
        );
    }
}
