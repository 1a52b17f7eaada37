//! Taking keys and tables out.

use super::{EditError, Node, Splice, Step, comment_above, line_start, next_line, parse, steps};
use std::ops::Range;
use toml_edit::Value;

/// Takes a key, an element of a list or a whole table out, with the comment on a key's own line and,
/// of a table, the comment right above it.
///
/// # Errors
/// [`EditError`]: the text is not TOML, or has no such thing.
pub(crate) fn remove(text: &str, path: &str) -> Result<Vec<Splice>, EditError> {
    let document = parse(text)?;
    let root = Node::Table(document.as_table());
    let fault = || EditError::NoPlace(path.to_owned());
    let way = steps(path).ok_or_else(fault)?;
    let (last, parent) = way.split_last().ok_or_else(fault)?;
    let within = root.walk(parent).ok_or_else(fault)?;
    let found = within.step(last).ok_or_else(fault)?;
    let span = match (within, found, last) {
        (_, Node::Table(table), _) if !table.is_dotted() => Some(whole_table(text, found)),
        (_, Node::Tables(_), _) => None,
        (Node::Table(_), _, Step::Key(_)) => {
            let first = first_byte(found).ok_or_else(fault)?;
            Some(lines(text, first, found.end()))
        }
        (Node::Value(Value::InlineTable(table)), _, Step::Key(key)) => {
            let spans = table.iter().filter_map(|(name, value)| {
                let from = table.key(name)?.span()?.start;
                Some((name == key, from..value.span()?.end))
            });
            cut(spans.collect())
        }
        (Node::Value(Value::Array(_)), Node::Value(_), Step::In(_)) => {
            let which = found.span();
            let elements = within.elements();
            let spans = elements.iter().filter_map(|one| Some((one.span() == which, one.span()?)));
            cut(spans.collect())
        }
        _ => None,
    };
    span.map(|span| vec![Splice::new(span, "")]).ok_or_else(fault)
}

/// The lines from one byte to another; of the last lines of a text that does not end with a newline,
/// the newline before them.
fn lines(text: &str, first: usize, last: usize) -> Range<usize> {
    let (from, to) = (line_start(text, first), next_line(text, last));
    if to == text.len() && !text.ends_with('\n') {
        return text[..from].trim_end_matches(['\r', '\n']).len()..to;
    }
    from..to
}

/// Where the first value of something that stands in lines of its own begins.
fn first_byte(node: Node<'_>) -> Option<usize> {
    match node {
        Node::Table(table) => {
            let nodes = table.iter().filter_map(|(_, item)| Node::of(item));
            nodes.filter_map(first_byte).min()
        }
        other => other.span().map(|span| span.start),
    }
}

/// One element of several, with the comma that parted it from its neighbour.
fn cut(spans: Vec<(bool, Range<usize>)>) -> Option<Range<usize>> {
    let k = spans.iter().position(|(this, _)| *this)?;
    let own = &spans[k].1;
    Some(match (k.checked_sub(1), spans.get(k + 1)) {
        (Some(before), _) => spans[before].1.end..own.end,
        (None, Some((_, after))) => own.start..after.start,
        (None, None) => own.clone(),
    })
}

/// A table from the comment right above its header to the blank lines behind its last one.
fn whole_table(text: &str, table: Node<'_>) -> Range<usize> {
    let header = table.span().map_or(0, |span| span.start);
    let mut from = comment_above(text, line_start(text, header));
    // A comment at the head of the file is the file's, not the table's.
    if from == 0 {
        from = line_start(text, header);
    }
    let mut to = next_line(text, table.end());
    while to < text.len() && text[to..next_line(text, to)].trim().is_empty() {
        to = next_line(text, to);
    }
    from..to
}
