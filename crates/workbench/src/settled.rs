//! A design as one unit of it.

use crate::edits::{self, New};
use crate::form;
use reedmace_design::Catalogue;

/// The text of a design with other values: comments, order and layout stay as they are. Keys that were
/// taken from the catalogue or by default are added to their tables; correlations, which say nothing of
/// one unit, are taken out.
///
/// `values` are paths of quantities and what they are to be, as text with a unit.
///
/// # Errors
/// Why it cannot be, in a sentence: the text has no place for a value, or is not TOML.
pub fn settled(
    text: &str,
    values: &[(String, String)],
    catalogue: &Catalogue,
) -> Result<String, String> {
    let (text, circles) = edits::apart(text).map_err(|why| why.to_string())?;
    let text = text.as_str();
    let new: Vec<New> = values
        .iter()
        .flat_map(|(path, value)| {
            let toml = toml_edit::Value::from(value.as_str()).to_string();
            // The middle of a circle is that of each on it.
            let (head, key) = path.split_once(']').unwrap_or((path, ""));
            let circle = head.strip_prefix("magnet[").and_then(|name| circles.get(name));
            let paths = match circle {
                Some(names) => names.iter().map(|one| format!("magnet[{one}]{key}")).collect(),
                None => vec![path.clone()],
            };
            paths.into_iter().map(move |path| New { path, toml: toml.clone() })
        })
        .collect();
    let rest = |path: &str| form::rest(text, path, catalogue);
    let splices = edits::set(text, &new, &rest).map_err(|why| why.to_string())?;
    let mut text = edits::spliced(text, &splices);
    while let Ok(splices) = edits::remove(&text, "correlation[0]") {
        text = edits::spliced(&text, &splices);
    }
    Ok(text)
}
