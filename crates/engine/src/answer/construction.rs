//! What is told of a contact's construction.

use schemars::JsonSchema;
use serde::Serialize;

/// A contact's construction: numbers with how sure they are, and what a micrometre is worth.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ConstructionAnswer {
    /// The contacts that are made so.
    pub contacts: Vec<String>,
    /// Numbers, nominal dimensions throughout.
    pub rows: Vec<ConstructionRow>,
    /// The nominal contact in its test coil; `None` where sensitivity is not stated in a coil.
    pub spring: Option<Sprung>,
    /// What dimensions are worth in ampere-turns; empty where sensitivity is not stated in a coil.
    pub worth: Vec<Worth>,
    /// What follows, in sentences.
    pub findings: Vec<String>,
}

/// A number of a construction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ConstructionRow {
    /// What it is: `gap capacitance`, where that `of` each contact is a figure too.
    pub what: String,
    /// Likeliest value.
    pub value: f64,
    /// Lowest, by what is not known of materials.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Unit of the three.
    pub unit: String,
    /// Where it is from and how sure it is.
    pub source: String,
}

/// What the spring that the operate value asks for makes of the pull, nominal.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sprung {
    /// Stated operate value, AT.
    #[serde(rename = "operate_AT")]
    pub operate: f64,
    /// Where this spring opens the contact, AT.
    #[serde(rename = "release_AT")]
    pub release: f64,
    /// Contact force at the operate value, mN.
    #[serde(rename = "force_mN")]
    pub force: f64,
}

/// What a change of a dimension is worth.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Worth {
    /// The dimension.
    pub of: String,
    /// The dimension of these contacts: nominal, lowest and highest, µm.
    #[serde(rename = "size_um")]
    pub size: [f64; 3],
    /// Change of operate per micrometre, AT.
    #[serde(rename = "operate_AT_per_um")]
    pub operate: f64,
    /// Change of release per micrometre, AT.
    #[serde(rename = "release_AT_per_um")]
    pub release: f64,
    /// Change of the contact force per micrometre, at the ampere-turns at which the nominal contact operates, mN.
    #[serde(rename = "force_mN_per_um")]
    pub force: f64,
}
