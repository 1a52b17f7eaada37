//! Every message between the page and the server.
//!
//! Text frames hold one JSON object with `say`. Lengths are in mm, angles in degrees, places in the
//! text in UTF-16 units, as the page's editor counts them. A map comes as a binary frame, see
//! [`MapHeader`].

mod drawing;
mod form;
mod map;
mod region;

pub use drawing::*;
pub use form::*;
pub use map::*;
pub use region::*;

use reedmace_engine::{
    self as engine, Answer,
    answer::{ChooseAnswer, ChosenValue, Direction, EventKind, SpreadAnswer},
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the page says.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(tag = "say", rename_all = "snake_case")]
pub enum FromPage {
    /// Begin with a design.
    Open(Open),
    /// Let go of unsaved edits for good.
    Forget {
        /// Their key.
        unsaved: String,
    },
    /// The editor's whole text. The newest wins. The same text again ends a drag.
    Text {
        /// Counts up with every text of this session.
        rev: u64,
        /// The text.
        text: String,
    },
    /// Give a key a value; answered by a patch.
    Set {
        /// The text it is about.
        rev: u64,
        /// The key, as `magnet[slug].size[1]`.
        path: String,
        /// The value: TOML if `raw`, else as its key wants it; `null` takes the key out.
        value: Option<String>,
        /// The value is TOML.
        #[serde(default)]
        raw: bool,
    },
    /// Add a table `[[table]]` with what it must have; answered by a patch.
    Add {
        /// The text it is about.
        rev: u64,
        /// `contact`, `magnet`, `coil`, `steel`, `demand` or `choose`.
        table: String,
    },
    /// Take a table out; answered by a patch.
    Remove {
        /// The text it is about.
        rev: u64,
        /// The table, as `magnet[slug]`.
        path: String,
    },
    /// Show what would be with a body elsewhere; the text stays as it is.
    Drag {
        /// The text it is about.
        rev: u64,
        /// Counts up with every drag of this session; answers name it.
        seq: u64,
        /// What is moved, and whereto.
        #[serde(flatten)]
        place: Move,
    },
    /// Put a body elsewhere for good; answered by a patch.
    Drop {
        /// The text it is about.
        rev: u64,
        /// What is moved, and whereto.
        #[serde(flatten)]
        place: Move,
    },
    /// What is looked at.
    View(View),
    /// Which spread study is wanted of the newest text; the newest wish wins.
    Spread {
        /// Units, 4,096 to 1,000,000; `null` for none: a study stands still as far as it is.
        units: Option<u64>,
        /// Which units: the same seed gives the same ones.
        #[serde(default = "first_seed")]
        seed: u64,
    },
    /// Show what would be with a wider or tighter tolerance, while a study is wanted; the text stays as it
    /// is. The newest wins.
    Hold {
        /// The text it is about.
        rev: u64,
        /// Counts up with every place of this session; answers name it.
        seq: u64,
        /// The quantity, as `magnet[slug].size[1]`.
        path: String,
        /// How many times as wide; `null` lets go.
        times: Option<f64>,
    },
    /// Make a tolerance wider or tighter for good; answered by a patch.
    Tolerance {
        /// The text it is about.
        rev: u64,
        /// The quantity, as `magnet[slug].size[1]`.
        path: String,
        /// How many times as wide.
        times: f64,
    },
    /// Search what a text leaves free for the cheapest arrangement, as soon as it is read; or end the search.
    Choose {
        /// The text it is about.
        rev: u64,
        /// False ends the search: what it has found is told.
        go: bool,
    },
    /// Show the newest text with other values beside it; the text stays as it is. The newest wins.
    Beside {
        /// Counts up with every design of this session; answers name it.
        seq: u64,
        /// The values; `null` for none.
        values: Option<Vec<ChosenValue>>,
    },
    /// Write values into the text for good; answered by a patch.
    Take {
        /// The text it is about.
        rev: u64,
        /// The values.
        values: Vec<ChosenValue>,
    },
    /// Write the text of `rev` to its file.
    Save {
        /// The text it is about.
        rev: u64,
        /// Write over what was changed outside.
        #[serde(default)]
        over: bool,
        /// Save under this name of the folder from now on; a design without a file needs one.
        #[serde(default, rename = "as")]
        name: Option<String>,
    },
}

fn first_seed() -> u64 {
    1
}

/// What to begin with: exactly one of these.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub struct Open {
    /// A file of the folder. Edits of it that were never saved come with it.
    #[serde(default)]
    pub file: Option<String>,
    /// A template's name.
    #[serde(default)]
    pub template: Option<String>,
    /// An example's name.
    #[serde(default)]
    pub example: Option<String>,
    /// The key of edits that were never saved.
    #[serde(default)]
    pub unsaved: Option<String>,
}

/// A body put elsewhere.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[schemars(transform = all_required)]
pub struct Move {
    /// `magnet[slug]`, `contact[lid]`, `coil[drive]`, `steel[plate]`, or an end of the path:
    /// `sweep.from`, `sweep.to`, `sweep.centre`.
    pub body: String,
    /// Where its origin is to be where the sweep starts, as the drawing has it, mm. Of what moves first
    /// on a line or a table the whole path goes with it.
    pub at: [f64; 3],
    /// Turned further about the world's x, then y, then z through its own centre, degrees.
    #[serde(default)]
    pub turn: [f64; 3],
}

/// The map wanted.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[schemars(transform = all_required)]
pub struct View {
    /// The plane, named by the axes to the right and up.
    pub plane: Plane,
    /// Where it cuts the third axis, mm; `null` where the sweep starts.
    #[serde(default)]
    pub offset: Option<f64>,
    /// Left, right, bottom, top, mm; `null` frames contact and path.
    #[serde(default)]
    pub extent: Option<[f64; 4]>,
    /// Places across and up.
    pub cells: [usize; 2],
    /// Index of the contact.
    #[serde(default)]
    pub contact: usize,
    /// False for no map at all.
    pub map: bool,
}

/// A plane, named by the axes to the right and up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Plane {
    /// x to the right, y up.
    Xy,
    /// x to the right, z up.
    Xz,
    /// y to the right, z up.
    Yz,
}

/// What the server says.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[serde(tag = "say", rename_all = "snake_case")]
pub enum ToPage {
    /// The design asked for.
    Opened {
        /// Names this session in the addresses of exports.
        session: String,
        /// Its file in the folder; `null` until it is saved under a name.
        file: Option<String>,
        /// The name answers give it.
        name: String,
        /// Its text, which is `rev` 0.
        text: String,
        /// What the file holds, if `text` are edits that were never saved; else `null`.
        saved: Option<String>,
        /// True when `text` are edits that were never saved.
        recovered: bool,
    },
    /// Changes for the editor to make in one transaction.
    Patch {
        /// The text they are for.
        rev: u64,
        /// In order of place; all count in the text before any of them.
        changes: Vec<Change>,
        /// Which message asked.
        #[schemars(extend("enum" = ["set", "add", "remove", "drop", "tolerance", "take"]))]
        why: &'static str,
    },
    /// What a text is.
    Design {
        /// The text.
        rev: u64,
        /// Faults and warnings, in order of place.
        diagnostics: Vec<Mark>,
        /// The form; `null` where the text is no TOML.
        form: Option<Vec<Section>>,
        /// Where everything is; `null` while faults stand.
        drawing: Option<Drawing>,
        /// The title, as far as there is one.
        title: Option<String>,
    },
    /// Nominal events and drive of a text or a drag.
    Live {
        /// The text.
        rev: u64,
        /// The drag, or `null` for the text as it is.
        seq: Option<u64>,
        /// True when it is a rough one and a finer one of the same follows unless something newer is
        /// asked.
        coarse: bool,
        /// The picture.
        glance: Glance,
    },
    /// The map sent last is also that of this text or drag.
    MapStands {
        /// The text.
        rev: u64,
        /// The drag, or `null` for the text as it is.
        seq: Option<u64>,
    },
    /// The whole answer: what `reedmace check --json` prints.
    Answer {
        /// The text.
        rev: u64,
        /// The answer.
        answer: Box<Answer>,
    },
    /// How a spread study stands, or why there is none: what `reedmace spread --json` prints, once it is
    /// done.
    Spread {
        /// The text.
        rev: u64,
        /// The place of the tolerance held, or `null` for the text as it is.
        seq: Option<u64>,
        /// True when no more follows of the same.
        done: bool,
        /// The quantity held, as it would be written.
        tolerance: Option<String>,
        /// The answer. Until what drives it is found, that is empty in it.
        answer: Option<Box<SpreadAnswer>>,
        /// Why there is none.
        none: Option<String>,
    },
    /// How far the search for the cheapest arrangement has come.
    Searching {
        /// The text.
        rev: u64,
        /// Combinations done with.
        done: u64,
        /// Of how many.
        of: u64,
        /// Arrangements that meet all, so far.
        found: u64,
        /// Cost of the cheapest of them.
        cheapest: Option<f64>,
        /// Seconds left at the pace so far; `null` where there is none yet.
        left: Option<f64>,
    },
    /// What the search has found, or why there is nothing: what `reedmace choose --json` prints.
    Chosen {
        /// The text.
        rev: u64,
        /// The answer.
        answer: Option<Box<ChooseAnswer>>,
        /// Why there is none.
        none: Option<String>,
        /// Of a design that leaves nothing free: the table that it could begin with.
        beginning: Option<String>,
    },
    /// The newest text with other values: at once nominal events, later the whole answer.
    Beside {
        /// The text.
        rev: u64,
        /// Which design.
        seq: u64,
        /// Nominal events and drive, and where everything is.
        glance: Option<Glance>,
        /// What `reedmace check --json` prints of it.
        answer: Option<Box<Answer>>,
        /// Why there is neither.
        none: Option<String>,
    },
    /// How far long work is.
    Progress {
        /// The text.
        rev: u64,
        /// Which work.
        #[schemars(extend("enum" = ["answer", "glance", "map", "region"]))]
        what: &'static str,
        /// Done.
        done: u64,
        /// Of about so many.
        of: u64,
    },
    /// The file holds the text of `rev`.
    Saved {
        /// The text.
        rev: u64,
        /// The file.
        file: String,
    },
    /// Not saved: the file was changed outside since it was read.
    Conflict {
        /// What it holds; `null` when it is gone.
        text: Option<String>,
    },
    /// The file was changed outside; nothing unsaved stands against it.
    Outside {
        /// What it holds now; `null` when it is gone.
        text: Option<String>,
    },
    /// What was asked cannot be done.
    Fault {
        /// The text it is about, if it is about one.
        rev: Option<u64>,
        /// Why.
        message: String,
    },
}

/// A change of the text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Change {
    /// First unit replaced.
    pub from: usize,
    /// One past the last.
    pub to: usize,
    /// What comes in its place.
    pub insert: String,
}

/// A fault or warning and its place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Mark {
    /// How grave.
    pub severity: Severity,
    /// A stable code.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// The words at the place.
    pub label: String,
    /// How to mend it.
    pub help: Option<String>,
    /// First unit of the text.
    pub from: usize,
    /// One past the last.
    pub to: usize,
    /// Line, from 1.
    pub line: usize,
}

/// How grave a diagnostic is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The design cannot be computed.
    Error,
    /// It can, but look at this.
    Warning,
}

/// Nominal events and drive along the sweep.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Glance {
    /// The sweep's coordinate in words: `z of slug`.
    pub coordinate: String,
    /// Its unit.
    pub unit: String,
    /// One entry per contact, in the design's order.
    pub contacts: Vec<ContactGlance>,
    /// Where everything is.
    pub drawing: Drawing,
}

/// One contact's nominal events and drive.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ContactGlance {
    /// Its name.
    pub name: String,
    /// Coordinates of the drives, along the forward pass.
    pub coordinate: Vec<f64>,
    /// Drive of the open contact there, mT, signed.
    pub drive_open: Vec<f64>,
    /// Drive of the closed contact there, mT, signed.
    pub drive_closed: Vec<f64>,
    /// Operate level: low, nominal, high, mT.
    pub operate: [f64; 3],
    /// Release level: low, nominal, high, mT.
    pub release: [f64; 3],
    /// In the order they are met: forward, then back.
    pub events: Vec<EventGlance>,
    /// True when the contact is already closed where the forward pass starts.
    pub closed_at_start: bool,
}

/// A nominal event.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EventGlance {
    /// Operate or release.
    pub kind: EventKind,
    /// Forward or back.
    pub pass: Direction,
    /// Where, in the sweep's coordinate.
    pub at: f64,
    /// Which lobe of the drive, from 1.
    pub lobe: usize,
    /// True for the lobe with the highest drive.
    pub main_lobe: bool,
}

/// The page states every field; what it leaves out is understood all the same.
fn all_required(schema: &mut schemars::Schema) {
    let fields = schema.get("properties").and_then(|fields| fields.as_object());
    let names: Vec<String> = fields.into_iter().flat_map(|fields| fields.keys().cloned()).collect();
    schema.insert("required".into(), names.into());
}

/// JSON Schema of every message: `FromPage` and `ToPage` of text frames, `MapHeader` and `RegionHeader` of
/// binary ones.
pub fn schema() -> serde_json::Value {
    let settings = schemars::generate::SchemaSettings::draft2020_12();
    let mut said = settings.clone().for_deserialize().into_generator();
    let mut told = settings.for_serialize().into_generator();
    said.subschema_for::<FromPage>();
    told.subschema_for::<ToPage>();
    told.subschema_for::<MapHeader>();
    told.subschema_for::<RegionHeader>();
    let mut all = said.take_definitions(true);
    all.append(&mut told.take_definitions(true));
    serde_json::json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Messages between the workbench's page and its server",
        "$defs": all,
    })
}

impl From<&engine::Glance> for Glance {
    fn from(glance: &engine::Glance) -> Self {
        Self {
            coordinate: glance.coordinate.clone(),
            unit: glance.unit.clone(),
            contacts: glance.contacts.iter().map(ContactGlance::from).collect(),
            drawing: Drawing::from(&glance.drawing),
        }
    }
}

impl From<&engine::GlanceContact> for ContactGlance {
    fn from(contact: &engine::GlanceContact) -> Self {
        let event = |e: &engine::GlanceEvent| EventGlance {
            kind: e.kind,
            pass: e.pass,
            at: e.at,
            lobe: e.lobe,
            main_lobe: e.main_lobe,
        };
        Self {
            name: contact.name.clone(),
            coordinate: contact.coordinate.clone(),
            drive_open: contact.drive_open.clone(),
            drive_closed: contact.drive_closed.clone(),
            operate: contact.operate,
            release: contact.release,
            events: contact.events.iter().map(event).collect(),
            closed_at_start: contact.closed_at_start,
        }
    }
}

/// How many UTF-16 units stand before byte `offset`.
pub(crate) fn utf16(text: &str, offset: usize) -> usize {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    text[..end].encode_utf16().count()
}
