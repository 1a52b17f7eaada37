//! `reedmace new`

use crate::{cli::Shared, failure::Failure, output, tasks, terminal};
use clap::Args;
use serde_json::json;
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Start a design from a template, or list the templates.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  reedmace new                          list the templates
  reedmace new approach                 write approach.toml
  reedmace new hinge -o shed-door.toml
  reedmace new wheel -o - | reedmace check -")]
pub(crate) struct New {
    /// Which template; without one they are listed.
    template: Option<String>,
    /// Where to write the design; `-` is standard output [default: TEMPLATE.toml].
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a file that is there.
    #[arg(long)]
    force: bool,
}

impl New {
    pub(crate) fn run(&self, shared: &Shared) -> Result<ExitCode, Failure> {
        match &self.template {
            None => list(shared)?,
            Some(name) => self.write(name, shared)?,
        }
        Ok(ExitCode::SUCCESS)
    }

    fn write(&self, name: &str, shared: &Shared) -> Result<(), Failure> {
        let text = tasks::template(name).ok_or_else(|| {
            let known: Vec<_> = tasks::templates().into_iter().map(|t| t.name).collect();
            Failure::Refused(format!("no template `{name}`; there are {}", known.join(", ")))
        })?;
        let path = self.output.clone().unwrap_or_else(|| PathBuf::from(format!("{name}.toml")));
        if path != Path::new("-") && path.exists() && !self.force {
            let why = std::io::Error::other("the file is there already; --force writes over it");
            return Err(Failure::file(&path, why));
        }
        output::write(&path, text.as_bytes())?;
        if path == Path::new("-") {
            return Ok(());
        }
        if shared.json {
            return output::json(&json!({ "template": name, "written": path }));
        }
        let path = path.display();
        output::print(&format!("Wrote {path}. Next: reedmace check {path}\n"))
    }
}

fn list(shared: &Shared) -> Result<(), Failure> {
    let templates = tasks::templates();
    if shared.json {
        let templates: Vec<_> = templates
            .iter()
            .map(|template| json!({ "name": template.name, "about": template.about }))
            .collect();
        return output::json(&json!({ "templates": templates }));
    }
    let mut text = String::from("Templates:\n");
    for template in templates {
        text.push_str(&terminal::wrap(&format!("  {:<12}", template.name), &template.about));
    }
    output::print(&text)
}
