//! `[[steel]]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::files::{Load, bytes_of};
use crate::keys::BOX;
use crate::read_contact::inside_out;
use crate::reader::Reader;
use crate::solid::boxes_hang_together;
use crate::steel::{Steel, SteelBox, SteelShape};
use crate::value::{SourceMark, Value};
use reedmace_materials::{Alloys, SoftAlloy};
use reedmace_units::{Length, Polarization, Ratio, unit_named};
use std::io::{self, Cursor};
use std::ops::Range;
use std::sync::Arc;

/// Triangles a mesh may have; its panels are a system of equations each of the other.
const MOST_TRIANGLES: usize = 20_000;

/// Reads one body of steel.
pub(crate) fn steel(
    reader: &Reader<'_>,
    name: String,
    alloys: &Alloys,
    load: &Load<'_>,
) -> Option<Steel> {
    let shape = reader.word("shape").and_then(|word| {
        reader.choose("shape", word);
        shape(reader, word, load)
    });
    let material = material(reader, alloys);
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let at = reader.three("at");
    let axis = reader.direction("axis");
    let rotate = reader.three("rotate");
    let (alloy, permeability, saturation) = material?;
    Some(Steel {
        name,
        note,
        shape: shape?,
        alloy,
        permeability,
        saturation,
        at: at?,
        axis: axis?.0,
        rotate: rotate?,
        span: reader.header.clone(),
    })
}

fn shape(reader: &Reader<'_>, word: &str, load: &Load<'_>) -> Option<SteelShape> {
    match word {
        "cuboid" => Some(SteelShape::Cuboid { size: reader.three("size")? }),
        "disc" | "cylinder" => {
            let (diameter, length) = (reader.one("diameter"), reader.one("length"));
            Some(SteelShape::Cylinder { diameter: diameter?, length: length? })
        }
        "tube" => {
            let outer: Option<Value<Length>> = reader.one("outer_diameter");
            let inner: Option<Value<Length>> = reader.one("inner_diameter");
            let length = reader.one("length");
            let (outer_diameter, inner_diameter) = (outer?, inner?);
            inside_out(reader, &inner_diameter, &outer_diameter).then_some(())?;
            Some(SteelShape::Tube { outer_diameter, inner_diameter, length: length? })
        }
        "sphere" => Some(SteelShape::Sphere { diameter: reader.one("diameter")? }),
        "boxes" => Some(SteelShape::Boxes { boxes: boxes(reader)? }),
        "mesh" => mesh(reader, load),
        _ => unreachable!("the word is one of the shapes"),
    }
}

fn boxes(reader: &Reader<'_>) -> Option<Vec<SteelBox>> {
    let node = reader.node("boxes")?;
    let Some(list) = node.value.as_array() else {
        reader.wrong_type("boxes", &node, "a list of boxes");
        return None;
    };
    let read: Vec<Option<SteelBox>> = list
        .iter()
        .enumerate()
        .map(|(index, element)| {
            let element = node.child(element);
            let Some(table) = element.value.as_table() else {
                reader.wrong_type("boxes", &element, "a list of boxes, each a table");
                return None;
            };
            let path = format!("{}[{index}]", reader.path_of("boxes"));
            let one = Reader::new(&BOX, path, element.span, table, reader.faults);
            let (size, at) = (one.three("size"), one.three("at"));
            Some(SteelBox { size: size?, at: at? })
        })
        .collect();
    let boxes: Vec<SteelBox> = read.into_iter().collect::<Option<_>>()?;
    if boxes.is_empty() {
        reader.faults.add(
            Diagnostic::error(codes::NO_BOXES, "a body of boxes has no box")
                .at(&node.span, "needs at least one")
                .help("for example boxes = [{ size = [\"40 mm\", \"20 mm\", \"1.5 mm\"] }]"),
        );
        return None;
    }
    if let Some(lone) = boxes_hang_together(&boxes) {
        let span = node.child(&list[lone]).span;
        reader.faults.add(
            Diagnostic::error(codes::BOXES_APART, "the boxes do not hang together")
                .at(&span, "touches none of those before it, nor what they touch")
                .help("let neighbours touch or overlap; what is apart is a body of its own, in its own [[steel]]"),
        );
        return None;
    }
    Some(boxes)
}

fn mesh(reader: &Reader<'_>, load: &Load<'_>) -> Option<SteelShape> {
    let unit = reader.node("unit").and_then(|_| reader.word("unit"));
    let (file, span) = reader.marked_text("file")?;
    let bytes = bytes_of(reader.faults, &file, &span, load)?;
    let unit = unit?;
    let scale = unit_named::<Length>(unit).expect("every unit of a mesh is one of length").factor;
    match triangles(&bytes, scale) {
        Ok(triangles) => Some(SteelShape::Mesh { file, unit, triangles: Arc::new(triangles) }),
        Err(why) => {
            reader.faults.add(
                Diagnostic::error(
                    codes::MESH_UNREADABLE,
                    format!("\"{file}\" is no usable file of triangles"),
                )
                .at(&span, why)
                .help("export the body alone as STL, text or binary, with no more facets than its shape needs"),
            );
            None
        }
    }
}

/// The triangles of an STL file, text or binary, times `scale`; those without area are left out.
fn triangles(bytes: &[u8], scale: f64) -> Result<Vec<[[f64; 3]; 3]>, String> {
    let mut cursor = Cursor::new(bytes);
    let facets = stl_io::create_stl_reader(&mut cursor).map_err(in_words)?;
    let mut triangles = Vec::new();
    for facet in facets {
        let facet = facet.map_err(in_words)?;
        let corners = facet.vertices.map(|corner| corner.0.map(|part| f64::from(part) * scale));
        if !corners.iter().flatten().all(|part| part.is_finite()) {
            return Err("has a corner that is no number".into());
        }
        if has_area(&corners) {
            triangles.push(corners);
        }
        if triangles.len() > MOST_TRIANGLES {
            return Err(format!("has more than {MOST_TRIANGLES} triangles"));
        }
    }
    if triangles.len() < 4 {
        return Err("has fewer than four triangles, so it encloses nothing".into());
    }
    Ok(triangles)
}

fn in_words(why: io::Error) -> String {
    match why.kind() {
        io::ErrorKind::UnexpectedEof => "is neither text nor binary STL, or was cut short".into(),
        _ => why.to_string(),
    }
}

fn has_area(&[a, b, c]: &[[f64; 3]; 3]) -> bool {
    a != b && b != c && c != a
}

type Made = (Option<String>, Value<Ratio>, Option<Value<Polarization>>);

fn material(reader: &Reader<'_>, alloys: &Alloys) -> Option<Made> {
    let permeability: Option<Value<Ratio>> = reader.one("permeability");
    let saturation: Option<Value<Polarization>> = reader.one("saturation");
    let faulty = |name: &str, read: bool| reader.find(name).is_some() && !read;
    if faulty("permeability", permeability.is_some()) || faulty("saturation", saturation.is_some())
    {
        return None;
    }
    if reader.find("alloy").is_none() {
        if permeability.is_none() && !reader.may_lack() {
            let what = reader.title();
            reader.faults.add(
                Diagnostic::error(codes::NO_PERMEABILITY, format!("{what} has no material"))
                    .at(&reader.header, "needs `permeability` or `alloy`")
                    .help("add e.g. alloy = \"low-carbon sheet steel\", or permeability = \"300..1000\""),
            );
        }
        return Some((None, permeability?, saturation));
    }
    let (name, span) = reader.marked_text("alloy")?;
    let Some(alloy) = alloys.find(&name) else {
        reader.faults.add(unknown(&name, &span, alloys));
        return None;
    };
    let permeability = permeability.unwrap_or_else(|| Value {
        mixture: Vec::new(),
        is: alloy.initial_permeability.clone(),
        path: reader.path_of("permeability"),
        span: span.clone(),
        source: Some(SourceMark::Catalogue),
        note: Some(of_alloy("permeability in weak fields", alloy)),
    });
    let saturation = saturation.unwrap_or_else(|| Value {
        mixture: Vec::new(),
        is: alloy.saturation.clone(),
        path: reader.path_of("saturation"),
        span,
        source: Some(SourceMark::Catalogue),
        note: Some(of_alloy("saturation", alloy)),
    });
    reader.know(&permeability);
    reader.know(&saturation);
    Some((Some(alloy.name.clone()), permeability, Some(saturation)))
}

fn of_alloy(what: &str, alloy: &SoftAlloy) -> String {
    format!("{what} of {}", alloy.name)
}

fn unknown(name: &str, span: &Range<usize>, alloys: &Alloys) -> Diagnostic {
    let known: Vec<&str> = alloys.iter().map(|alloy| alloy.name.as_str()).collect();
    let help = match alloys.nearest(name) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("known alloys: {}", known.join(", ")),
    };
    Diagnostic::error(codes::UNKNOWN_ALLOY, format!("the alloy \"{name}\" is not known"))
        .at(span, "not in the table of alloys")
        .help(format!("{help}\nany other steel can be given by `permeability` alone"))
}
