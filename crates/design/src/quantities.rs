//! Reading quantities: text with a unit, or a table that also says where it is from.

use crate::codes;
use crate::diagnostic::{Diagnostic, Severity};
use crate::faults::Known;
use crate::keys::VALUE;
use crate::reader::{Node, Reader, wrong_type};
use crate::schema::{Key, Kind, Measured, Need};
use crate::value::{SourceMark, Value};
use reedmace_units::{Quantity, Spread, TextError, Toleranced};
use std::ops::Range;
use toml::de::DeValue;

impl<'a> Reader<'a> {
    /// A quantity, or its default. Reported and `None` if it is required and absent, or faulty.
    pub fn one<Q: Quantity>(&self, name: &str) -> Option<Value<Q>> {
        let key = self.key(name);
        let Kind::One(measured) = key.kind else { panic!("{name} is not one quantity") };
        self.measured(name, measured)
    }

    /// As [`Self::one`], for a key whose kind depends on another key.
    pub fn measured<Q: Quantity>(&self, name: &str, measured: Measured) -> Option<Value<Q>> {
        match self.node(name) {
            Some(node) => self.quantity(name, &node, self.path_of(name), measured),
            None => self.default_of(self.key(name), self.path_of(name)),
        }
    }

    /// Three quantities, or their default.
    pub fn three<Q: Quantity>(&self, name: &str) -> Option<[Value<Q>; 3]> {
        let key = self.key(name);
        let Kind::Three(measured) = key.kind else { panic!("{name} is not three quantities") };
        let path = |index: usize| format!("{}[{index}]", self.path_of(name));
        let Some(node) = self.node(name) else {
            let [x, y, z] = [0, 1, 2].map(|index| self.default_of(key, path(index)));
            return Some([x?, y?, z?]);
        };
        let elements = self.three_nodes(name, &node)?;
        let [x, y, z] =
            [0, 1, 2].map(|index| self.quantity(name, &elements[index], path(index), measured));
        Some([x?, y?, z?])
    }

    /// A unit vector: three bare numbers, not all zero.
    pub fn direction(&self, name: &str) -> Option<([f64; 3], Range<usize>)> {
        let key = self.key(name);
        let Some(node) = self.node(name) else {
            let Need::Default(text) = key.need else { return None };
            let mut numbers = text.split(' ').map(|number| number.parse::<f64>());
            let default = [(); 3].map(|()| numbers.next());
            let default = default.map(|number| number.and_then(Result::ok));
            let default = default.map(|number| number.expect("defaults are tested to parse"));
            return Some((default, self.header.clone()));
        };
        let mut vector = [0.0; 3];
        let mut good = true;
        for (slot, element) in vector.iter_mut().zip(self.three_nodes(name, &node)?) {
            match bare_number(element.value) {
                Some(number) if number.is_finite() => *slot = number,
                _ => {
                    good = false;
                    self.wrong_type(name, &element, "three bare numbers");
                }
            }
        }
        let length = vector.iter().map(|part| part * part).sum::<f64>().sqrt();
        if good && (length == 0.0 || !length.is_finite()) {
            good = false;
            let message = format!("`{name}` points nowhere");
            self.faults.add(
                Diagnostic::error(codes::ZERO_DIRECTION, message)
                    .at(&node.span, "has no usable length")
                    .help(format!(
                        "a direction such as {}; its length does not matter",
                        key.example
                    )),
            );
        }
        good.then(|| (vector.map(|part| part / length), node.span))
    }

    fn three_nodes(&self, name: &str, node: &Node<'a>) -> Option<[Node<'a>; 3]> {
        let key = self.key(name);
        let DeValue::Array(elements) = node.value else {
            self.wrong_type(name, node, "a list of three");
            return None;
        };
        let nodes: Vec<Node<'a>> = elements.iter().map(|one| node.child(one)).collect();
        let count = nodes.len();
        nodes
            .try_into()
            .map_err(|_| {
                let message = format!("`{name}` needs three values, for x, y and z");
                self.faults.add(
                    Diagnostic::error(codes::NOT_THREE, message)
                        .at(&node.span, format!("{count} given"))
                        .help(format!("for example {}", key.example)),
                );
            })
            .ok()
    }

    fn default_of<Q: Quantity>(&self, key: &Key, path: String) -> Option<Value<Q>> {
        let Need::Default(text) = key.need else { return None };
        let is = text.parse().expect("every default is tested to parse");
        let source = Some(SourceMark::Default);
        let span = self.header.clone();
        Some(Value { is, mixture: Vec::new(), path, span, source, note: None })
    }

    /// Reads one quantity wherever it stands.
    pub fn quantity<Q: Quantity>(
        &self,
        name: &str,
        node: &Node<'a>,
        path: String,
        measured: Measured,
    ) -> Option<Value<Q>> {
        let Some(value) = self.unkept(name, node, path.clone(), measured) else {
            // Whatever it is: whoever names it is not to be told that there is none.
            self.faults.know(&path, Known { span: node.span.clone(), exact: false, mixed: false });
            return None;
        };
        self.know(&value);
        self.in_range(name, &value, measured).then_some(value)
    }

    /// Keeps what a quantity is, for those who name its path.
    pub(crate) fn know<Q: Quantity>(&self, value: &Value<Q>) {
        let (exact, mixed) = (value.is.is_exact(), !value.mixture.is_empty());
        self.faults.know(&value.path, Known { span: value.span.clone(), exact, mixed });
    }

    /// A quantity, whether it is in range or not.
    fn unkept<Q: Quantity>(
        &self,
        name: &str,
        node: &Node<'a>,
        path: String,
        measured: Measured,
    ) -> Option<Value<Q>> {
        let source = node.foreign.then_some(SourceMark::Catalogue);
        let mut value = match node.value {
            DeValue::Table(table) => {
                let faults = self.faults;
                let inner = Reader::new(&VALUE, path.clone(), node.span.clone(), table, faults);
                let stated = inner.find("source").and_then(|_| inner.word("source"));
                let note = inner.find("note").and_then(|_| inner.text("note"));
                let spread = inner.find("spread").and_then(|_| inner.word("spread"));
                if inner.states("mixture") {
                    let (is, mixture) = self.mixture(name, &inner, node, measured)?;
                    let source = source.or(stated.and_then(SourceMark::from_word));
                    let span = node.span.clone();
                    return Some(Value { is, mixture, path, span, source, note });
                }
                let Some(mut text) = inner.find("value") else {
                    inner.report_missing("value");
                    return None;
                };
                if node.foreign {
                    text = Node { span: node.span.clone(), foreign: true, ..text };
                }
                let is = self.toleranced(name, &text, measured)?;
                let source = source.or(stated.and_then(SourceMark::from_word));
                let mixture = Vec::new();
                let mut value = Value { is, mixture, path, span: text.span, source, note };
                match spread {
                    Some("uniform") => value.is.spread = Spread::Uniform,
                    Some("normal") => value.is.spread = Spread::Normal,
                    _ => {}
                }
                value
            }
            _ => {
                let is = self.toleranced(name, node, measured)?;
                let mixture = Vec::new();
                Value { is, mixture, path, span: node.span.clone(), source, note: None }
            }
        };
        value.path.shrink_to_fit();
        Some(value)
    }

    pub(crate) fn toleranced<Q: Quantity>(
        &self,
        name: &str,
        node: &Node<'a>,
        measured: Measured,
    ) -> Option<Toleranced<Q>> {
        debug_assert_eq!(measured.measure.name(), Q::NAME, "{name} is described otherwise");
        let units = Q::UNITS;
        match node.value {
            DeValue::String(text) => {
                text.parse().map_err(|error| self.faults.add(self.in_text(&error, node, text))).ok()
            }
            DeValue::Integer(_) | DeValue::Float(_) if units[0].symbol.is_empty() => {
                let number = bare_number(node.value)?;
                format!("{number}")
                    .parse()
                    .map_err(|error: TextError| {
                        self.faults.add(
                            Diagnostic::new(Severity::Error, error.code, error.message)
                                .at(&node.span, error.label),
                        );
                    })
                    .ok()
            }
            DeValue::Integer(_) | DeValue::Float(_) => {
                let symbols: Vec<&str> = units.iter().map(|unit| unit.symbol).collect();
                let written = self.faults.text.get(node.span.clone()).unwrap_or("1");
                self.faults.add(
                    Diagnostic::error(codes::NO_UNIT, format!("`{name}` has no unit"))
                        .at(&node.span, format!("a bare number is not a {}", Q::NAME))
                        .help(format!(
                            "write it as text with its unit ({}), for example \"{written} {}\"",
                            symbols.join(", "),
                            units[0].symbol
                        )),
                );
                None
            }
            _ => {
                let wanted = format!("a {} as text, with its unit", Q::NAME);
                let example = format!("\"1 {}\"", units[0].symbol);
                self.faults.add(wrong_type(&format!("`{name}`"), node, &wanted, example.trim()));
                None
            }
        }
    }

    /// A fault inside a quoted text, at its place in the file.
    pub fn in_text(&self, error: &TextError, node: &Node<'_>, text: &str) -> Diagnostic {
        let quoted = self.faults.text.get(node.span.clone()).unwrap_or_default();
        let verbatim = !node.foreign
            && quoted.len() == text.len() + 2
            && quoted.get(1..=text.len()) == Some(text);
        let span = if verbatim && !error.span.is_empty() {
            node.span.start + 1 + error.span.start..node.span.start + 1 + error.span.end
        } else {
            node.span.clone()
        };
        let fault =
            Diagnostic::new(Severity::Error, error.code, &error.message).at(&span, &error.label);
        match &error.help {
            Some(help) => fault.help(help),
            None => fault,
        }
    }

    fn in_range<Q: Quantity>(&self, name: &str, value: &Value<Q>, measured: Measured) -> bool {
        let (low, high) = measured.limits.ends::<Q>();
        let good = value.is.low >= low && value.is.high <= high;
        if !good {
            let what = if value.is.is_exact() { "is" } else { "reaches" };
            let message = format!("`{name}` {what} out of range");
            let limits = measured.limits;
            self.faults.add(
                Diagnostic::error(codes::OUT_OF_RANGE, message)
                    .at(&value.span, format!("must be {} to {}", limits.low, limits.high))
                    .help(
                        "outside this range the models are not known to hold; was a unit mistaken?",
                    ),
            );
        }
        good
    }
}

/// A number written without quotes.
pub(crate) fn bare_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(digits) => {
            i64::from_str_radix(digits.as_str(), digits.radix()).ok().map(|number| number as f64)
        }
        DeValue::Float(digits) => digits.as_str().parse().ok(),
        _ => None,
    }
}
