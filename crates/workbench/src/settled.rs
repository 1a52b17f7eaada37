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
    let (text, parted) = edits::apart(text).map_err(|why| why.to_string())?;
    let text = text.as_str();
    let new: Vec<New> = values
        .iter()
        .flat_map(|(path, value)| {
            let toml = toml_edit::Value::from(value.as_str()).to_string();
            // The middle of a circle is that of each on it, the pitch of a row that of each in it.
            let end = path.find(']').map_or(path.len(), |end| end + 1);
            let (head, key) = path.split_at(end);
            let paths = match parted.get(head) {
                Some(heads) => heads.iter().map(|one| format!("{one}{key}")).collect(),
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
