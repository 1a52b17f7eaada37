//! Everything the commands ask of the design, engine and report crates, in one place.

mod choose;
mod convert;
mod region;
mod spread;
mod worst;

pub(crate) use choose::{ChooseTold, Plot, choose};
pub(crate) use convert::{ConvertWish, convert};
pub(crate) use reedmace_design::Diagnostic;
pub(crate) use spread::{Sampling, SpreadTold, kept_study, merge, pace, spread};

use crate::{
    cli::Shared,
    commands::map::{Form, Plane},
    failure::{Failure, tell_diagnostics},
    input::{Beside, Source},
    progress::Progress,
};
use reedmace_design::Catalogue;
use reedmace_engine::{Bench, Map, MapRequest, Study, answer::SpreadAnswer};
use reedmace_materials::Grades;
use reedmace_report::{Sheet, csv, figures, png};
use reedmace_units::{Length, Quantity, Toleranced};
use reedmace_workbench::{ServeError, Workbench};
use serde::Serialize;
use std::fs;

/// Pixels of a bitmap per pixel of the page: sharp on paper and on fine screens.
const BITMAP_SCALE: f32 = 2.0;

/// A design without faults, what it is called, and the bench its answers share.
pub(crate) struct Loaded {
    design: reedmace_design::Design,
    name: String,
    bench: Bench,
    /// Where its families and magnets are from.
    catalogue: Catalogue,
}

impl Loaded {
    /// The text, word for word.
    pub(crate) fn text(&self) -> &str {
        &self.design.text
    }

    /// The contact of a name, or the first.
    fn contact(&self, name: Option<&str>) -> Result<usize, Failure> {
        let names = || self.design.contacts.iter().map(|contact| contact.name.as_str());
        let Some(name) = name else { return Ok(0) };
        names().position(|known| known == name).ok_or_else(|| {
            let known: Vec<_> = names().collect();
            Failure::Refused(format!("no contact `{name}`; there are {}", known.join(", ")))
        })
    }
}

/// Read and parse a design; its warnings are told at once.
pub(crate) fn read(source: &Source, beside: &Beside, shared: &Shared) -> Result<Loaded, Failure> {
    let catalogue = catalogue(shared)?;
    let text = source.read()?;
    let (loaded, warnings) = parse(&text, &source.name(), beside, &catalogue)?;
    tell_diagnostics(&warnings, &loaded.name, &text, shared.diagnostics)?;
    Ok(loaded)
}

/// A design and its warnings, or its faults.
fn parse(
    text: &str,
    name: &str,
    beside: &Beside,
    catalogue: &Catalogue,
) -> Result<(Loaded, Vec<Diagnostic>), Failure> {
    let load = |file: &str| beside.load(file);
    match reedmace_design::parse_with(text, catalogue, &Grades::builtin(), &load) {
        Ok((design, warnings)) => Ok((
            Loaded {
                design,
                name: name.into(),
                bench: Bench::default(),
                catalogue: catalogue.clone(),
            },
            warnings,
        )),
        Err(faults) => Err(Failure::Design { faults, name: name.into(), text: text.into() }),
    }
}

/// Diagnostics with the user's own text marked.
pub(crate) fn render_text(diagnostics: &[Diagnostic], name: &str, text: &str) -> String {
    reedmace_design::render_text(diagnostics, name, text, true)
}

/// Diagnostics as a line each.
pub(crate) fn render_short(diagnostics: &[Diagnostic], name: &str, text: &str) -> String {
    reedmace_design::render_short(diagnostics, name, text)
}

/// Diagnostics as a machine reads them.
pub(crate) fn diagnostics_json(
    diagnostics: &[Diagnostic],
    name: &str,
    text: &str,
) -> serde_json::Value {
    serde_json::json!(reedmace_design::to_json(diagnostics, name, text))
}

/// The whole answer.
pub(crate) fn check(
    loaded: &Loaded,
    units: Option<u64>,
    seed: Option<u64>,
) -> Result<Study, Failure> {
    let progress = Progress::new("checking");
    let mut options = reedmace_engine::Options::default();
    options.units = units.unwrap_or(options.units);
    options.seed = seed.unwrap_or(options.seed);
    let name = called(&loaded.name);
    let progress = |done, of| progress.tick(done, of);
    loaded.bench.check(&loaded.design, name, &options, &progress).map_err(refused)
}

/// What an answer calls its design: the file's name without the folders of this machine.
fn called(name: &str) -> &str {
    std::path::Path::new(name).file_name().and_then(|n| n.to_str()).unwrap_or(name)
}

/// The report as one page.
pub(crate) fn report(
    loaded: &Loaded,
    study: &Study,
    spread: Option<&SpreadAnswer>,
) -> Result<String, Failure> {
    let map = region::map(loaded, study)?;
    Ok(reedmace_report::html(&Sheet {
        answer: &study.answer,
        drawing: &study.drawing,
        design_text: &study.design_text,
        map: map.as_ref(),
        spread,
        date: &today(),
    }))
}

fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

/// A file to write.
pub(crate) struct Named {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

/// Every figure as SVG and PNG, and the data behind them as CSV.
pub(crate) fn figures(loaded: &Loaded, study: &Study) -> Result<Vec<Named>, Failure> {
    let answer = &study.answer;
    let map = region::map(loaded, study)?;
    let mut files = Vec::new();
    let mut figure = |name: String, svg: String| {
        let bitmap = png(&svg, BITMAP_SCALE).map_err(refused)?;
        files.push(Named { name: format!("{name}.png"), bytes: bitmap });
        files.push(Named { name: format!("{name}.svg"), bytes: svg.into_bytes() });
        Ok(())
    };
    if let Some(tank) = figures::tank(answer, &study.drawing) {
        figure("tank".into(), tank)?;
    }
    figure("arrangement".into(), figures::arrangement(answer, &study.drawing))?;
    for (index, contact) in answer.contacts.iter().enumerate() {
        if let Some(chart) = figures::sweep_chart(answer, index) {
            figure(format!("sweep-{}", contact.name), chart)?;
        }
    }
    if let Some(map) = &map {
        figure("map".into(), figures::map(answer, &study.drawing, map, &today()))?;
    }
    let mut table = |name: String, csv: String| {
        files.push(Named { name: format!("{name}.csv"), bytes: csv.into_bytes() });
    };
    table("events".into(), csv::events(answer));
    if let Some(calibration) = csv::calibration(answer) {
        table("calibration".into(), calibration);
    }
    if let Some(map) = &map {
        table("map".into(), csv::map(map));
    }
    for contact in &answer.contacts {
        table(format!("sweep-{}", contact.name), csv::trace(answer, contact));
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(files)
}

/// The calibration of a level stem as a table.
pub(crate) fn calibration(study: &Study) -> Result<String, Failure> {
    csv::calibration(&study.answer)
        .ok_or_else(|| refused("only a level sweep has a calibration: [sweep] kind = \"level\""))
}

/// A map as wished for on the command line.
pub(crate) struct MapWish<'a> {
    pub(crate) plane: Plane,
    pub(crate) offset: Option<&'a str>,
    pub(crate) extent: Option<&'a str>,
    pub(crate) cells: [usize; 2],
    pub(crate) contact: Option<&'a str>,
    /// True when it is to be drawn, with a title block that tells the verdict.
    pub(crate) drawn: bool,
}

/// A map and, if it is to be drawn, what its title block says.
pub(crate) struct Drawn {
    map: Map,
    study: Option<Study>,
}

impl Drawn {
    /// The numbers.
    pub(crate) fn map(&self) -> &Map {
        &self.map
    }

    /// A file of it.
    pub(crate) fn file(&self, form: Form) -> Result<Vec<u8>, Failure> {
        let drawing = || {
            let study = self.study.as_ref().ok_or_else(|| refused("the map is without drawing"))?;
            Ok(figures::map(&study.answer, &study.drawing, &self.map, &today()))
        };
        match form {
            Form::Csv => Ok(csv::map(&self.map).into_bytes()),
            Form::Svg => Ok(drawing()?.into_bytes()),
            Form::Png => png(&drawing()?, BITMAP_SCALE).map_err(refused),
        }
    }
}

/// Where the contact closes and holds.
pub(crate) fn map(loaded: &Loaded, wish: &MapWish<'_>) -> Result<Drawn, Failure> {
    let request = MapRequest {
        plane: match wish.plane {
            Plane::Xy => reedmace_engine::Plane::Xy,
            Plane::Xz => reedmace_engine::Plane::Xz,
            Plane::Yz => reedmace_engine::Plane::Yz,
        },
        offset: wish.offset.map(|text| length(text, "--offset")).transpose()?,
        extent: wish.extent.map(extent).transpose()?,
        cells: wish.cells,
        contact: loaded.contact(wish.contact)?,
    };
    let progress = Progress::new("mapping");
    let progress = |done, of| progress.tick(done, of);
    let map = loaded.bench.map(&loaded.design, &request, &progress).map_err(refused)?;
    // The drawing tells the verdict, and no shares of sampled units.
    let study = if wish.drawn { Some(check(loaded, Some(0), None)?) } else { None };
    Ok(Drawn { map, study })
}

fn length(text: &str, option: &str) -> Result<f64, Failure> {
    let read: Result<Toleranced<Length>, _> = text.parse();
    let length = read.map_err(|why| Failure::Refused(format!("{option}: {why}")))?;
    Ok(length.nominal.si())
}

/// `LEFT..RIGHT mm x BOTTOM..TOP mm`, in metres.
fn extent(text: &str) -> Result<[f64; 4], Failure> {
    let fault = |why: String| Failure::Refused(format!("--extent: {why}"));
    let (across, up) = text
        .split_once(" x ")
        .or_else(|| text.split_once('×'))
        .ok_or_else(|| fault("write it as \"-20..20 mm x 0..30 mm\"".into()))?;
    let ends = |part: &str| {
        let range: Toleranced<Length> = part.parse().map_err(|w| fault(format!("{w}")))?;
        if range.is_exact() {
            return Err(fault(format!("`{part}` is no range; write it as \"-20..20 mm\"")));
        }
        Ok([range.low.si(), range.high.si()])
    };
    let ([left, right], [bottom, top]) = (ends(across)?, ends(up)?);
    Ok([left, right, bottom, top])
}

/// The netlists of one load of a design: the one of a name, or the first.
pub(crate) fn netlists(
    loaded: &Loaded,
    load: Option<&str>,
    protected: bool,
) -> Result<Vec<reedmace_engine::Netlist>, Failure> {
    let loads = &loaded.design.loads;
    let known = || loads.iter().map(|load| load.name.as_str());
    let Some(first) = known().next() else {
        return Err(Failure::Refused("the design has no [[load]]".into()));
    };
    let load = load.unwrap_or(first);
    if !known().any(|name| name == load) {
        let known: Vec<_> = known().collect();
        return Err(Failure::Refused(format!("no load `{load}`; there are {}", known.join(", "))));
    }
    let mut lists =
        reedmace_engine::netlists(&loaded.design, protected).map_err(Failure::Refused)?;
    lists.retain(|list| list.load == load);
    Ok(lists)
}

/// A template's text.
pub(crate) fn template(name: &str) -> Option<&'static str> {
    reedmace_design::template(name)
}

/// A name and what it stands for.
#[derive(Serialize)]
pub(crate) struct Listed {
    pub(crate) name: String,
    pub(crate) about: String,
}

/// Every template: its first line says what it is about.
pub(crate) fn templates() -> Vec<Listed> {
    let about =
        |text: &str| text.lines().next().unwrap_or_default().trim_start_matches("# ").into();
    reedmace_design::TEMPLATES
        .iter()
        .map(|(name, text)| Listed { name: (*name).into(), about: about(text) })
        .collect()
}

/// What the catalogue holds.
#[derive(Serialize)]
pub(crate) struct Shelf {
    pub(crate) families: Vec<Listed>,
    pub(crate) magnets: Vec<Listed>,
}

/// The contact families and magnets which may be named.
pub(crate) fn shelf(shared: &Shared) -> Result<Shelf, Failure> {
    let catalogue = catalogue(shared)?;
    let listed = |entries: Vec<reedmace_design::catalogue::Listed>| {
        let about = |note: Option<String>| note.unwrap_or_default();
        entries.into_iter().map(|e| Listed { name: e.name, about: about(e.note) }).collect()
    };
    Ok(Shelf { families: listed(catalogue.families()), magnets: listed(catalogue.magnets()) })
}

/// Serve the workbench.
pub(crate) fn serve(options: reedmace_workbench::Options) -> Result<Workbench, Failure> {
    reedmace_workbench::start(options).map_err(|why| match why {
        ServeError::Path { path, why } => Failure::file(&path, why),
        other => refused(other),
    })
}

/// The catalogue that comes with the program, and the user's own.
pub(crate) fn catalogue(shared: &Shared) -> Result<Catalogue, Failure> {
    let Some(path) = &shared.catalogue else { return Ok(Catalogue::builtin()) };
    let text = fs::read_to_string(path).map_err(|why| Failure::file(path, why))?;
    Catalogue::builtin()
        .extended_with(&text, &Grades::builtin())
        .map_err(|faults| Failure::Design { faults, name: path.display().to_string(), text })
}

/// The JSON Schema of the design file.
pub(crate) fn design_schema() -> serde_json::Value {
    reedmace_design::json_schema()
}

/// The JSON Schema of the result.
pub(crate) fn answer_schema() -> serde_json::Value {
    reedmace_engine::answer_schema()
}

/// The JSON Schema of what `choose` answers.
pub(crate) fn choose_schema() -> serde_json::Value {
    reedmace_engine::choose_schema()
}

/// The JSON Schema of what `spread` answers.
pub(crate) fn spread_schema() -> serde_json::Value {
    reedmace_engine::spread_schema()
}

fn refused(why: impl std::fmt::Display) -> Failure {
    Failure::Refused(why.to_string())
}
