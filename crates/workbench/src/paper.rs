//! What the text of a design is written on: a file of the folder, a template, an example, unsaved edits.

use crate::{room::Room, wire::Open};
use rust_embed::RustEmbed;

/// The worked examples but the one that needs a catalogue beside it.
#[derive(RustEmbed)]
#[folder = "../../designs"]
#[include = "*.toml"]
#[exclude = "broken/*"]
#[exclude = "vent-flap/*"]
pub(crate) struct Examples;

/// What a text is written on.
#[derive(Debug, Clone)]
pub(crate) struct Paper {
    /// Its file in the folder, once it has one.
    pub file: Option<String>,
    /// What answers call it.
    pub name: String,
    /// What the file held when it was last read or written.
    pub saved: Option<String>,
    /// What a design without a file began with, if that need not be kept.
    pub begun: Option<String>,
    /// Where unsaved edits are kept.
    pub key: String,
}

/// A design as asked for, with what is to be shown of it: unsaved edits before what is in the file.
pub(crate) fn fetch(room: &Room, what: &Open) -> Result<(Paper, String), String> {
    let fresh = || crate::gate::random_hex().map_err(|why| why.to_string());
    let new = |name: &str, text: &str| {
        let (name, begun) = (format!("{name}.toml"), Some(text.to_owned()));
        Ok::<_, String>(Paper { file: None, name, saved: None, begun, key: fresh()? })
    };
    match (&what.file, &what.template, &what.example, &what.unsaved) {
        (Some(file), None, None, None) => {
            let there = room.folder.read_text(file).map_err(|why| format!("{file}: {why}"))?;
            let key = room.journal.key_of(file);
            let kept = room.journal.find(&key);
            let paper = Paper {
                file: Some(file.clone()),
                name: called(file),
                saved: Some(there.clone()),
                begun: None,
                key,
            };
            Ok((paper, kept.map_or(there, |kept| kept.text)))
        }
        (None, Some(name), None, None) => {
            let text = reedmace_design::template(name).ok_or(format!("no template `{name}`"))?;
            Ok((new(name, text)?, text.to_owned()))
        }
        (None, None, Some(name), None) => {
            let text = example_text(name).ok_or(format!("no example `{name}`"))?;
            Ok((new(name, &text)?, text))
        }
        (None, None, None, Some(key)) => {
            let kept = room.journal.find(key).ok_or("nothing unsaved is kept under this key")?;
            if let Some(file) = kept.file {
                let open = Open { file: Some(file), ..Open::default() };
                return fetch(room, &open);
            }
            let paper =
                Paper { file: None, name: kept.name, saved: None, begun: None, key: key.clone() };
            Ok((paper, kept.text))
        }
        _ => Err("open one file, template, example or unsaved design".into()),
    }
}

/// The text of a design as it would be opened.
pub(crate) fn text_of(room: &Room, what: &Open) -> Result<String, String> {
    fetch(room, what).map(|(_, text)| text)
}

/// True of unsaved edits, and nothing else beside them, that are not or no longer kept.
pub(crate) fn is_forgotten(room: &Room, what: &Open) -> bool {
    let Open { file: None, template: None, example: None, unsaved: Some(key) } = what else {
        return false;
    };
    room.journal.find(key).is_none()
}

/// The text of an example.
pub(crate) fn example_text(name: &str) -> Option<String> {
    let file = Examples::get(&format!("{name}.toml"))?;
    String::from_utf8(file.data.into_owned()).ok()
}

/// What an answer calls a file: its name without folders, as on the command line.
pub(crate) fn called(file: &str) -> String {
    file.rsplit('/').next().unwrap_or(file).to_owned()
}
