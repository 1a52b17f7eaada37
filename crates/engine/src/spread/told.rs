//! From what was gathered of the units to the answer.

use crate::answer::{
    Band, DemandSpread, Direction, Distribution, Evaluation, EventKind, EventSpread, FigureSpread,
    HistogramAt, ModelNote, Provenance, QuantileAt, Share, SpreadAnswer, UnitAt, Verdict,
};
use crate::error::EngineError;
use crate::judge::Standing;
use crate::models;
use crate::quantity::line_of;
use crate::spread::figures::{DesignFigure, EventFigure};
use crate::spread::run::Spread;
use crate::spread::tally::{DemandTally, Tally};
use crate::units::{Shown, ShownRoom, figure_ends, figure_number, tidy};
use reedmace_design::{Demand, Figure, Model};
use reedmace_sampling::{Summary, units_for_claim, units_for_width};
use reedmace_units::format_number;

/// Quantiles told: those of a normal distribution's one, two and three sigma, median, quartiles and
/// percentiles.
const QUANTILES: [f64; 11] =
    [0.001_35, 0.01, 0.022_75, 0.05, 0.25, 0.5, 0.75, 0.95, 0.977_25, 0.99, 0.998_65];
/// Confidence of intervals.
const CONFIDENCE: f64 = 0.95;
/// A share of failures known to within this part of itself is known well enough.
const SHARP: f64 = 0.1;
/// A share of failures below this is small enough.
const FEW: f64 = 1e-6;

/// A bin of a figure's histogram.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureRow {
    /// Which figure: `lid: operate, forward, lobe 1`, `lid: room of closed <= 8 mm`.
    pub figure: String,
    /// Unit of the edges.
    pub unit: String,
    /// Lower edge; minus infinity for what lies below all bins.
    pub low: f64,
    /// Upper edge; infinity for what lies above all.
    pub high: f64,
    /// Units in it.
    pub units: u64,
}

impl Spread {
    /// What `tally` says, with what drives it.
    ///
    /// # Errors
    /// [`EngineError::Unmergeable`] when it is of another study.
    pub fn answer(&self, tally: &Tally, design_name: &str) -> Result<SpreadAnswer, EngineError> {
        self.find(tally, &|| ())?;
        self.counted(tally, design_name)
    }

    /// The same at once, for a study that grows: what drives it and what to tighten only if
    /// [`Self::find`] has found that before, else none.
    ///
    /// # Errors
    /// As [`Self::answer`].
    pub fn counted(&self, tally: &Tally, design_name: &str) -> Result<SpreadAnswer, EngineError> {
        // Refuses what is of another study.
        self.tally()?.merge(tally)?;
        let design = &self.workshop.design;
        let shown = Shown::of(design);
        let causes = self.causes.get();
        let tighter = causes.filter(|_| misses(tally)).and_then(|c| c.tighter.get());
        let tighter = tighter.cloned().unwrap_or_default();
        let demands = design.demands.iter().enumerate().map(|(k, demand)| {
            let mut told = self.demand(k, demand, &tally.demands[k], &shown);
            if let Some(causes) = causes {
                told.drivers.clone_from(&causes.drivers.rooms[k]);
                told.drivers_of_meeting.clone_from(&causes.drivers.met[k]);
            }
            told
        });
        let events = self.figures.events.iter().enumerate().map(|(k, figure)| {
            let mut told = self.event(figure, &tally.events[k], &shown);
            if let Some(causes) = causes {
                told.drivers.clone_from(&causes.drivers.events[k]);
            }
            told
        });
        let figures = self.figures.design.iter().enumerate().filter_map(|(k, figure)| {
            let mut told = told_of_figure(figure, &tally.figures[k])?;
            if let Some(causes) = causes {
                told.drivers.clone_from(&causes.drivers.figures[k]);
            }
            Some(told)
        });
        let evaluation = evaluation(tally, &shown);
        let mut models = models::notes(&self.workshop, 0);
        models.push(self.sampling_note(&evaluation));
        let mut references: Vec<String> =
            models.iter().flat_map(|m| m.references.clone()).collect();
        references.sort();
        references.dedup();
        Ok(SpreadAnswer {
            format: 1,
            title: design.title.clone(),
            units: tally.units(),
            of: tally.of.units,
            coordinate: shown.name.clone(),
            unit: shown.unit.into(),
            demands: demands.collect(),
            events: events.collect(),
            figures: figures.collect(),
            tighter,
            units_with_other_events: tally.others,
            evaluation,
            models,
            provenance: Provenance {
                version: tally.of.version.clone(),
                design: design_name.into(),
                design_sha256: tally.of.design_sha256.clone(),
                seed: tally.of.seed,
                references,
                scenes: self.worst.scenes + tally.units(),
            },
        })
    }

    /// The histogram of every figure, in the unit that goes with it.
    pub fn rows<'a>(&'a self, tally: &'a Tally) -> impl Iterator<Item = FigureRow> + 'a {
        let design = &self.workshop.design;
        let shown = Shown::of(design);
        let events = self.figures.events.iter().zip(&tally.events).map(|(figure, summary)| {
            let name = &design.contacts[figure.contact].name;
            let kind = if figure.kind == EventKind::Operate { "operate" } else { "release" };
            let pass = if figure.direction == Direction::Forward { "forward" } else { "back" };
            let lobe = figure.lobe + 1;
            (format!("{name}: {kind}, {pass}, lobe {lobe}"), Scale::Coordinate, summary)
        });
        let named = design.figures();
        let rooms = design.demands.iter().zip(&tally.demands).map(move |(demand, tally)| {
            let name = design.subject(demand);
            let scale = Scale::Room(Shown::of(design).room(demand, &named));
            (format!("{name}: room of {}", demand.text), scale, &tally.room)
        });
        let figures = self
            .figures
            .design
            .iter()
            .zip(&tally.figures)
            .map(|(f, summary)| (f.figure.name.clone(), Scale::Figure(&f.figure), summary));
        events.chain(rooms).chain(figures).flat_map(move |(figure, scale, summary)| {
            let h = summary.histogram();
            let (unit, number): (&str, Box<dyn Fn(f64) -> f64>) = match scale {
                Scale::Coordinate => (shown.unit, Box::new(|si| shown.number(si))),
                Scale::Room(room) => (room.unit, Box::new(move |si| room.number(si))),
                Scale::Figure(f) => (f.unit.symbol, Box::new(move |si| figure_number(f, si))),
            };
            let edges: Vec<[f64; 2]> =
                (0..h.bins().len()).map(|k| [number(h.edge(k)), number(h.edge(k + 1))]).collect();
            let inner = edges.iter().copied().zip(h.bins().iter().copied());
            let below = ([f64::NEG_INFINITY, number(h.edge(0))], h.below());
            let above = ([number(h.edge(h.bins().len())), f64::INFINITY], h.above());
            let rows = std::iter::once(below).chain(inner).chain([above]);
            let row = |([low, high], units): ([f64; 2], u64)| FigureRow {
                figure: figure.clone(),
                unit: unit.into(),
                low,
                high,
                units,
            };
            rows.map(row).collect::<Vec<_>>()
        })
    }

    fn demand(
        &self,
        k: usize,
        demand: &Demand,
        tally: &DemandTally,
        shown: &Shown,
    ) -> DemandSpread {
        let design = &self.workshop.design;
        let (least, every_met) = self.worst.demands[k];
        let scale = shown.room(demand, &design.figures());
        let number = |si: f64| scale.number(si);
        let worst_case = Verdict::of(self.nominal.demands[k].met, every_met);
        let room = |margin: f64| Standing { met: true, margin }.room().map(number);
        let share = Share::of(&tally.met);
        DemandSpread {
            contact: design.subject(demand),
            text: demand.text.clone(),
            line: line_of(design, demand.span.start),
            worst_case,
            too_few: too_few(&share),
            share,
            room: distribution(&tally.room, &number),
            unit: scale.unit.into(),
            worst_unit: tally.worst.map(|w| UnitAt { unit: w.unit, value: room(w.value) }),
            room_worst_case: room(least),
            drivers: Vec::new(),
            drivers_of_meeting: Vec::new(),
        }
    }

    fn event(&self, figure: &EventFigure, summary: &Summary, shown: &Shown) -> EventSpread {
        let number = |si: f64| shown.number(si);
        EventSpread {
            contact: self.workshop.design.contacts[figure.contact].name.clone(),
            kind: figure.kind,
            direction: figure.direction,
            lobe: figure.lobe + 1,
            worst_case: Band {
                value: figure.nominal.map(number),
                low: number(figure.limits[0]),
                high: number(figure.limits[1]),
                unit: shown.unit.into(),
            },
            units: summary.count(),
            absent: summary.absent(),
            at: distribution(summary, &number),
            drivers: Vec::new(),
        }
    }
}

/// What the values of a histogram are of.
enum Scale<'a> {
    /// The sweep's coordinate.
    Coordinate,
    /// The room of a demand.
    Room(ShownRoom),
    /// A figure of the design.
    Figure(&'a Figure),
}

/// A figure of the design over the units; `None` where none has it.
fn told_of_figure(figure: &DesignFigure, summary: &Summary) -> Option<FigureSpread> {
    let number = |si: f64| figure_number(&figure.figure, si);
    let unit: String = figure.figure.unit.symbol.into();
    let worst_case = figure.nominal.map(|nominal| Band {
        value: Some(number(nominal)),
        low: number(figure.limits[0]),
        high: number(figure.limits[1]),
        unit: unit.clone(),
    });
    (summary.count() > 0 || worst_case.is_some()).then(|| FigureSpread {
        group: figure.figure.group.into(),
        ends: figure_ends(&figure.figure),
        name: figure.figure.name.clone(),
        worst_case,
        units: summary.count(),
        absent: summary.absent(),
        values: distribution(summary, &number),
        unit,
        drivers: Vec::new(),
    })
}

/// Whether a unit has missed a demand.
pub(super) fn misses(tally: &Tally) -> bool {
    tally.demands.iter().any(|d| d.met.met() < d.met.of())
}

fn distribution(summary: &Summary, number: &dyn Fn(f64) -> f64) -> Option<Distribution> {
    // A difference of temperatures knows no zero.
    let difference = |si: f64| tidy(number(si) - number(0.0));
    let (least, greatest) = (summary.least()?, summary.greatest()?);
    let at = |e: reedmace_sampling::Extreme| UnitAt { unit: e.unit, value: Some(number(e.value)) };
    let quantile = |share: &f64| {
        let q = summary.quantile(*share)?;
        Some(QuantileAt {
            share: *share,
            value: number(q.value),
            within: difference(q.high - q.low),
        })
    };
    let h = summary.histogram();
    Some(Distribution {
        mean: number(summary.moments().mean()?),
        deviation: difference(summary.moments().deviation().unwrap_or(0.0)),
        least: at(least),
        greatest: at(greatest),
        quantiles: QUANTILES.iter().filter_map(quantile).collect(),
        histogram: HistogramAt {
            low: number(h.edge(0)),
            high: number(h.edge(h.bins().len())),
            below: h.below(),
            above: h.above(),
            counts: h.bins().to_vec(),
        },
    })
}

/// What more units would tell.
fn too_few(share: &Share) -> Option<String> {
    let failing = [1.0 - share.high, 1.0 - share.low];
    let missed = (share.of - share.met) as f64 / share.of as f64;
    let sharp = failing[1] - failing[0] <= 2.0 * SHARP * missed;
    if sharp || failing[1] <= FEW {
        return None;
    }
    if share.met == share.of {
        let units = units_for_claim(FEW, 0, CONFIDENCE)?;
        return Some(format!(
            "no unit misses it; that fewer than {} ppm do takes {units} units without a miss to say",
            format_number(FEW * 1e6, 3)
        ));
    }
    let units = units_for_width(missed, 2.0 * SHARP * missed, CONFIDENCE)?;
    Some(format!("to know the share that misses it to within a tenth takes about {units} units"))
}

fn evaluation(tally: &Tally, shown: &Shown) -> Evaluation {
    let proof = tally.proof;
    let largest_error = shown.number(proof.furthest);
    let apart = if shown.unit == "mm" {
        format!("{} µm", format_number(1e3 * largest_error, 3))
    } else {
        format!("{} {}", format_number(largest_error, 3), shown.unit).trim_end().to_owned()
    };
    let said = if tally.of.exact {
        "every event of every unit was found on its true drive".into()
    } else if proof.units == 0 && proof.failed == 0 {
        "every unit that was to be compared came so near to a decision that it was found on its true drive".into()
    } else if proof.failed > 0 {
        format!(
            "the model was too far off in {} blocks of units, which were evaluated exactly; in {} \
             units of the others its events lie within {apart} of the true ones",
            proof.failed, proof.units
        )
    } else {
        format!(
            "events by a model of the drive; in {} units compared with their true drive they lie within \
             {apart} of it",
            proof.units
        )
    };
    Evaluation {
        exact: tally.of.exact,
        exact_units: tally.exact,
        sampled_whole: tally.whole,
        proof_units: proof.units,
        largest_error,
        disagreed: proof.unlike,
        said,
    }
}

impl Spread {
    fn sampling_note(&self, evaluation: &Evaluation) -> ModelNote {
        let variables = &self.workshop.variables;
        let group = |group: &Vec<usize>| {
            group.iter().map(|v| variables.get(*v).path.as_str()).collect::<Vec<_>>().join(", ")
        };
        let together: Vec<String> = variables.together.iter().map(group).collect();
        let how = match together.is_empty() {
            true => "independently of the others".to_owned(),
            false => {
                format!("independently but for a Gaussian copula of {}", together.join("; of "))
            }
        };
        let mut references =
            vec!["joe2008", "owen1995", "korn1998", "saltelli2010", "jansen1999", "rabitz1999"];
        if !together.is_empty() {
            references.push("kruskal1958");
        }
        ModelNote {
            name: Model::Units.name().into(),
            how: format!(
                "Sobol points in sixteen independent nested uniform scrambles; each quantity \
                spread as stated, {how}"
            ),
            accuracy: format!(
                "{}. Intervals hold the true share in 93.5 % or more of simulated studies; indices carry \
             their standard errors",
                evaluation.said
            ),
            references: references.into_iter().map(Into::into).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Temperatures spread as much in °C as in K; their mean is told from 0 °C.
    #[test]
    fn law_a_spread_of_temperatures_has_no_zero() {
        let mut summary = Summary::new(300.0, 310.0, 10).expect("a histogram");
        for unit in 0..11 {
            summary.put(unit, 300.0 + unit as f64);
        }
        let told = distribution(&summary, &|kelvin| tidy(kelvin - 273.15)).expect("told");
        // Ten steps of 1 K from end to end: a variance of 11 of eleven even values.
        assert!((told.deviation - 11f64.sqrt()).abs() < 1e-9, "{}", told.deviation);
        assert!((told.mean - 31.85).abs() < 1e-9, "{}", told.mean);
        assert!(told.quantiles.iter().all(|q| (0.0..=1.01).contains(&q.within)), "{told:?}");
    }
}
