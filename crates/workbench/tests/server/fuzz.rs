//! Whatever a page may say, sensible or not: the server answers, goes on, and never meets a fault of its own.

use crate::{
    page::{Heard, Page},
    served::{Served, example},
};
use serde_json::{Value, json};
use std::time::{Duration, Instant};

/// A generator of numbers that are as good as random and the same on every run.
///
/// Source: [steele2014], the mixing function of its section 3.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    fn pick<'t, T>(&mut self, from: &'t [T]) -> &'t T {
        &from[self.below(from.len())]
    }
}

/// Hears everything until `wanted` comes; panics at a fault of the server's own and when it hangs up.
fn hear(page: &mut Page, what: &str, wanted: impl Fn(&Value) -> bool) -> Value {
    let end = Instant::now() + Duration::from_secs(120);
    while Instant::now() < end {
        match page.next(Duration::from_secs(1)) {
            Some(Heard::Said(said)) => {
                let own = said["message"].as_str().is_some_and(|m| m.contains("fault of its own"));
                assert!(!own, "{what}: {said}");
                if wanted(&said) {
                    return said;
                }
            }
            Some(Heard::Closed) => panic!("the server hung up after {what}"),
            Some(Heard::Frame(_)) | None => (),
        }
    }
    panic!("no answer to {what}");
}

/// Opens a template, of which no edits are kept, and sees that it is answered as ever.
fn all_is_well(page: &mut Page, what: &str) {
    page.say(json!({ "say": "open", "template": "approach" }));
    hear(page, what, |said| said["say"] == "opened" && said["name"] == "approach.toml");
    let design = hear(page, what, |said| said["say"] == "design");
    assert_eq!((&design["rev"], &design["diagnostics"]), (&json!(0), &json!([])), "{what}");
    hear(page, what, |said| said["say"] == "live");
}

#[test]
fn what_is_no_message_is_told_and_forgotten() {
    let served = Served::new();
    let mut page = Page::new(&served);
    let deep = "[".repeat(100_000);
    let wide = format!("{{\"say\":\"text\",\"rev\":1,\"text\":\"{}\"}}", "a".repeat(1_000_000));
    for text in [
        "",
        " ",
        "{",
        "}",
        "null",
        "0",
        "[]",
        "{}",
        "\"say\"",
        "{\"say\":null}",
        "{\"say\":\"\"}",
        "{\"say\":\"open\"",
        "{\"say\":\"text\"}",
        "{\"say\":\"text\",\"rev\":-1,\"text\":\"\"}",
        "{\"say\":\"text\",\"rev\":1.5,\"text\":\"\"}",
        "{\"say\":\"text\",\"rev\":1e999,\"text\":\"\"}",
        "{\"say\":\"text\",\"rev\":18446744073709551616,\"text\":\"\"}",
        "{\"say\":\"text\",\"rev\":1,\"text\":\"\\ud800\"}",
        "{\"say\":\"text\",\"rev\":1,\"text\":7}",
        "{\"say\":\"text\",\"say\":\"text\",\"rev\":1,\"text\":\"\"}",
        "\u{feff}{}",
        "{\"say\":\"sing\"}",
        "{\"say\":\"drag\",\"rev\":0,\"seq\":1,\"body\":\"x\",\"at\":[1,2]}",
        "{\"say\":\"view\",\"plane\":\"zz\",\"cells\":[9,9],\"map\":true}",
        &deep,
        &wide,
    ] {
        page.send(text);
        hear(&mut page, &text[..text.len().min(60)], |said| said["say"] == "fault");
    }
    page.send_bytes(vec![0, 159, 146, 150]);
    hear(&mut page, "bytes", |said| said["say"] == "fault");
    all_is_well(&mut page, "what is no message");
}

/// Values that are wrong nearly everywhere.
fn odd(chance: &mut Chance) -> Value {
    let all = [
        json!(null),
        json!(true),
        json!(0),
        json!(-1),
        json!(1),
        json!(u64::MAX),
        json!(i64::MIN),
        json!(1e308),
        json!(-1e-308),
        json!(1e18),
        json!(0.1),
        json!(""),
        json!("\u{0}"),
        json!("../../etc/passwd"),
        json!("magnet[slug]"),
        json!("magnet[slug].size[99999999999999999999]"),
        json!("magnet[slug].size[3]"),
        json!("magnet["),
        json!("]["),
        json!("magnet[slug].size[1].source.source"),
        json!("."),
        json!("sweep.from"),
        json!("contact[lid]"),
        json!("🐟[🐟]"),
        json!("a".repeat(5000)),
        json!("\"\n[[magnet]]\n"),
        json!("1e400 mm"),
        json!([]),
        json!([1, 2, 3]),
        json!([1e308, -1e308, 1e308]),
        json!([0, 0, 0, 0]),
        json!([2, 2]),
        json!([1000, 1000]),
        json!([100_000, 100_000]),
        json!({}),
        json!({ "say": "open" }),
        json!("xy"),
        json!("yz"),
    ];
    chance.pick(&all).clone()
}

#[test]
fn whatever_is_said_in_whatever_order_the_server_goes_on() {
    let served = Served::new();
    let mut page = Page::new(&served);
    let mut chance = Chance(1);
    let at = json!([0, 0, 40]);
    let sayings = [
        json!({ "say": "open", "file": "hopper-lid.toml" }),
        json!({ "say": "open", "template": "hinge" }),
        json!({ "say": "open", "example": "paddle-wheel", "file": null, "unsaved": null }),
        json!({ "say": "forget", "unsaved": "0123456789abcdef" }),
        json!({ "say": "text", "rev": 1, "text": example("hopper-lid") }),
        json!({ "say": "set", "rev": 0, "path": "magnet[slug].size[1]", "value": "6 mm", "raw": false }),
        json!({ "say": "add", "rev": 0, "table": "magnet" }),
        json!({ "say": "remove", "rev": 0, "path": "magnet[slug]" }),
        json!({ "say": "drag", "rev": 0, "seq": 1, "body": "magnet[slug]", "at": at, "turn": [0, 5, 0] }),
        json!({ "say": "drop", "rev": 0, "body": "magnet[slug]", "at": at, "turn": [0, 5, 0] }),
        json!({ "say": "view", "plane": "xz", "offset": null, "extent": [-30, 30, 0, 60], "cells": [20, 12],
            "contact": 0, "map": true }),
        json!({ "say": "spread", "units": 4096, "seed": 1 }),
        json!({ "say": "hold", "rev": 0, "seq": 1, "path": "magnet[slug].size[1]", "times": 0.5 }),
        json!({ "say": "tolerance", "rev": 0, "path": "contact[lid].operate", "times": 2 }),
        json!({ "say": "save", "rev": 0, "over": false, "as": "shed.toml" }),
    ];
    for round in 0..8 {
        for _ in 0..60 {
            let mut message = chance.pick(&sayings).clone();
            // One field in three is something else, or is not there.
            let fields = message.as_object_mut().expect("an object");
            let names: Vec<String> = fields.keys().filter(|name| *name != "say").cloned().collect();
            for name in names {
                match chance.below(6) {
                    0 => drop(fields.insert(name, odd(&mut chance))),
                    1 => drop(fields.remove(&name)),
                    _ => (),
                }
            }
            page.send(&message.to_string());
        }
        all_is_well(&mut page, &format!("round {round}"));
    }
}

#[test]
fn whatever_is_typed_is_a_design_or_has_faults() {
    let served = Served::new();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    page.say(
        json!({ "say": "view", "plane": "xz", "offset": null, "extent": null, "cells": [20, 12],
        "contact": 0, "map": true }),
    );
    let mut chance = Chance(2);
    let words: [&str; 20] = [
        "0 mm",
        "-5 mm",
        "1e308 mm",
        "1e-30 mm",
        "5 ± 100 mm",
        "1..1 mm",
        "9 mm",
        "1 m",
        "NaN",
        "inf mm",
        "400 °C",
        "-300 °C",
        "1e9 mT",
        "0 AT",
        "1e-9 AT",
        "100 %",
        "",
        "🐟",
        "slug",
        "lid",
    ];
    let original = opened["text"].as_str().expect("a text").to_owned();
    for rev in 1..=120 {
        let mut text = original.clone();
        for _ in 0..=chance.below(3) {
            // A quoted value becomes another, or a stretch of text goes or comes twice.
            let quotes: Vec<usize> = text.match_indices('"').map(|(at, _)| at).collect();
            if chance.below(3) > 0 && quotes.len() > 1 {
                let k = 2 * chance.below(quotes.len() / 2);
                text.replace_range(quotes[k] + 1..quotes[k + 1], chance.pick::<&str>(&words));
                continue;
            }
            let lines: Vec<&str> = text.lines().collect();
            let (from, count) = (chance.below(lines.len()), 1 + chance.below(4));
            let piece = lines[from..lines.len().min(from + count)].join("\n");
            let other =
                if chance.below(2) == 0 { String::new() } else { format!("{piece}\n{piece}") };
            text = text.replacen(&piece, &other, 1);
        }
        page.text(rev, &text);
        let what = format!("text {rev}:\n{text}");
        hear(&mut page, &what, |said| said["say"] == "design" && said["rev"] == rev);
        if rev % 20 == 0 {
            // Now and then the whole of it, and then back to what is known.
            std::thread::sleep(Duration::from_millis(300));
        }
    }
    page.text(1000, &original);
    let answer = hear(&mut page, "the text as it was", |said| {
        said["say"] == "answer" && said["rev"] == 1000
    });
    assert_eq!(answer["answer"]["title"], "Feed hopper lid");
}

#[test]
fn only_endless_messages_and_floods_end_a_line() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    // Just short of what is too long.
    page.text(1, &format!("# {}", "x".repeat((1 << 20) - 200)));
    hear(&mut page, "a long text", |said| said["say"] == "design" && said["rev"] == 1);
    // As fast as a hand with a quick mouse, for a second.
    for seq in 0..400 {
        page.say(json!({ "say": "drag", "rev": 1, "seq": seq, "body": "magnet[slug]", "at": [0, 0, 40], "turn": [0, 0, 0] }));
    }
    all_is_well(&mut page, "a quick hand");
}
