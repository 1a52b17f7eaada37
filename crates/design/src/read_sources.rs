//! `[[magnet]]`, the stock of a catalogue, `[[conductor]]` and `[[motor]]`.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::model::{Conductor, Magnet, Material, Motor, Shape};
use crate::read_contact::inside_out;
use crate::reader::Reader;
use crate::value::{SourceMark, Value};
use reedmace_materials::Grades;
use reedmace_units::{Length, Polarization};

/// Reads one magnet.
pub(crate) fn magnet(reader: &Reader<'_>, name: String, grades: &Grades) -> Option<Magnet> {
    let body = magnet_body(reader, grades);
    let catalogue = reader.find("catalogue").and_then(|_| reader.text("catalogue"));
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let at = reader.three("at");
    let rotate = reader.three("rotate");
    let price = reader.one("price");
    let (shape, material, direction, axis) = body?;
    Some(Magnet {
        name,
        catalogue,
        note,
        shape,
        material,
        price,
        direction,
        axis,
        at: at?,
        rotate: rotate?,
        circle: None,
        span: reader.header.clone(),
    })
}

/// Reads what a magnet and a catalogue's stock have in common.
pub(crate) fn magnet_body(
    reader: &Reader<'_>,
    grades: &Grades,
) -> Option<(Shape, Material, [f64; 3], [f64; 3])> {
    let shape = reader.word("shape").and_then(|word| {
        reader.choose("shape", word);
        shape(reader, word)
    });
    let material = material(reader, grades);
    let direction = reader.direction("direction");
    let axis = reader.direction("axis");
    Some((shape?, material?, direction?.0, axis?.0))
}

fn shape(reader: &Reader<'_>, word: &str) -> Option<Shape> {
    match word {
        "cuboid" => Some(Shape::Cuboid { size: reader.three("size")? }),
        "cylinder" => {
            let (diameter, length) = (reader.one("diameter"), reader.one("length"));
            Some(Shape::Cylinder { diameter: diameter?, length: length? })
        }
        "ring" => {
            let outer: Option<Value<Length>> = reader.one("outer_diameter");
            let inner: Option<Value<Length>> = reader.one("inner_diameter");
            let length = reader.one("length");
            let (outer_diameter, inner_diameter) = (outer?, inner?);
            inside_out(reader, &inner_diameter, &outer_diameter).then_some(())?;
            Some(Shape::Ring { outer_diameter, inner_diameter, length: length? })
        }
        "sphere" => Some(Shape::Sphere { diameter: reader.one("diameter")? }),
        _ => unreachable!("the word is one of the shapes"),
    }
}

fn material(reader: &Reader<'_>, grades: &Grades) -> Option<Material> {
    let remanence: Option<Value<Polarization>> = reader.one("remanence");
    if reader.find("grade").is_none() {
        if reader.find("remanence").is_none() && !reader.may_lack() {
            let what = reader.title();
            reader.faults.add(
                Diagnostic::error(codes::NO_MATERIAL, format!("{what} has no material"))
                    .at(&reader.header, "needs `grade` or `remanence`")
                    .help("add e.g. grade = \"NdFeB 240/80\", or remanence = \"1.2 T ± 3 %\" for an ideally hard magnet"),
            );
        }
        return Some(Material::Hard { remanence: remanence? });
    }
    let (designation, span) = reader.marked_text("grade")?;
    let Some(grade) = grades.find(&designation) else {
        let help = match grades.nearest(&designation) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => {
                let known: Vec<&str> =
                    grades.iter().map(|grade| grade.designation.as_str()).collect();
                format!("known grades: {}", known.join(", "))
            }
        };
        reader.faults.add(
            Diagnostic::error(
                codes::UNKNOWN_GRADE,
                format!("the grade \"{designation}\" is not known"),
            )
            .at(&span, "not in the table of grades")
            .help(format!(
                "{help}\na magnet of any other material can be given by `remanence` alone"
            )),
        );
        return None;
    };
    if reader.find("remanence").is_some() && remanence.is_none() {
        return None;
    }
    let of_grade = || Value {
        mixture: Vec::new(),
        is: grade.remanence.clone(),
        path: reader.path_of("remanence"),
        span,
        source: Some(SourceMark::Catalogue),
        note: Some(format!("remanence of {}", grade.designation)),
    };
    let remanence = remanence.unwrap_or_else(of_grade);
    reader.know(&remanence);
    Some(Material::Grade { grade: Box::new(grade.clone()), remanence })
}

/// Reads one motor.
pub(crate) fn motor(reader: &Reader<'_>, name: String) -> Option<Motor> {
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let (field, distance) = (reader.one("field"), reader.one("distance"));
    let (at, direction) = (reader.three("at"), reader.direction("direction"));
    Some(Motor {
        name,
        note,
        field: field?,
        distance: distance?,
        at: at?,
        direction: direction?.0,
        span: reader.header.clone(),
    })
}

/// Reads one conductor.
pub(crate) fn conductor(reader: &Reader<'_>, name: String) -> Option<Conductor> {
    let note = reader.find("note").and_then(|_| reader.text("note"));
    let (current, at) = (reader.one("current"), reader.three("at"));
    let (direction, diameter) = (reader.direction("direction"), reader.one("diameter"));
    let length = reader.find("length").map(|_| reader.one("length"));
    let length = match length {
        Some(length) => Some(length?),
        None => None,
    };
    Some(Conductor {
        name,
        note,
        current: current?,
        at: at?,
        direction: direction?.0,
        diameter: diameter?,
        length,
        span: reader.header.clone(),
    })
}
