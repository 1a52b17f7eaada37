//! Files that a design names.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::Faults;
use std::io;
use std::ops::Range;

/// Reads a file named in the design, by the name given there.
pub type Load<'l> = dyn Fn(&str) -> io::Result<Vec<u8>> + 'l;

/// The bytes of a file; a fault points at its name in the design.
pub(crate) fn bytes_of(
    faults: &Faults<'_>,
    name: &str,
    span: &Range<usize>,
    load: &Load<'_>,
) -> Option<Vec<u8>> {
    load(name).map_err(|error| unreadable(faults, name, span, &error.to_string())).ok()
}

/// The text of a file; a fault points at its name in the design.
pub(crate) fn text_of(
    faults: &Faults<'_>,
    name: &str,
    span: &Range<usize>,
    load: &Load<'_>,
) -> Option<String> {
    let bytes = bytes_of(faults, name, span, load)?;
    String::from_utf8(bytes).map_err(|_| unreadable(faults, name, span, "is no text in UTF-8")).ok()
}

fn unreadable(faults: &Faults<'_>, name: &str, span: &Range<usize>, why: &str) {
    faults.add(
        Diagnostic::error(codes::FILE_UNREADABLE, format!("cannot read \"{name}\""))
            .at(span, why)
            .help("file names are relative to the design file"),
    );
}
