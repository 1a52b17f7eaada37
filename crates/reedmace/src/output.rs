//! What we print, and files written so that a reader never meets half of one.

use crate::{failure::Failure, tasks::Named};
use serde::Serialize;
use std::{
    fs,
    io::{self, ErrorKind, Write},
    path::Path,
};

/// Print on standard output; colours only where they belong.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    heard("standard output", out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// Print on standard error; colours only where they belong.
pub(crate) fn tell(text: &str) -> Result<(), Failure> {
    heard("standard error", anstream::stderr().lock().write_all(text.as_bytes()))
}

/// Print as JSON on standard output.
pub(crate) fn json(value: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(value).map_err(|w| Failure::Refused(w.to_string()))?;
    let mut out = io::stdout().lock();
    heard("standard output", writeln!(out, "{text}"))
}

/// Print as one line of JSON on standard output.
pub(crate) fn json_line(value: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string(value).map_err(|why| Failure::Refused(why.to_string()))?;
    let mut out = io::stdout().lock();
    heard("standard output", writeln!(out, "{text}").and_then(|()| out.flush()))
}

fn heard(stream: &str, written: io::Result<()>) -> Result<(), Failure> {
    written.map_err(|why| match why.kind() {
        ErrorKind::BrokenPipe => Failure::NobodyListens,
        _ => Failure::File { path: stream.into(), why },
    })
}

/// Write a whole file, or leave what was there; `-` is standard output.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if path == Path::new("-") {
        return heard("standard output", io::stdout().lock().write_all(bytes));
    }
    write_whole(path, bytes).map_err(|why| Failure::file(path, why))
}

/// Make a folder with these files, or none; what is there already is left as it is.
pub(crate) fn write_folder(folder: &Path, files: &[Named]) -> Result<(), Failure> {
    make_whole(folder, files).map_err(|why| match why.kind() {
        ErrorKind::AlreadyExists | ErrorKind::DirectoryNotEmpty | ErrorKind::NotADirectory => {
            Failure::Refused(format!("{} is there already; name another", folder.display()))
        }
        _ => Failure::file(folder, why),
    })
}

fn make_whole(folder: &Path, files: &[Named]) -> io::Result<()> {
    let above = folder.parent().filter(|above| !above.as_os_str().is_empty());
    let made = open_folder_beside(above.unwrap_or(Path::new(".")))?;
    for Named { name, bytes } in files {
        let path = made.path().join(name);
        fs::create_dir_all(path.parent().unwrap_or(made.path()))?;
        let mut file = fs::File::create_new(path)?;
        file.write_all(bytes)?;
        file.sync_all()?;
    }
    // Takes the place of an empty folder, but of no other.
    fs::rename(made.path(), folder)?;
    let _ = made.keep();
    Ok(())
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A device or a pipe cannot be put in place of another; it is written to as it is.
    if fs::metadata(path).is_ok_and(|there| !there.is_file() && !there.is_dir()) {
        return fs::write(path, bytes);
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let mut file = open_beside(folder.unwrap_or(Path::new(".")))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist(path).map(|_| ()).map_err(|why| why.error)
}

#[cfg(unix)]
fn open_beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    // Readable by whoever the user's own mask lets read it, as any file he makes.
    let everyone = fs::Permissions::from_mode(0o666);
    tempfile::Builder::new().prefix(".reedmace-").permissions(everyone).tempfile_in(folder)
}

#[cfg(unix)]
fn open_folder_beside(folder: &Path) -> io::Result<tempfile::TempDir> {
    use std::os::unix::fs::PermissionsExt;
    let everyone = fs::Permissions::from_mode(0o777);
    tempfile::Builder::new().prefix(".reedmace-").permissions(everyone).tempdir_in(folder)
}

#[cfg(not(unix))]
fn open_folder_beside(folder: &Path) -> io::Result<tempfile::TempDir> {
    tempfile::Builder::new().prefix(".reedmace-").tempdir_in(folder)
}

#[cfg(not(unix))]
fn open_beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    tempfile::Builder::new().prefix(".reedmace-").tempfile_in(folder)
}
