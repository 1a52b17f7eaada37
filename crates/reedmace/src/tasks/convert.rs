//! A sensitivity said in other ways, for one contact of a design or of the catalogue.

use super::{Failure, Loaded, catalogue, parse, read, refused};
use crate::{
    cli::Shared,
    input::{Beside, Source},
    terminal,
};
use reedmace_design::{Catalogue, catalogue::DEFAULT_FAMILY};
use reedmace_engine::{Converted, Sensitivity, Target, TestCoil, test_coil};
use reedmace_units::{AmpereTurns, FluxDensity, Toleranced};
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
    let coil = wish.coil.map(test_coil).transpose();
    let coil = coil.map_err(|why| Failure::Refused(format!("--coil: {why}")))?;
    let from = sensitivity(wish.from, coil)?;
    let magnets: Vec<&str> = wish.to.iter().filter_map(|text| magnet(text)).collect();
    let (loaded, contact) = contact(wish, &magnets, shared)?;
    let index = loaded.contact(wish.contact)?;
    let target = |text: &String| {
        let target = Target::read(text, &loaded.design);
        target.map_err(|why| Failure::Refused(format!("--to: {why}")))
    };
    let targets = wish.to.iter().map(target).collect::<Result<Vec<_>, _>>()?;
    let converted =
        reedmace_engine::convert(&loaded.design, index, &from, &targets).map_err(refused)?;
    let within = wish.coil.map(|coil| format!(" in coil {coil}")).unwrap_or_default();
    Ok(Conversions { contact, from: format!("{}{within}", wish.from), converted })
}

/// The magnet that a target names.
fn magnet(text: &str) -> Option<&str> {
    text.trim().strip_prefix("magnet ").map(str::trim)
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
