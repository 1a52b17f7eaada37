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
    let new: Vec<New> = values
        .iter()
        .map(|(path, value)| New {
            path: path.clone(),
            toml: toml_edit::Value::from(value.as_str()).to_string(),
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
