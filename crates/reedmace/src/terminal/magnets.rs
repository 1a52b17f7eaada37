//! Magnets of a grade: the room before the knee where it is least, in a line each.

use super::{Ink, layout::whole, layout::wrap, paint};
use reedmace_engine::answer::MagnetAnswer;
use reedmace_report::{
    brief::{self, Alike},
    number::{number, with_unit},
};

/// The least loss that is told by its number, %.
const LEAST: f64 = 0.1;

/// A line for each magnet; `None` when no magnet has a grade.
pub(crate) fn magnets(magnets: &[MagnetAnswer]) -> Option<String> {
    if magnets.is_empty() {
        return None;
    }
    Some(brief::magnets(magnets).iter().map(magnet).collect())
}

fn magnet(alike: &Alike<'_, MagnetAnswer>) -> String {
    let magnet = alike.one;
    let state = magnet.critical_state();
    let at = whole(&format!("{} °C", number(state.temperature, "°C")));
    let plural = if alike.count > 1 { "s" } else { "" };
    let head = format!("Magnet{plural} {}: {},", alike.names, magnet.grade);
    if state.loss > 0.0 {
        let lost = if state.loss < LEAST {
            format!("less than {}", with_unit(LEAST, "%"))
        } else {
            format!("about {}", with_unit(state.loss, "%"))
        };
        let lost = whole(&lost);
        let loses = if alike.count > 1 { "each loses" } else { "loses" };
        let text = format!("{head} {loses} {lost} of its strength for good at {at}");
        return wrap("", &text).replacen(&lost, &paint(Ink::AtRisk, &lost), 1);
    }
    let room = whole(&with_unit(state.worst.knee_margin, "%"));
    wrap("", &format!("{head} at least {room} before the knee of its curve at {at}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terminal::fixture;
    use anstream::adapter::strip_str;

    #[test]
    fn a_magnet_says_its_room_or_its_loss() {
        let mut answer = fixture::magnet();
        let text = magnets(std::slice::from_ref(&answer)).expect("a magnet");
        assert!(text.contains("at least 42.5\u{a0}% before the knee"), "{text}");
        answer.states[0].loss = 3.21;
        let text = magnets(&[answer]).expect("a magnet");
        assert!(
            strip_str(&text).to_string().contains("loses about\u{a0}3.2\u{a0}% of its"),
            "{text}"
        );
        assert_eq!(magnets(&[]), None);
    }
}
