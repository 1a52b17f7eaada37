//! What is told of a door.

use crate::answer::Band;
use schemars::JsonSchema;
use serde::Serialize;

/// A door: what its contacts tell, and which outside magnets could pass for it. Nominal units throughout.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DoorAnswer {
    /// The sweep's coordinate with the door shut.
    pub shut_at: f64,
    /// The same with the door open, as far as the sweep goes: so it stands for the outsiders.
    pub open_at: f64,
    /// Unit of the coordinate.
    pub unit: String,
    /// One entry per contact, in the design's order.
    pub contacts: Vec<DoorContact>,
    /// One entry per outside magnet.
    pub outsiders: Vec<Outsider>,
}

/// What a contact tells of the door.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DoorContact {
    /// Its name.
    pub name: String,
    /// Closed with the door shut.
    pub closed_when_shut: bool,
    /// Closed with the door open.
    pub closed_when_open: bool,
    /// How far the drive with the door open lies beyond what that state needs, over all tolerances.
    pub room: Band,
    /// Whether it comes back to that state by itself once a magnet that was brought near is gone, in words.
    pub comes_back: String,
}

/// An outside magnet, brought near the open door from any side and turned any way, as a dipole.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Outsider {
    /// Its name in the design or the catalogue.
    pub name: String,
    /// Its magnetic moment, A·m².
    #[serde(rename = "moment_Am2")]
    pub moment: f64,
    /// What it can do to each contact by itself.
    pub contacts: Vec<OutsiderAtContact>,
    /// Furthest from a contact at which some place and turn of it make every contact show at once what it
    /// shows with the door shut, mm from middle to middle; `None` where none does.
    #[serde(rename = "passes_for_shut_mm")]
    pub passes_for_shut: Option<f64>,
}

/// What an outside magnet can do to one contact. Distances from middle to middle, mm; `None` where it would
/// have to be in the same place.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct OutsiderAtContact {
    /// The contact.
    pub contact: String,
    /// Furthest at which it can change what the contact shows with the door open: close an open one, open a
    /// closed one.
    #[serde(rename = "changes_mm")]
    pub changes: Option<f64>,
    /// Furthest at which it can hold the contact closed as the door opens; `None` also of a contact that is
    /// open with the door shut, or closed without it.
    #[serde(rename = "holds_mm")]
    pub holds: Option<f64>,
}
