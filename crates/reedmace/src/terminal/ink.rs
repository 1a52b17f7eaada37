//! The few colours the terminal is given.

use anstyle::{AnsiColor, Style};
use reedmace_engine::answer::Verdict;

/// What a colour stands for.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Ink {
    Met,
    AtRisk,
    Missed,
    Drive,
    Heading,
    Faint,
}

impl Ink {
    /// The colour of a verdict.
    pub(crate) fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Met => Self::Met,
            Verdict::AtRisk => Self::AtRisk,
            Verdict::Missed => Self::Missed,
        }
    }

    /// As the terminal is told.
    pub(crate) fn style(self) -> Style {
        match self {
            Self::Met => AnsiColor::Green.on_default(),
            Self::AtRisk => AnsiColor::Yellow.on_default(),
            Self::Missed => AnsiColor::Red.on_default(),
            Self::Drive => AnsiColor::Blue.on_default(),
            Self::Heading => Style::new().bold(),
            Self::Faint => Style::new().dimmed(),
        }
    }
}

/// Text in a colour.
pub(crate) fn paint(ink: Ink, text: &str) -> String {
    let style = ink.style();
    if text.is_empty() { String::new() } else { format!("{style}{text}{style:#}") }
}
