//! Tables of measured errors: printed, and written where the validation page is put together.

use std::fmt::Write;

/// A table of the validation page, each row an error with its limit.
pub struct Table {
    name: &'static str,
    text: String,
    faults: Vec<String>,
}

impl Table {
    /// `name` of the file, heading, and what the columns mean.
    pub fn new(name: &'static str, heading: &str, note: &str, columns: &str) -> Self {
        let mut text =
            format!("## {heading}\n\n{note}\n\n| {columns} | largest error | limit |\n|");
        for _ in 0..columns.split('|').count() + 2 {
            text.push_str("---|");
        }
        text.push('\n');
        Self { name, text, faults: Vec::new() }
    }

    /// A row: what was measured, its largest error, what it may be at most.
    pub fn row(&mut self, what: &str, error: f64, limit: f64) {
        writeln!(self.text, "| {what} | {error:.1e} | {limit:.0e} |").unwrap();
        if error.is_nan() || error > limit {
            self.faults.push(format!("{what}: {error:e} is above {limit:e}"));
        }
    }

    /// Prints and writes the table, then fails if a row is above its limit.
    pub fn finish(self) {
        println!("{}", self.text);
        let directory = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/validation");
        std::fs::create_dir_all(directory).unwrap();
        std::fs::write(format!("{directory}/{}.md", self.name), self.text).unwrap();
        assert!(self.faults.is_empty(), "{}", self.faults.join("\n"));
    }
}
