//! `[float]`, `[tank]`, `[slosh]` and `[ladder]`: the tables of a level sweep.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::faults::suggest;
use crate::keys::{STRAPPED_LEVEL, STRAPPED_VOLUME};
use crate::level::{
    Float, FloatArm, FloatHull, InLiquid, LadderDesign, Level, Mount, Resistor, Slosh, TankDesign,
    TankEnd, TankShape,
};
use crate::read_contact::{choose, inside_out};
use crate::reader::{Node, Reader};
use crate::schema::Kind;
use crate::value::{SourceMark, Value};
use reedmace_applied::{ladder::Reading, preferred::Series};
use reedmace_materials::Liquids;
use reedmace_units::{Angle, Length, Quantity, Resistance, Toleranced, Volume};
use toml::de::DeValue;

/// The tables of a design that only a level sweep has, as far as they are there.
pub(crate) struct Tables<'t, 'a> {
    pub float: Option<&'t Reader<'a>>,
    pub tank: Option<&'t Reader<'a>>,
    pub slosh: Option<&'t Reader<'a>>,
    pub ladder: Option<&'t Reader<'a>>,
}

impl Tables<'_, '_> {
    /// Reports every one of them beside a sweep of another kind.
    pub fn report_idle(&self, sweep: &Reader<'_>) {
        for table in [self.float, self.tank, self.slosh, self.ladder].into_iter().flatten() {
            let message = format!("a {} belongs to a level sweep", table.spec.name);
            table.faults.add(
                Diagnostic::error(codes::ONLY_LEVEL, message)
                    .at(&table.header, "says nothing here")
                    .beside(&sweep.span_of("kind"), "the sweep is of this kind")
                    .help("take it out, or sweep the level: kind = \"level\""),
            );
        }
    }

    /// Reads them for a level sweep. `contacts`: how many there are.
    pub fn read(&self, sweep: &Reader<'_>, contacts: usize) -> Option<Level> {
        if self.float.is_none() && !sweep.may_lack() {
            sweep.faults.add(
                Diagnostic::error(codes::NO_FLOAT, "a level sweep has no float")
                    .at(&sweep.header, "needs a table [float]")
                    .help("state its shape, size, mass and stops; the level it swims at moves what the sweep moves"),
            );
        }
        let tank = self.tank.map(|table| tank(table));
        let slosh = self.slosh.map(|table| slosh(table, self.tank));
        let ladder = self.ladder.map(|table| ladder(table, contacts));
        let float = self.float.and_then(float);
        let whole = |faulty: bool| (!faulty).then_some(());
        whole(matches!(tank, Some(None)) || matches!(slosh, Some(None)))?;
        whole(matches!(ladder, Some(None)))?;
        Some(Level {
            float: float?,
            tank: tank.flatten(),
            slosh: slosh.flatten(),
            ladder: ladder.flatten(),
        })
    }
}

fn float(reader: &Reader<'_>) -> Option<Float> {
    let shape = reader.word("shape");
    if let Some(shape) = shape {
        reader.choose("shape", shape);
    }
    let diameter: Option<Value<Length>> = reader.one("diameter");
    let bore: Option<Value<Length>> = reader.one("bore");
    let hull = match shape {
        Some("cylinder") => {
            let height = reader.one("height");
            diameter.zip(bore).and_then(|(diameter, bore)| {
                inside_out(reader, &bore, &diameter).then_some(())?;
                Some(FloatHull::Cylinder { diameter, bore, height: height? })
            })
        }
        Some(_) => diameter.zip(bore).and_then(|(diameter, bore)| {
            inside_out(reader, &bore, &diameter).then_some(())?;
            Some(FloatHull::Ball { diameter, bore })
        }),
        None => None,
    };
    let mass = reader.one("mass");
    let liquid = liquid(reader);
    let mount = mount(reader);
    Some(Float {
        hull: hull?,
        mass: mass?,
        liquid: liquid?,
        mount: mount?,
        span: reader.header.clone(),
    })
}

fn liquid(reader: &Reader<'_>) -> Option<InLiquid> {
    let stated = reader.find("liquid").is_some();
    if reader.find("density").is_some() {
        if stated {
            reader.faults.add(
                Diagnostic::error(codes::KEYS_EXCLUDE, "the liquid's density is stated twice")
                    .at(&reader.span_of("density"), "either this")
                    .beside(&reader.span_of("liquid"), "or this")
                    .help("keep `liquid`, whose density follows the temperature, or `density`"),
            );
            return None;
        }
        return reader.one("density").map(InLiquid::Density);
    }
    if !stated {
        return Some(InLiquid::Water);
    }
    let (name, span) = reader.marked_text("liquid")?;
    if name == Liquids::WATER {
        return Some(InLiquid::Water);
    }
    let liquids = Liquids::builtin();
    let Some(row) = liquids.find(&name) else {
        reader.faults.add(
            Diagnostic::error(codes::UNKNOWN_LIQUID, format!("the liquid \"{name}\" is not known"))
                .at(&span, "not in the table of liquids")
                .help(format!(
                    "{}\nany other liquid can be given by its `density`",
                    suggest(&name, &liquids.names(), "liquids known")
                )),
        );
        return None;
    };
    fn of_row<Q: Quantity>(
        reader: &Reader<'_>,
        key: &str,
        is: &Toleranced<Q>,
        name: &str,
    ) -> Value<Q> {
        let value = Value {
            is: is.clone(),
            mixture: Vec::new(),
            path: reader.path_of(key),
            span: reader.span_of("liquid"),
            source: Some(SourceMark::Catalogue),
            note: Some(format!("{key} of {name}")),
        };
        reader.know(&value);
        value
    }
    Some(InLiquid::Row {
        density: of_row(reader, "density", &row.density, &name),
        expansion: of_row(reader, "expansion", &row.expansion, &name),
        name,
    })
}

fn mount(reader: &Reader<'_>) -> Option<Mount> {
    let Kind::Either(heights, angles) = reader.key("lower_stop").kind else {
        panic!("a stop is described as one of two")
    };
    let arm = reader.find("arm").is_some();
    let (lower, upper) = (reader.node("lower_stop"), reader.node("upper_stop"));
    let good = |name: &str, node: &Option<Node<'_>>| {
        let found = choose(reader, name, node.as_ref()?, [heights, angles])?;
        let wanted = usize::from(arm);
        if found != wanted {
            let (is, help) = if arm {
                ("an angle above level", "the float is on an `arm`: its stops are angles, in deg")
            } else {
                (
                    "a height",
                    "the float is on a stem: its stops are heights, in mm; state an `arm` if it is on one",
                )
            };
            reader.faults.add(
                Diagnostic::error(codes::WRONG_QUANTITY, format!("`{name}` is of the wrong kind"))
                    .at(&reader.span_of(name), format!("must be {is}"))
                    .help(help),
            );
        }
        (found == wanted).then_some(())
    };
    let both = (good("lower_stop", &lower), good("upper_stop", &upper));
    let (Some(()), Some(())) = both else { return None };
    let (lower, upper) = (lower?, upper?);
    if arm {
        let stops = stops::<Angle>(reader, &lower, &upper, angles)?;
        let (length, mass) = (reader.one("arm"), reader.one("arm_mass"));
        let (pivot, axis) = (reader.three("pivot"), reader.direction("pivot_axis"));
        let (axis, span) = axis?;
        if axis[2].abs() > 1e-6 {
            reader.faults.add(
                Diagnostic::error(codes::STOPS, "the pivot of an arm is not level")
                    .at(&span, "must have no part along z")
                    .help("an arm swings up and down about a level pivot such as [0, -1, 0]"),
            );
            return None;
        }
        let (length, mass, pivot) = (length?, mass?, pivot?);
        return Some(Mount::Arm(Box::new(FloatArm { length, mass, pivot, axis, stops })));
    }
    Some(Mount::Stem { stops: Box::new(stops::<Length>(reader, &lower, &upper, heights)?) })
}

fn stops<Q: Quantity>(
    reader: &Reader<'_>,
    lower: &Node<'_>,
    upper: &Node<'_>,
    measured: crate::schema::Measured,
) -> Option<[Value<Q>; 2]> {
    let low = reader.quantity::<Q>("lower_stop", lower, reader.path_of("lower_stop"), measured);
    let high = reader.quantity::<Q>("upper_stop", upper, reader.path_of("upper_stop"), measured);
    let (low, high) = (low?, high?);
    if low.is.high >= high.is.low {
        reader.faults.add(
            Diagnostic::error(codes::STOPS, "the stops leave the float no way")
                .at(&high.span, format!("must be above {}", low.is))
                .beside(&low.span, "the lower stop")
                .help("are the two exchanged?"),
        );
        return None;
    }
    Some([low, high])
}

fn tank(reader: &Reader<'_>) -> Option<TankDesign> {
    let shape = reader.word("shape");
    if let Some(shape) = shape {
        reader.choose("shape", shape);
    }
    let at = reader.one("at");
    let shape = match shape? {
        "upright" => {
            let (diameter, height) = (reader.one("diameter"), reader.one("height"));
            let (bottom, top) = (end(reader, "ends"), end(reader, "top"));
            TankShape::Upright {
                diameter: diameter?,
                height: height?,
                ends: Box::new([bottom?, top?]),
            }
        }
        "horizontal" => {
            let (diameter, length) = (reader.one("diameter"), reader.one("length"));
            let ends = end(reader, "ends");
            TankShape::Horizontal { diameter: diameter?, length: length?, ends: ends? }
        }
        "box" => {
            let (length, width) = (reader.one("length"), reader.one("width"));
            let height = reader.one("height");
            TankShape::Box { length: length?, width: width?, height: height? }
        }
        _ => TankShape::Strapped { rows: rows(reader)? },
    };
    Some(TankDesign { shape, at: at?, span: reader.header.clone() })
}

fn end(reader: &Reader<'_>, name: &str) -> Option<TankEnd> {
    let word = if reader.find(name).is_some() { reader.word(name)? } else { "flat" };
    if word == "flat" {
        return Some(TankEnd::Flat);
    }
    if word == "torispherical" {
        let (dish, knuckle) = (reader.one("dish")?, reader.one("knuckle")?);
        return Some(TankEnd::Torispherical { dish, knuckle });
    }
    let Some(depth) = reader.one::<Length>("depth") else {
        if reader.find("depth").is_none() && !reader.may_lack() {
            reader.faults.add(
                Diagnostic::error(codes::NO_DEPTH, format!("the {word} end has no depth"))
                    .at(&reader.span_of(name), "needs `depth`")
                    .help("add depth = \"150 mm\": how far it reaches beyond the shell"),
            );
        }
        return None;
    };
    Some(match word {
        "conical" => TankEnd::Conical(depth),
        "ellipsoidal" => TankEnd::Ellipsoidal(depth),
        "guppy" => TankEnd::Guppy(depth),
        _ => {
            let radius = reader.one::<Length>("diameter")?.is.low.si() / 2.0;
            if depth.is.high.si() > radius {
                reader.faults.add(
                    Diagnostic::error(
                        codes::NO_DEPTH,
                        "a cap of a sphere is deeper than its shell is wide",
                    )
                    .at(&depth.span, "must be at most half the diameter")
                    .beside(&reader.span_of("diameter"), "the diameter")
                    .help("a deeper end is ellipsoidal"),
                );
                return None;
            }
            TankEnd::Spherical(depth)
        }
    })
}

fn rows(reader: &Reader<'_>) -> Option<Vec<(Value<Length>, Value<Volume>)>> {
    let node = reader.node("rows")?;
    let DeValue::Array(list) = node.value else {
        reader.wrong_type("rows", &node, "a list of levels and volumes");
        return None;
    };
    let row = |(number, element): (usize, &toml::Spanned<DeValue<'_>>)| {
        let row = node.child(element);
        let cells: Vec<Node<'_>> = match row.value {
            DeValue::Array(cells) => cells.iter().map(|cell| row.child(cell)).collect(),
            _ => Vec::new(),
        };
        let [level, volume] = &cells[..] else {
            reader.faults.add(
                Diagnostic::error(
                    codes::STRAPPING,
                    "a row of a tank's table is a level and a volume",
                )
                .at(&row.span, "must be two values")
                .help("for example [\"100 mm\", \"28 L\"]"),
            );
            return None;
        };
        let path = |column: usize| format!("{}[{number}][{column}]", reader.path_of("rows"));
        let level = reader.quantity("rows", level, path(0), STRAPPED_LEVEL);
        let volume = reader.quantity("rows", volume, path(1), STRAPPED_VOLUME);
        level.zip(volume)
    };
    let read: Vec<Option<(Value<Length>, Value<Volume>)>> =
        list.iter().enumerate().map(row).collect();
    let rows: Vec<(Value<Length>, Value<Volume>)> = read.into_iter().collect::<Option<_>>()?;
    let falls = rows
        .windows(2)
        .find(|pair| pair[1].0.is.low <= pair[0].0.is.high || pair[1].1.is.low < pair[0].1.is.high);
    if rows.len() < 2 || falls.is_some() {
        let place = falls.map_or(node.span.clone(), |pair| pair[1].0.span.clone());
        reader.faults.add(
            Diagnostic::error(codes::STRAPPING, "the rows of a tank's table do not rise")
                .at(&place, if rows.len() < 2 { "needs two rows" } else { "must be above the row before" })
                .help("levels and volumes rise from row to row, in every unit within their tolerances"),
        );
        return None;
    }
    Some(rows)
}

fn slosh(reader: &Reader<'_>, tank: Option<&Reader<'_>>) -> Option<Slosh> {
    let acceleration = reader.one("acceleration");
    let frequency = reader.find("frequency").map(|_| reader.one("frequency"));
    let damping = reader.one("damping");
    let off_middle = reader.one("off_middle");
    let shape = tank.and_then(|tank| tank.find("shape")).and_then(|node| node.value.as_str());
    if matches!(shape, None | Some("table")) {
        let mut fault = Diagnostic::error(codes::SLOSH_NEEDS_TANK, "what sloshes is not known")
            .at(&reader.header, "needs a tank of a known shape")
            .help("the surface swings as its length and depth let it: state [tank] as a cylinder or a box");
        if let Some(tank) = tank {
            fault = fault.beside(&tank.header, "a table of volumes tells no shape");
        }
        reader.faults.add(fault);
        return None;
    }
    let frequency = match frequency {
        Some(stated) => Some(stated?),
        None => None,
    };
    Some(Slosh {
        acceleration: acceleration?,
        frequency,
        damping: damping?,
        off_middle: off_middle?,
    })
}

fn ladder(reader: &Reader<'_>, contacts: usize) -> Option<LadderDesign> {
    let reading = reader.word("reading");
    let first: Option<Value<Resistance>> = reader.one("first");
    let step: Option<Value<Resistance>> = reader.one("step");
    let last = reader.find("last").map(|_| reader.one::<Resistance>("last"));
    let series = reader.find("series").map(|_| reader.word("series"));
    let (reading, first, step) = (reading?, first?, step?);
    let last = match last {
        Some(stated) => Some(stated?),
        None => None,
    };
    let named = |word: Option<&'static str>| {
        let word = word?;
        Series::WORDS.iter().find(|(known, _)| *known == word).map(|(_, series)| *series)
    };
    let series = match series {
        Some(word) => Some(named(word)?),
        None => None,
    };
    if reading == "share" && last.is_none() && !reader.may_lack() {
        reader.faults.add(
            Diagnostic::error(codes::MISSING_KEY, "a ladder across a supply has no end")
                .at(&reader.header, "needs `last`")
                .help("add last = \"0 Ω\" if the last tap is the other end of the supply"),
        );
        return None;
    }
    let reading = Reading::WORDS.iter().find(|(known, _)| *known == reading)?.1;
    // Each step is a resistor of its own, stated once.
    let steps = (1..contacts).map(|k| {
        let own = Value { path: format!("{}[{k}]", step.path), ..step.clone() };
        reader.know(&own);
        Resistor::new(own, series)
    });
    let steps = steps.collect();
    let [first, last] = [Some(first), last].map(|one| one.map(|one| Resistor::new(one, series)));
    Some(LadderDesign { reading, first: first?, steps, last })
}
