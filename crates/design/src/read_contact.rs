//! `[[contact]]` and the families of a catalogue.

use crate::check_contact;
use crate::codes;
use crate::construction::Construction;
use crate::diagnostic::Diagnostic;
use crate::keys::TEST_COIL;
use crate::model::{Calibration, ChangeOver, Contact, Form, Ratings, Section, Threshold, Winding};
use crate::read_construction;
use crate::reader::{Node, Reader};
use crate::schema::{Kind, Measured};
use crate::value::{SourceMark, Value};
use reedmace_units::{Length, Polarization, Quantity, Ratio, TextError, Toleranced};
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// What a contact and a catalogue family have in common.
pub(crate) struct Body {
    pub lead_diameter: Value<Length>,
    pub overall_length: Value<Length>,
    pub calibrated_length: Option<Value<Length>>,
    pub blade_span: Value<Length>,
    pub blade_width: Value<Length>,
    pub blade_thickness: Value<Length>,
    pub overlap: Value<Length>,
    pub gap: Value<Length>,
    pub closed_gap: Value<Length>,
    pub permeability: Value<Ratio>,
    pub saturation: Value<Polarization>,
    pub glass_length: Option<Value<Length>>,
    pub glass_diameter: Option<Value<Length>>,
    pub operate: Threshold,
    pub release: Threshold,
    pub coil: Calibration,
    pub ratings: Ratings,
    pub construction: Construction,
    pub price: Option<Value<Ratio>>,
    pub form: &'static str,
    pub breaks: Option<Value<Ratio>>,
    pub remakes: Option<Value<Ratio>>,
}

/// Reads one contact. `coils` are the names of the design's coils.
pub(crate) fn contact(reader: &Reader<'_>, name: String, coils: &[String]) -> Option<Contact> {
    let body = body(reader, coils);
    let family = reader.find("family").and_then(|_| reader.text("family"));
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let at = reader.three("at");
    let rotate = reader.three("rotate");
    let (axis, normal) = directions(reader)?;
    let body = body?;
    // A family states its values at its own length; leads trimmed in the design change that.
    let calibrated_length =
        body.calibrated_length.or_else(|| reader.behind_one("overall_length")).unwrap_or_else(
            || Value { path: reader.path_of("calibrated_length"), ..body.overall_length.clone() },
        );
    let closed =
        reader.normally_closed.then(|| name.strip_suffix(" NC").map(str::to_owned)).flatten();
    let change_over = match closed {
        Some(of) => Some(ChangeOver { of, breaks: body.breaks?, remakes: body.remakes? }),
        None => None,
    };
    let breaks = body.form == "B" || reader.normally_closed;
    Some(Contact {
        name,
        form: if breaks { Form::Break } else { Form::Make },
        change_over,
        family,
        note,
        lead_diameter: body.lead_diameter,
        overall_length: body.overall_length,
        blade_span: body.blade_span,
        blade_width: body.blade_width,
        blade_thickness: body.blade_thickness,
        overlap: body.overlap,
        gap: body.gap,
        closed_gap: body.closed_gap,
        permeability: body.permeability,
        saturation: body.saturation,
        glass_length: body.glass_length,
        glass_diameter: body.glass_diameter,
        calibrated_length,
        operate: body.operate,
        release: body.release,
        coil: body.coil,
        ratings: body.ratings,
        construction: body.construction,
        price: body.price,
        repeat: reader.repeat.as_ref().and_then(|one| one.read(reader)),
        at: at?,
        axis,
        normal,
        rotate: rotate?,
        span: reader.header.clone(),
    })
}

/// Reads and checks what a contact and a family have in common.
pub(crate) fn body(reader: &Reader<'_>, coils: &[String]) -> Option<Body> {
    let lead_diameter = reader.one("lead_diameter");
    let overall_length = reader.one("overall_length");
    let calibrated_length = reader.one("calibrated_length");
    let blade_span = reader.one("blade_span");
    let blade_width = reader.one("blade_width");
    let blade_thickness = reader.one("blade_thickness");
    let overlap = reader.one("overlap");
    let gap = reader.one("gap");
    let closed_gap = reader.one("closed_gap");
    let closed_gap =
        gap.as_ref().and_then(|gap| closed_at_most(gap, closed_gap.clone()?)).or(closed_gap);
    let permeability = reader.one("permeability");
    let saturation = reader.one("saturation");
    let glass_length = reader.one("glass_length");
    let glass_diameter = reader.one("glass_diameter");
    let form = reader.find("form").map_or(Some("A"), |_| reader.word("form"));
    form.iter().for_each(|form| reader.choose("form", form));
    let of_sides = |name: &str| (form == Some("C")).then(|| reader.one(name)).flatten();
    let (breaks, remakes) = (of_sides("breaks"), of_sides("remakes"));
    let operate = threshold(reader, "operate");
    let release = threshold(reader, "release");
    let coil = calibration(reader, coils);
    let ratings = Ratings {
        switching_power: reader.one("switching_power"),
        switching_voltage: reader.one("switching_voltage"),
        switching_current: reader.one("switching_current"),
        carry_current: reader.one("carry_current"),
        least_voltage: reader.one("least_voltage"),
        least_current: reader.one("least_current"),
    };
    let construction = read_construction::construction(reader);
    let price = reader.one("price");
    check_contact::thresholds(reader, operate.as_ref(), release.as_ref(), coil.as_ref());
    check_contact::Dimensions {
        overall_length: overall_length.as_ref(),
        blade_span: blade_span.as_ref(),
        blade_width: blade_width.as_ref(),
        blade_thickness: blade_thickness.as_ref(),
        overlap: overlap.as_ref(),
        gap: gap.as_ref(),
        closed_gap: closed_gap.as_ref(),
        glass_length: glass_length.as_ref(),
        glass_diameter: glass_diameter.as_ref(),
    }
    .check(reader);
    Some(Body {
        lead_diameter: lead_diameter?,
        overall_length: overall_length?,
        calibrated_length,
        blade_span: blade_span?,
        blade_width: blade_width?,
        blade_thickness: blade_thickness?,
        overlap: overlap?,
        gap: gap?,
        closed_gap: closed_gap?,
        permeability: permeability?,
        saturation: saturation?,
        glass_length,
        glass_diameter,
        operate: operate?,
        release: release?,
        coil: coil?,
        ratings,
        construction: construction?,
        price,
        form: form?,
        breaks,
        remakes,
    })
}

/// The closed gap, if not stated, is never wider than the open one: a contact may be given closed.
fn closed_at_most(gap: &Value<Length>, closed: Value<Length>) -> Option<Value<Length>> {
    let narrower = closed.source == Some(SourceMark::Default) && gap.si() <= closed.si();
    narrower.then(|| Value { is: Toleranced::exact(gap.is.low), ..closed })
}

fn directions(reader: &Reader<'_>) -> Option<([f64; 3], [f64; 3])> {
    let axis = reader.direction("axis");
    let normal = reader.direction("normal");
    let ((axis, axis_span), (normal, normal_span)) = (axis?, normal?);
    let cosine: f64 = axis.iter().zip(&normal).map(|(a, n)| a * n).sum();
    if cosine.abs() > 0.1_f64.to_radians().sin() {
        let angle = cosine.clamp(-1.0, 1.0).acos().to_degrees();
        let (place, other, words) = if reader.states("normal") {
            (&normal_span, &axis_span, "the axis")
        } else {
            (&axis_span, &normal_span, "the normal is [0, 0, 1] unless stated")
        };
        // The direction of the world least along the axis is the easiest to read.
        let least = (0..3).min_by(|&a, &b| axis[a].abs().total_cmp(&axis[b].abs()));
        let square = ["[1, 0, 0]", "[0, 1, 0]", "[0, 0, 1]"][least.unwrap_or_default()];
        reader.faults.add(
            Diagnostic::error(codes::NOT_SQUARE, "axis and normal of a contact must be square")
                .at(place, format!("{angle:.1}° apart, must be 90°"))
                .beside(other, words)
                .help(format!("the normal points across the gap, through the flat side of the blades; for this axis e.g. normal = {square}")),
        );
        return None;
    }
    Some((axis, normal))
}

fn threshold(reader: &Reader<'_>, name: &str) -> Option<Threshold> {
    let node = reader.node(name)?;
    let Kind::Either(turns, field) = reader.key(name).kind else {
        panic!("{name} is not described as one of two")
    };
    let path = reader.path_of(name);
    match choose(reader, name, &node, [turns, field])? {
        0 => reader.quantity(name, &node, path, turns).map(Threshold::AmpereTurns),
        _ => reader.quantity(name, &node, path, field).map(Threshold::FluxDensity),
    }
}

/// The table that states a quantity: of a mixture its first part.
fn of_first_part<'t, 'a>(table: &'t DeTable<'a>) -> &'t DeTable<'a> {
    let list = table.get("mixture").and_then(|list| list.get_ref().as_array());
    list.and_then(|list| list.first()?.get_ref().as_table()).unwrap_or(table)
}

/// Which of two measures a quantity is written in; reported if neither.
pub(crate) fn choose(
    reader: &Reader<'_>,
    name: &str,
    node: &Node<'_>,
    measures: [Measured; 2],
) -> Option<usize> {
    let text = match node.value {
        DeValue::Table(table) => match of_first_part(table).get("value").map(|v| v.get_ref()) {
            Some(DeValue::String(text)) => text,
            _ => return Some(0),
        },
        DeValue::String(text) => text,
        _ => return Some(0),
    };
    // The right measure is the one whose units the text uses.
    let uses = |measured: &Measured| match crate::reach::parse_as(measured.measure, text) {
        Ok(()) => true,
        Err(TextError { code, .. }) => !matches!(code, "Q0107" | "Q0106" | "Q0108"),
    };
    if let Some(index) = measures.iter().position(uses) {
        return Some(index);
    }
    let names: Vec<&str> = measures.iter().map(|one| one.measure.name()).collect();
    let symbols = |index: usize| measures[index].measure.units()[0].symbol;
    reader.faults.add(
        Diagnostic::error(
            codes::WRONG_QUANTITY,
            format!("`{name}` is neither {} nor {}", names[0], names[1]),
        )
        .at(&node.span, format!("write it in {} or {}", symbols(0), symbols(1)))
        .help(format!("for example {name} = {}", reader.key(name).example)),
    );
    None
}

fn calibration(reader: &Reader<'_>, coils: &[String]) -> Option<Calibration> {
    let node = reader.node("coil")?;
    match node.value {
        DeValue::Table(table) => {
            let path = reader.path_of("coil");
            let mut inner = Reader::new(&TEST_COIL, path, node.span.clone(), table, reader.faults);
            inner.foreign = node.foreign;
            winding(&inner).map(Box::new).map(Calibration::Coil)
        }
        DeValue::String(name) if name == "uniform" => Some(Calibration::Uniform),
        DeValue::String(name) => {
            let found = coils.iter().position(|coil| coil == name);
            if found.is_none() {
                let names: Vec<&str> = coils.iter().map(String::as_str).collect();
                reader.faults.add(
                    Diagnostic::error(codes::UNKNOWN_NAME, format!("there is no coil \"{name}\""))
                        .at(&node.span, "not the name of a [[coil]]")
                        .help(match crate::faults::nearest(name, names) {
                            Some(near) => format!("did you mean `{near}`?"),
                            None => "state its dimensions, { length = \"25 mm\", mean_diameter = \"9.25 mm\" }, the name of a [[coil]], or \"uniform\" for a uniform field".into(),
                        }),
                );
            }
            found.map(Calibration::Named)
        }
        _ => {
            reader.wrong_type("coil", &node, "a table of dimensions, a coil's name or \"uniform\"");
            None
        }
    }
}

/// Reads a winding's dimensions.
pub(crate) fn winding(reader: &Reader<'_>) -> Option<Winding> {
    let length = reader.one("length");
    let mean: Option<Value<Length>> = reader.one("mean_diameter");
    let inner: Option<Value<Length>> = reader.one("inner_diameter");
    let outer: Option<Value<Length>> = reader.one("outer_diameter");
    let there = |name: &str| reader.find(name).is_some();
    let section = match (there("mean_diameter"), there("inner_diameter"), there("outer_diameter")) {
        (true, false, false) => Some(Section::Thin { mean_diameter: mean? }),
        (false, true, true) => {
            let (inner_diameter, outer_diameter) = (inner?, outer?);
            inside_out(reader, &inner_diameter, &outer_diameter)
                .then_some(Section::Thick { inner_diameter, outer_diameter })
        }
        (true, _, _) => {
            let other = if there("inner_diameter") { "inner_diameter" } else { "outer_diameter" };
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the coil's section is stated twice")
                    .at(&reader.span_of(other), "either this")
                    .beside(&reader.span_of("mean_diameter"), "or this")
                    .help("keep `mean_diameter`, or `inner_diameter` and `outer_diameter`"),
            );
            None
        }
        (false, inner, _) => {
            if !reader.may_lack() {
                let (place, message) = match (inner, there("outer_diameter")) {
                    (true, _) => ("inner_diameter", "the coil has no `outer_diameter`"),
                    (_, true) => ("outer_diameter", "the coil has no `inner_diameter`"),
                    _ => ("", "the coil has no diameter"),
                };
                reader.faults.add(
                    Diagnostic::error(codes::NO_SECTION, message)
                        .at(&reader.span_of_or_header(place), "needs a whole section")
                        .help("add `mean_diameter`, or `inner_diameter` and `outer_diameter`"),
                );
            }
            None
        }
    };
    Some(Winding { length: length?, section: section? })
}

/// Reports an inner diameter that is not smaller than the outer one.
pub(crate) fn inside_out(
    reader: &Reader<'_>,
    inner: &Value<Length>,
    outer: &Value<Length>,
) -> bool {
    let good = inner.is.high.si() < outer.is.low.si();
    if !good {
        let message = "the inner diameter must be smaller than the outer one";
        let help = if inner.si() < outer.si() {
            "the largest inner diameter must stay below the smallest outer one; narrow the tolerances"
        } else {
            "are the two exchanged?"
        };
        reader.faults.add(
            Diagnostic::error(codes::INSIDE_OUT, message)
                .at(&inner.span, format!("must be less than {}", outer.is))
                .beside(&outer.span, "the outer diameter")
                .help(help),
        );
    }
    good
}

/// The place of a value for a label.
pub(crate) fn span_of_threshold(threshold: &Threshold) -> &Range<usize> {
    match threshold {
        Threshold::AmpereTurns(value) => &value.span,
        Threshold::FluxDensity(value) => &value.span,
    }
}
