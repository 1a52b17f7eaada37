//! Designs to begin with.

/// Name and text of every template.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("approach", include_str!("../templates/approach.toml")),
    ("slide-past", include_str!("../templates/slide-past.toml")),
    ("hinge", include_str!("../templates/hinge.toml")),
    ("wheel", include_str!("../templates/wheel.toml")),
    ("level", include_str!("../templates/level.toml")),
    ("target", include_str!("../templates/target.toml")),
];

/// The text of a template: `approach`, `slide-past`, `hinge`, `wheel`, `level` or `target`.
pub fn template(name: &str) -> Option<&'static str> {
    TEMPLATES.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}
