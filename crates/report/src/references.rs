//! Citations by key, from the project's one list of sources.

const LIST: &str = include_str!("../../../REFERENCES.md");

/// The full citation of a key; `None` when the list does not have it.
pub fn citation(key: &str) -> Option<&'static str> {
    LIST.lines().find_map(|line| {
        let (found, citation) = line.strip_prefix("- **[")?.split_once("]**")?;
        (found == key).then(|| citation.trim())
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn prop_known_keys_resolve_and_others_do_not() {
        assert!(super::citation("iso129").is_some_and(|text| text.contains("ISO 129-1")));
        assert_eq!(super::citation("iso"), None);
    }
}
