//! Mixtures: a quantity that units take from several suppliers, by shares.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::keys::PART;
use crate::reader::{Node, Reader};
use crate::schema::Measured;
use crate::value::{Part, Value};
use reedmace_units::{Quantity, Ratio, Spread, Toleranced, format_number};
use toml::de::DeValue;

/// How far shares may be from making one.
const WHOLE: f64 = 1e-6;

impl<'a> Reader<'a> {
    /// The parts of the mixture that `table`, standing for the quantity `name` at `at`, states; and what
    /// holds them all.
    pub(crate) fn mixture<Q: Quantity>(
        &self,
        name: &str,
        table: &Reader<'a>,
        at: &Node<'a>,
        measured: Measured,
    ) -> Option<(Toleranced<Q>, Vec<Part<Q>>)> {
        for other in ["value", "spread"].into_iter().filter(|other| table.states(other)) {
            let message = format!("a mixture has no `{other}` of its own");
            self.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, message)
                    .at(&table.span_of(other), "either this")
                    .beside(&table.span_of("mixture"), "or this")
                    .help(format!("remove it; each part of the mixture has a `{other}`")),
            );
        }
        let list = table.find("mixture")?;
        let list = if at.foreign { Node { value: list.value, ..at.clone() } } else { list };
        let DeValue::Array(elements) = list.value else {
            table.wrong_type("mixture", &list, "a list of parts");
            return None;
        };
        let mut parts = Vec::new();
        let mut written = Vec::new();
        for (index, element) in elements.iter().enumerate() {
            let element = list.child(element);
            let DeValue::Table(part) = element.value else {
                table.wrong_type("mixture", &element, "a list of parts, each a table");
                continue;
            };
            let path = format!("{}.mixture[{index}]", table.path);
            let mut part = Reader::new(&PART, path, element.span.clone(), part, self.faults);
            part.foreign = element.foreign;
            let (share, text) = (share(&part), part.node("value"));
            let spread = part.find("spread").and_then(|_| part.word("spread"));
            let is = text.and_then(|text| self.toleranced::<Q>(name, &text, measured));
            let Some((mut is, share)) = is.zip(share) else { continue };
            match spread {
                Some("uniform") => is.spread = Spread::Uniform,
                Some("normal") => is.spread = Spread::Normal,
                _ => {}
            }
            written.push(format!("{} of {is}", share.is));
            parts.push(Part { is, share: share.si() });
        }
        if parts.len() < elements.len() {
            return None;
        }
        let whole: f64 = parts.iter().map(|part| part.share).sum();
        if (whole - 1.0).abs() > WHOLE {
            self.faults.add(
                Diagnostic::error(codes::SHARES, "the shares of a mixture do not make one")
                    .at(&list.span, format!("must make 1, make {}", format_number(whole, 6)))
                    .help("the shares of all parts together are 1, or 100 %"),
            );
            return None;
        }
        let all: Vec<Toleranced<Q>> = parts.iter().map(|part| part.is.clone()).collect();
        Some((Toleranced::spanning(&all, written.join(", "))?, parts))
    }
}

/// The share of a part: definite and above 0.
fn share(part: &Reader<'_>) -> Option<Value<Ratio>> {
    let share: Value<Ratio> = part.one("share")?;
    if share.is.is_exact() && share.si() > 0.0 {
        return Some(share);
    }
    part.faults.add(
        Diagnostic::error(codes::SHARES, "a share of a mixture must be definite and above 0")
            .at(&share.span, "must be one number above 0, without tolerance")
            .help("for example share = 0.7, or share = \"70 %\""),
    );
    None
}
