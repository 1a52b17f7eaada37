//! Designs to begin with.

/// Name and text of every template.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("approach", include_str!("../templates/approach.toml")),
    ("slide-past", include_str!("../templates/slide-past.toml")),
    ("hinge", include_str!("../templates/hinge.toml")),
    ("wheel", include_str!("../templates/wheel.toml")),
    ("load", include_str!("../templates/load.toml")),
    ("level", include_str!("../templates/level.toml")),
    ("relay", include_str!("../templates/relay.toml")),
    ("latch", include_str!("../templates/latch.toml")),
    ("target", include_str!("../templates/target.toml")),
];

/// The text of a template: one of the names of [`TEMPLATES`].
pub fn template(name: &str) -> Option<&'static str> {
    TEMPLATES.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}
