//! Running other programs, and where the repository is.

use std::{
    path::PathBuf,
    process::{Command, Stdio},
};

/// How a chore ends: the error is said to whoever ran it.
pub type Done = Result<(), String>;

/// The top of the repository: of the one `cargo` runs us in, for a target directory that several
/// checkouts share may hold what was compiled in another.
pub fn root() -> PathBuf {
    let said = std::env::var_os("CARGO_MANIFEST_DIR");
    let here = said.map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    here.parent().map(PathBuf::from).unwrap_or(here)
}

/// The `cargo` which runs us, at the top of the repository.
pub fn cargo(words: &[&str]) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(words).current_dir(root());
    command
}

/// Build the program and every example into the folder of `built`.
///
/// Of the whole workspace and with the examples, as the tests are: what those were built of serves again. For the
/// package alone cargo would choose fewer features of the libraries and build all of them a second time.
pub fn build() -> Done {
    run(cargo(&["build", "--workspace", "--bin", "reedmace", "--examples"]))
}

/// A program that `build` leaves: `reedmace`, or an example as `examples/NAME`.
pub fn built(name: &str) -> Result<PathBuf, String> {
    let about = output(cargo(&["metadata", "--no-deps", "--format-version", "1"]))?;
    let about: serde_json::Value = serde_json::from_str(&about).map_err(|why| why.to_string())?;
    let target =
        about["target_directory"].as_str().ok_or("cargo metadata names no target folder")?;
    let name = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    Ok(PathBuf::from(target).join("debug").join(name))
}

/// Any other program, at the top of the repository.
pub fn program(name: &str, words: &[&str]) -> Command {
    let mut command = Command::new(name);
    command.args(words).current_dir(root());
    command
}

/// Say what is run, run it, and fail if it fails.
pub fn run(mut command: Command) -> Done {
    eprintln!("$ {}", shown(&command));
    let status = command.status().map_err(|why| format!("{}: {why}", shown(&command)))?;
    if status.success() { Ok(()) } else { Err(format!("{} failed ({status})", shown(&command))) }
}

/// Run quietly and give what it printed.
pub fn output(mut command: Command) -> Result<String, String> {
    let out = command
        .stderr(Stdio::inherit())
        .output()
        .map_err(|why| format!("{}: {why}", shown(&command)))?;
    if !out.status.success() {
        return Err(format!("{} failed ({})", shown(&command), out.status));
    }
    String::from_utf8(out.stdout).map_err(|_| format!("{} printed no text", shown(&command)))
}

/// True when the program runs and succeeds; it prints nothing.
pub fn succeeds(mut command: Command) -> bool {
    command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

fn shown(command: &Command) -> String {
    let program = PathBuf::from(command.get_program());
    let mut words = vec![program.file_name().unwrap_or_default().to_string_lossy().into_owned()];
    words.extend(command.get_args().map(|word| word.to_string_lossy().into_owned()));
    words.join(" ")
}
