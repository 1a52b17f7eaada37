//! A design as a form.

use schemars::JsonSchema;
use serde::Serialize;

/// One table of the design as a group of fields.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Section {
    /// The table's name: `contact`, `sweep`; `design` for the file itself.
    pub table: &'static str,
    /// The entry's own name, where it has one.
    pub name: Option<String>,
    /// As in `magnet[slug]`; empty for the file itself.
    pub path: String,
    /// What the table describes, one sentence.
    pub summary: &'static str,
    /// True when the table may be taken out.
    pub removable: bool,
    /// Line of its header, from 1; `null` if the text does not have it.
    pub line: Option<usize>,
    /// Its fields, stated ones and those that may be added.
    pub fields: Vec<Field>,
}

/// One key as a field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Field {
    /// As in `magnet[slug].size[1]`.
    pub path: String,
    /// The key, with the axis where it is one of three: `size y`.
    pub key: String,
    /// What the text states; `null` where it states nothing.
    pub text: Option<String>,
    /// What kind of field.
    pub kind: FieldKind,
    /// The words to choose from.
    pub choices: Option<Vec<String>>,
    /// What is taken when nothing is stated.
    pub default: Option<String>,
    /// True when the key must be stated.
    pub required: bool,
    /// The unit a value is usually written in.
    pub unit: Option<&'static str>,
    /// The least and the greatest value, as text with units.
    pub limits: Option<[&'static str; 2]>,
    /// What it means.
    pub meaning: &'static str,
    /// A value as it may be typed.
    pub example: String,
    /// Where the value is from: `measured`, `supplier`, `standard`, `guess`, or not stated.
    pub source: Option<String>,
    /// The user's note on it.
    pub note: Option<String>,
    /// Line, from 1; `null` where the text states nothing.
    pub line: Option<usize>,
}

/// What kind of field a key is shown as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FieldKind {
    /// A quantity with its unit and tolerance.
    Quantity,
    /// One of `choices`.
    Choice,
    /// Free text; `choices`, where there are any, are known good ones.
    Text,
    /// A whole or bare number.
    Number,
    /// A list or table, as TOML.
    List,
}
