//! Lines, columns and tables of plain text.

use super::WIDTH;

/// Holds together what no line break may part; on the terminal it is an ordinary space.
pub(crate) const NO_BREAK: &str = "\u{a0}";

/// Text which no line break may part.
pub(crate) fn whole(text: &str) -> String {
    text.replace(' ', NO_BREAK)
}

/// Break text at spaces so that no line is wider than the terminal; the first line starts with
/// `first`, the following ones are indented as far. No-break spaces are kept.
pub(crate) fn wrap(first: &str, text: &str) -> String {
    let indent = " ".repeat(first.chars().count());
    let mut out = String::new();
    let mut line = String::from(first);
    let mut empty = true;
    for word in text.split([' ', '\n']).filter(|word| !word.is_empty()) {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

/// Cut text to a number of columns, saying so with an ellipsis.
pub(crate) fn cut(text: &str, columns: usize) -> String {
    if text.chars().count() <= columns {
        return text.to_owned();
    }
    let kept: String = text.chars().take(columns.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// Which side of its column a cell keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// Pad every column to its widest cell, two spaces apart; no line ends in spaces.
pub(crate) fn table(sides: &[Side], rows: &[Vec<String>]) -> Vec<String> {
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|c| c.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..sides.len()).map(width).collect();
    let padded = |(row, (side, width)): (&String, (&Side, &usize))| {
        let space = " ".repeat(width - row.chars().count());
        if *side == Side::Left { format!("{row}{space}") } else { format!("{space}{row}") }
    };
    rows.iter()
        .map(|row| {
            let cells: Vec<String> =
                row.iter().zip(sides.iter().zip(&widths)).map(padded).collect();
            cells.join("  ").trim_end().to_owned()
        })
        .collect()
}
