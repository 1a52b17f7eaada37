//! The cheapest arrangements of what a design leaves free.

use super::spread::Interruption;
use super::{BITMAP_SCALE, Loaded, called, catalogue, refused};
use crate::{cli::Shared, failure::Failure, input::Beside, progress::Progress};
use reedmace_engine::{ChooseOptions, ChooseProgress, Choosing};
use reedmace_materials::Grades;
use reedmace_report::{csv, figures, number::number, png};
use std::{fs, sync::atomic::Ordering};

/// What was chosen.
pub(crate) struct ChooseTold {
    choosing: Choosing,
}

/// A form the front can be written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Plot {
    Svg,
    Png,
    Csv,
}

impl ChooseTold {
    /// What a machine reads.
    pub(crate) fn answer(&self) -> &reedmace_engine::answer::ChooseAnswer {
        &self.choosing.answer
    }

    /// The text of the `n`th arrangement, from 1; `None` for the nearest where none was found.
    pub(crate) fn text(&self, n: Option<usize>) -> Result<&str, Failure> {
        let found = self.choosing.texts.len();
        let text = match n {
            Some(n) => n.checked_sub(1).and_then(|k| self.choosing.texts.get(k)),
            None => self.choosing.nearest.as_ref(),
        };
        text.map(String::as_str).ok_or_else(|| {
            let fault = match (n, found) {
                (None, 0) => "there is no nearest arrangement".into(),
                (None, _) => "some arrangements meet all demands: save one by its number".into(),
                (Some(n), 0) => format!("no arrangement {n}: none was found; --save nearest FILE saves what comes nearest"),
                (Some(n), found) => format!("no arrangement {n}: {found} were found"),
            };
            Failure::Refused(format!("--save: {fault}"))
        })
    }

    /// Cost against margin.
    pub(crate) fn plot(&self, form: Plot) -> Result<Vec<u8>, Failure> {
        let drawing = || figures::front(self.answer());
        match form {
            Plot::Csv => Ok(csv::front(self.answer()).into_bytes()),
            Plot::Svg => Ok(drawing().into_bytes()),
            Plot::Png => png(&drawing(), BITMAP_SCALE).map_err(refused),
        }
    }
}

/// Find the cheapest arrangements; what was found stands when the user stops it.
pub(crate) fn choose(
    loaded: &Loaded,
    options: &ChooseOptions,
    beside: &Beside,
    shared: &Shared,
) -> Result<ChooseTold, Failure> {
    let stop = Interruption::heed()?;
    stop.soften();
    let (catalogue, grades) = (catalogue(shared)?, Grades::builtin());
    let folder = beside.folder().to_path_buf();
    let load = |file: &str| fs::read(folder.join(file));
    let remake = |text: &str| {
        let read = reedmace_design::parse_with(text, &catalogue, &grades, &load);
        read.map(|(design, _)| design)
    };
    let progress = Progress::combinations();
    let go_on = |at: ChooseProgress| {
        let best = at.cheapest.map_or(String::new(), |cost| format!(", from {}", number(cost, "")));
        progress.say(format!("{} found{best}", at.found));
        progress.tick(at.done, at.of);
        !stop.told.load(Ordering::Relaxed)
    };
    let name = called(&loaded.name);
    let choosing = reedmace_engine::choose(&loaded.design, name, options, &remake, &go_on);
    Ok(ChooseTold { choosing: choosing.map_err(refused)? })
}
