//! Every citation has its entry in REFERENCES.md, and every entry is cited.
//!
//! A citation is a key in square brackets, `[name2010]`, in a comment, a text or a data row; a key
//! in quotes counts as use as well, because results name their references that way.

use crate::{
    chore::{Done, root},
    source,
};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

/// Check this repository.
pub fn check() -> Done {
    let faults = faults(&root())?;
    if faults.is_empty() {
        eprintln!("refs: every citation resolves and every entry is cited");
        return Ok(());
    }
    Err(format!("references\n  {}", faults.join("\n  ")))
}

/// Every citation without an entry, entry without a citation and entry given twice under `top`.
fn faults(top: &Path) -> Result<Vec<String>, String> {
    let list = top.join("REFERENCES.md");
    let text = fs::read_to_string(&list).map_err(|why| format!("REFERENCES.md: {why}"))?;
    let mut faults = Vec::new();
    let mut entries = BTreeSet::new();
    for key in text.lines().filter_map(entry) {
        if !entries.insert(key.to_owned()) {
            faults.push(format!("REFERENCES.md: [{key}] is given twice"));
        }
    }
    let cited = citations(top, &list, &entries)?;
    for (key, places) in &cited {
        if !entries.contains(key) && places.bracketed {
            faults.push(format!("{}: [{key}] is not in REFERENCES.md", places.first));
        }
    }
    for key in entries.iter().filter(|key| !cited.contains_key(*key)) {
        faults.push(format!("REFERENCES.md: [{key}] is cited nowhere"));
    }
    Ok(faults)
}

struct Places {
    first: String,
    bracketed: bool,
}

fn citations(
    top: &Path,
    list: &Path,
    entries: &BTreeSet<String>,
) -> Result<BTreeMap<String, Places>, String> {
    let mut cited: BTreeMap<String, Places> = BTreeMap::new();
    for path in source::files(top, &["rs", "md", "toml", "py"])? {
        // The chores themselves show made-up keys in their tests.
        if path == list || path.starts_with(top.join("xtask")) {
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|why| format!("{}: {why}", path.display()))?;
        for (number, line) in text.lines().enumerate() {
            let place =
                || format!("{}:{}", path.strip_prefix(top).unwrap_or(&path).display(), number + 1);
            let known = |key: &&str| looks_cited(key) || entries.contains(*key);
            for key in keys(line, '[', ']').into_iter().filter(known) {
                let places = cited
                    .entry(key.to_owned())
                    .or_insert_with(|| Places { first: place(), bracketed: true });
                if !places.bracketed {
                    *places = Places { first: place(), bracketed: true };
                }
            }
            for key in keys(line, '"', '"') {
                cited
                    .entry(key.to_owned())
                    .or_insert_with(|| Places { first: place(), bracketed: false });
            }
        }
    }
    Ok(cited)
}

/// The key an entry of the list starts with: `- [name2010] ...`.
fn entry(line: &str) -> Option<&str> {
    let line = line.trim_start_matches(['-', '*', '#', '|', '`', ' ']);
    let key = line.strip_prefix('[')?.split(']').next()?;
    is_key(key).then_some(key)
}

/// Every key between `open` and `close` on a line; a link `[text](...)` is no citation.
fn keys(line: &str, open: char, close: char) -> Vec<&str> {
    let mut found = Vec::new();
    for (at, _) in line.match_indices(open) {
        let inner = &line[at + open.len_utf8()..];
        let Some(end) = inner.find(close) else { continue };
        let (key, after) = (&inner[..end], &inner[end + close.len_utf8()..]);
        if is_key(key) && !after.starts_with('(') {
            found.push(key);
        }
    }
    found
}

/// Letters, then digits, then more of either: `derby2010`, `iec60404-8-1`, `iso129`.
fn is_key(text: &str) -> bool {
    digits(text) > 0
        && text.bytes().take_while(u8::is_ascii_lowercase).count() > 1
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

/// A key with at least three digits is a citation even if it is not in the list; shorter ones are
/// as like as not an index or an example.
fn looks_cited(key: &str) -> bool {
    digits(key) > 2
}

/// How many digits follow the leading letters.
fn digits(text: &str) -> usize {
    text.trim_start_matches(|c: char| c.is_ascii_lowercase())
        .bytes()
        .take_while(u8::is_ascii_digit)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn repository(files: &[(&str, &str)]) -> tempfile::TempDir {
        let top = tempfile::tempdir().unwrap();
        for (name, text) in files {
            fs::write(top.path().join(name), text).unwrap();
        }
        top
    }

    #[test]
    fn cited_and_listed_is_fine() {
        let top = repository(&[
            ("REFERENCES.md", "# References\n\n- [brook1999] A. Brook.\n- [iec60404-8-1] IEC.\n"),
            ("code.rs", "/// Source: [brook1999] eq. (2).\nlet r = [\"iec60404-8-1\"];\n"),
        ]);
        assert_eq!(faults(top.path()).unwrap(), Vec::<String>::new());
    }

    #[test]
    fn a_citation_without_entry_is_caught_where_it_stands() {
        let top = repository(&[
            ("REFERENCES.md", ""),
            ("code.rs", "\n/// Source: [brook1999] eq. (2).\n"),
        ]);
        assert_eq!(faults(top.path()).unwrap(), ["code.rs:2: [brook1999] is not in REFERENCES.md"]);
    }

    #[test]
    fn a_short_key_counts_when_it_is_listed_and_is_no_citation_when_not() {
        let top = repository(&[
            ("REFERENCES.md", "- **[wcag22]** Guidelines.\n"),
            ("code.rs", "/// By [wcag22]; see x[at12].\n"),
        ]);
        assert_eq!(faults(top.path()).unwrap(), Vec::<String>::new());
    }

    #[test]
    fn an_entry_nobody_cites_is_caught() {
        let top = repository(&[("REFERENCES.md", "- [brook1999] A. Brook.\n")]);
        assert_eq!(faults(top.path()).unwrap(), ["REFERENCES.md: [brook1999] is cited nowhere"]);
    }

    #[test]
    fn an_entry_given_twice_is_caught() {
        let top = repository(&[
            ("REFERENCES.md", "- [brook1999] A. Brook.\n- [brook1999] A. Brook again.\n"),
            ("page.md", "as in [brook1999]"),
        ]);
        assert_eq!(faults(top.path()).unwrap(), ["REFERENCES.md: [brook1999] is given twice"]);
    }

    #[test]
    fn links_and_code_are_no_citations() {
        assert_eq!(keys("see [abcd1234](page.md), [u8; 4], [`f64`], x[1]", '[', ']'), [""; 0]);
    }
}
