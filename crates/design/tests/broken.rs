//! Faulty designs state their fault on the offending line: `gap = "50 mm"  #! G0012`.

use reedmace_design::{
    Diagnostic, Severity, line_column, parse, render_short, render_text, to_json,
};
use std::fmt::Write;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../designs/broken")
}

fn broken() -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| (file_name(&path), std::fs::read_to_string(&path).unwrap()))
        .collect();
    found.sort();
    assert!(found.len() >= 90, "only {} broken designs", found.len());
    found
}

fn file_name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

/// Files beside the broken designs; the reason of a missing one is the same on every machine.
fn load(name: &str) -> std::io::Result<Vec<u8>> {
    std::fs::read(folder().join(name)).map_err(|_| std::io::Error::other("there is no such file"))
}

fn diagnostics(text: &str) -> Vec<Diagnostic> {
    match parse(text, &load) {
        Ok((_, warnings)) => {
            assert!(warnings.iter().all(|one| one.severity == Severity::Warning));
            warnings
        }
        Err(faults) => {
            assert!(faults.iter().any(|one| one.severity == Severity::Error));
            faults
        }
    }
}

#[test]
fn prop_every_stated_fault_is_reported_on_its_line_and_nothing_else() {
    let mut wrong = String::new();
    for (name, text) in broken() {
        let mut stated: Vec<(usize, &str)> = text
            .lines()
            .enumerate()
            .filter_map(|(index, line)| Some((index + 1, line.split_once("#!")?.1)))
            .flat_map(|(line, codes)| codes.split_whitespace().map(move |code| (line, code)))
            .collect();
        stated.sort_unstable();
        assert!(!stated.is_empty(), "{name} states no fault");
        let found = diagnostics(&text);
        let mut reported: Vec<(usize, &str)> =
            found.iter().map(|fault| (line_column(&text, fault.start()).0, fault.code)).collect();
        reported.sort_unstable();
        if stated != reported {
            let shown = render_text(&found, &name, &text, false);
            writeln!(wrong, "{name}: states {stated:?}, reports {reported:?}\n{shown}").unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn prop_every_code_has_a_broken_design() {
    let all: String = broken().into_iter().map(|(_, text)| text).collect();
    // The faulty catalogue and the short pose file need files of their own; see descriptions.rs.
    let elsewhere = ["G0009"];
    let missing: Vec<&str> = reedmace_design::codes::CODES
        .iter()
        .map(|code| code.id)
        .filter(|id| !elsewhere.contains(id) && !all.contains(*id))
        .collect();
    assert!(missing.is_empty(), "no broken design for {missing:?}");
}

#[test]
fn prop_every_message_tells_how_to_mend_the_fault() {
    for (name, text) in broken() {
        for fault in diagnostics(&text) {
            let label = fault.labels.iter().any(|label| label.primary && !label.text.is_empty());
            assert!(label, "{name}: {} has no words under its marks", fault.code);
            assert!(
                fault.help.is_some() || fault.labels[0].text.starts_with("must be"),
                "{name}: {fault:?}"
            );
            let first = fault.message.chars().next().unwrap();
            assert!(!first.is_uppercase() && !fault.message.ends_with('.'), "{}", fault.message);
        }
    }
}

#[test]
fn reg_rendered_messages_are_as_they_were() {
    let mut now = String::new();
    for (name, text) in broken() {
        now.push_str(&render_text(&diagnostics(&text), &name, &text, false));
    }
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden/messages.txt");
    if std::env::var_os("REEDMACE_BLESS").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, &now).unwrap();
    }
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(now == then, "messages.txt has changed; look at it, then run `cargo xtask bless`");
}

#[test]
fn prop_all_three_renderings_tell_the_same_place() {
    let text = std::fs::read_to_string(folder().join("wrong-unit.toml")).unwrap();
    let text = text.replace("A flux density for a length", "Ünder ± µ");
    let found = diagnostics(&text);
    let line = text.lines().position(|line| line.contains("#!")).unwrap() + 1;
    let column = "overall_length = \"13.0 ".chars().count() + 1;
    let place = format!("wrong-unit.toml:{line}:{column}");
    let short = render_short(&found, "wrong-unit.toml", &text);
    assert!(short.starts_with(&format!("{place}: error[Q0107]: ")), "{short}");
    assert!(render_text(&found, "wrong-unit.toml", &text, false).contains(&format!("--> {place}")));
    let json = serde_json::to_value(to_json(&found, "wrong-unit.toml", &text)).unwrap();
    assert_eq!(json[0]["line"], line);
    assert_eq!(json[0]["column"], column);
    assert_eq!(json[0]["severity"], "error");
    let (start, end) = (&json[0]["labels"][0]["start"], &json[0]["labels"][0]["end"]);
    let marked = start.as_u64().unwrap() as usize..end.as_u64().unwrap() as usize;
    assert_eq!(&text[marked], "mT");
}

#[test]
fn prop_colour_changes_no_words() {
    let (name, text) = broken().remove(0);
    let found = diagnostics(&text);
    let plain = render_text(&found, &name, &text, false);
    let coloured = render_text(&found, &name, &text, true);
    assert!(coloured.contains('\u{1b}') && !plain.contains('\u{1b}'));
    let mut stripped = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        stripped.push_str(before);
        rest = after.split_once('m').unwrap().1;
    }
    stripped.push_str(rest);
    assert_eq!(stripped, plain);
}

#[test]
fn prop_any_cut_or_garbled_design_is_refused_or_read_without_a_panic() {
    let mut texts: Vec<String> = broken().into_iter().map(|(_, text)| text).collect();
    texts.extend(reedmace_design::TEMPLATES.iter().map(|(_, text)| (*text).to_owned()));
    let mut tried = 0;
    for text in &texts {
        let cuts: Vec<usize> = text.char_indices().map(|(at, _)| at).step_by(37).collect();
        for cut in cuts {
            let pieces =
                [&text[..cut], &format!("{}[{}", &text[..cut], &text[cut..])].map(str::to_owned);
            for piece in pieces {
                if let Err(faults) = parse(&piece, &load) {
                    assert!(!faults.is_empty());
                    assert!(render_text(&faults, "cut.toml", &piece, false).contains("error["));
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 2000, "{tried}");
}
