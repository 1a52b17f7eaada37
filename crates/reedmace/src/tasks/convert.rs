//! A sensitivity said in other ways, for one contact of a design or of the catalogue.

use super::{Failure, Loaded, catalogue, length, parse, read, refused};
use crate::{
    cli::Shared,
    input::{Beside, Source},
    terminal,
};
use reedmace_design::{Catalogue, catalogue::DEFAULT_FAMILY};
use reedmace_engine::{Converted, Sensitivity, Target, TestCoil};
use reedmace_units::{AmpereTurns, FluxDensity, Length, Quantity, Toleranced};
use serde::Serialize;
use std::{fmt::Write, path::Path};

/// A conversion as wished for on the command line.
pub(crate) struct ConvertWish<'a> {
    pub(crate) from: &'a str,
    pub(crate) coil: Option<&'a str>,
    pub(crate) to: &'a [String],
    pub(crate) family: Option<&'a str>,
    pub(crate) design: Option<&'a Path>,
    pub(crate) contact: Option<&'a str>,
}

/// What came out, and for which contact.
#[derive(Serialize)]
pub(crate) struct Conversions {
    /// The contact in words.
    contact: String,
    /// The sensitivity as the user wrote it.
    from: String,
    /// In every target, in the order asked for.
    converted: Vec<Converted>,
}

impl Conversions {
    /// A line for each target.
    pub(crate) fn text(&self) -> String {
        let mut out = terminal::wrap("", &format!("{}: {} is", self.contact, self.from));
        for converted in &self.converted {
            let band = terminal::band(&converted.at);
            out.push_str(&terminal::wrap(&format!("  {band:<26} "), &converted.arrangement));
        }
        out
    }
}

/// Convert.
pub(crate) fn convert(wish: &ConvertWish<'_>, shared: &Shared) -> Result<Conversions, Failure> {
    let coil = wish.coil.map(|text| test_coil(text, "--coil")).transpose()?;
    let from = sensitivity(wish.from, coil)?;
    let asked: Vec<Asked<'_>> =
        wish.to.iter().map(|text| Asked::read(text)).collect::<Result<_, _>>()?;
    let magnets: Vec<&str> = asked.iter().filter_map(Asked::magnet).collect();
    let (loaded, contact) = contact(wish, &magnets, shared)?;
    let index = loaded.contact(wish.contact)?;
    let named = |name: &str| loaded.design.magnets.iter().position(|m| m.name == name);
    let targets: Vec<Target> = asked
        .iter()
        .map(|asked| match asked {
            Asked::Field(target) => Ok(target.clone()),
            Asked::Magnet(name) => named(name)
                .map(Target::Magnet)
                .ok_or_else(|| Failure::Refused(format!("no magnet `{name}`"))),
        })
        .collect::<Result<_, _>>()?;
    let converted =
        reedmace_engine::convert(&loaded.design, index, &from, &targets).map_err(refused)?;
    let within = wish.coil.map(|coil| format!(" in coil {coil}")).unwrap_or_default();
    Ok(Conversions { contact, from: format!("{}{within}", wish.from), converted })
}

/// A target as written; a magnet is only a name yet.
enum Asked<'a> {
    Field(Target),
    Magnet(&'a str),
}

impl<'a> Asked<'a> {
    fn read(text: &'a str) -> Result<Self, Failure> {
        let (word, rest) = text.trim().split_once(char::is_whitespace).unwrap_or((text.trim(), ""));
        match (word, rest.trim()) {
            ("uniform", "") => Ok(Self::Field(Target::Uniform)),
            ("AT", coil) => Ok(Self::Field(Target::AmpereTurns(test_coil(coil, "--to")?))),
            ("mT", coil) => Ok(Self::Field(Target::CoilCentre(test_coil(coil, "--to")?))),
            ("magnet", name) if !name.is_empty() => Ok(Self::Magnet(name)),
            _ => Err(Failure::Refused(format!(
                "--to: `{text}` is no target; write \"uniform\", \"AT 20 mm x 8 mm\", \
                 \"mT 20 mm x 8 mm\" or \"magnet NAME\""
            ))),
        }
    }

    fn magnet(&self) -> Option<&'a str> {
        match self {
            Self::Magnet(name) => Some(name),
            Self::Field(_) => None,
        }
    }
}

/// `LENGTH x MEAN DIAMETER`.
fn test_coil(text: &str, option: &str) -> Result<TestCoil, Failure> {
    let (long, wide) = text.split_once([char::from(b'x'), '×']).ok_or_else(|| {
        Failure::Refused(format!(
            "{option}: write a coil as its length and mean diameter, such as \"25 mm x 9.25 mm\""
        ))
    })?;
    let part = |text: &str| length(text.trim(), option).map(Length::from_si);
    Ok(TestCoil::Thin { length: part(long)?, mean_diameter: part(wide)? })
}

fn sensitivity(text: &str, coil: Option<TestCoil>) -> Result<Sensitivity, Failure> {
    if let Ok(turns) = text.parse::<Toleranced<AmpereTurns>>() {
        let coil = coil.ok_or_else(|| {
            Failure::Refused(
                "ampere-turns say something only with their coil; add --coil \"25 mm x 9.25 mm\""
                    .into(),
            )
        })?;
        return Ok(Sensitivity::AmpereTurns(coil, [turns.low, turns.nominal, turns.high]));
    }
    let field: Toleranced<FluxDensity> = text
        .parse()
        .map_err(|why| Failure::Refused(format!("`{text}` is neither AT nor mT: {why}")))?;
    let limits = [field.low, field.nominal, field.high];
    Ok(coil.map_or(Sensitivity::Uniform(limits), |coil| Sensitivity::CoilCentre(coil, limits)))
}

/// A design which holds the contact and the magnets, and the contact in words.
fn contact(
    wish: &ConvertWish<'_>,
    magnets: &[&str],
    shared: &Shared,
) -> Result<(Loaded, String), Failure> {
    let catalogue = catalogue(shared)?;
    if let Some(path) = wish.design {
        let source = Source::new(path);
        let loaded = read(&source, &Beside::new(&source), shared)?;
        let name = &loaded.design.contacts[loaded.contact(wish.contact)?].name;
        let said = format!("contact {name} of {}", loaded.name);
        let known = |name: &str| loaded.design.magnets.iter().any(|magnet| magnet.name == name);
        let strange: Vec<_> = magnets.iter().copied().filter(|name| !known(name)).collect();
        let more = magnet_tables(&strange, &catalogue)?;
        let text = format!("{}\n{more}", loaded.design.text);
        return Ok((parse(&text, &loaded.name, &Beside::new(&source), &catalogue)?.0, said));
    }
    let (family, remark) = match wish.family {
        Some(family) => (family, ""),
        None => (DEFAULT_FAMILY, " (--family or --design takes another)"),
    };
    let text = alone(family, magnets, &catalogue)?;
    let nothing_beside = Beside::new(&Source::StandardInput);
    let (loaded, _) = parse(&text, "--family", &nothing_beside, &catalogue)?;
    Ok((loaded, format!("contact family {family}{remark}")))
}

/// A design of nothing but a contact and magnets; where they are does not matter here.
fn alone(family: &str, magnets: &[&str], catalogue: &Catalogue) -> Result<String, Failure> {
    let families = catalogue.families();
    if !families.iter().any(|known| known.name == family) {
        return Err(unknown("family", family, &families));
    }
    let stock = catalogue.magnets();
    let magnets = match (magnets, stock.first()) {
        ([], Some(any)) => vec![any.name.as_str()],
        _ => magnets.to_vec(),
    };
    let tables = magnet_tables(&magnets, catalogue)?;
    let moves = magnets.first().copied().unwrap_or_default();
    Ok(format!(
        "format = 1\ntitle = \"Conversion\"\n[[contact]]\nname = \"contact\"\nfamily = {family:?}\n\
         [sweep]\nkind = \"line\"\nmoves = {moves:?}\nfrom = [\"0 mm\", \"0 mm\", \"90 mm\"]\n\
         to = [\"0 mm\", \"0 mm\", \"60 mm\"]\n{tables}"
    ))
}

fn magnet_tables(names: &[&str], catalogue: &Catalogue) -> Result<String, Failure> {
    let stock = catalogue.magnets();
    let mut tables = String::new();
    let mut written: Vec<&str> = Vec::new();
    for name in names {
        if !stock.iter().any(|known| known.name == *name) {
            return Err(unknown("magnet", name, &stock));
        }
        if !written.contains(name) {
            written.push(name);
            let _ = write!(tables, "[[magnet]]\nname = {name:?}\ncatalogue = {name:?}\n");
        }
    }
    Ok(tables)
}

fn unknown(what: &str, name: &str, known: &[reedmace_design::catalogue::Listed]) -> Failure {
    let known: Vec<_> = known.iter().map(|entry| entry.name.as_str()).collect();
    Failure::Refused(format!("no {what} `{name}` in the catalogue; there are {}", known.join(", ")))
}
