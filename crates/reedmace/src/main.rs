//! The `reedmace` command.
fn main() {}
