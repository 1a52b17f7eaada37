//! Who gets in, and to what.

use crate::{
    page::{Heard, Page},
    served::{Served, TOKEN, designs, options},
};
use reedmace_workbench::{ServeError, start};
use serde_json::json;
use sha2::{Digest, Sha256};
use std::{fs, time::Duration};

#[test]
fn a_wrong_token_gets_nothing_and_learns_nothing() {
    let served = Served::new();
    assert_eq!(served.get("/").status, 200);
    let wrong = [
        "/".to_owned(),
        format!("/{TOKEN}"),
        format!("/{TOKEN}x/"),
        format!("/{}/", &TOKEN[1..]),
        format!("/{}0/", &TOKEN[..TOKEN.len() - 1]),
        "/api/start".to_owned(),
        format!("//{TOKEN}/"),
        format!("/x/{TOKEN}/"),
        "/favicon.ico".to_owned(),
    ];
    let told = |path: &str| {
        let answer = served.ask(path, &[]);
        let date = format!("date: {}", answer.header("date"));
        (answer.status, answer.head.replace(&date, ""), answer.body)
    };
    let first = told(&wrong[0]);
    assert_eq!(first.0, 404);
    assert!(first.2.is_empty());
    for path in &wrong {
        assert_eq!(told(path), first, "{path}");
    }
    // Even somebody from elsewhere is not told whether his guess was right.
    let foreign = [("Origin", "http://barn.example")];
    assert_eq!(served.ask("/wrong/", &foreign).status, 404);
}

#[test]
fn only_our_own_names_are_answered_to() {
    let served = Served::new();
    let status = |host: &str| served.ask(&format!("/{TOKEN}/"), &[("Host", host)]).status;
    let port = served.port;
    for own in ["127.0.0.1", "localhost", "127.0.0.2", "[::1]"] {
        assert_eq!(status(&format!("{own}:{port}")), 200, "{own}");
    }
    for foreign in ["barn.example", "127.0.0.1.barn.example", "192.168.7.20", "localhost.", ""] {
        assert_eq!(status(&format!("{foreign}:{port}")), 421, "{foreign}");
    }
    assert_eq!(status("127.0.0.1"), 421);
    assert_eq!(status(&format!("127.0.0.1:{}", port ^ 1)), 421);
}

#[test]
fn pages_from_elsewhere_are_refused() {
    let served = Served::new();
    let own = format!("http://{}", served.host());
    let status =
        |origin: &str| served.ask(&format!("/{TOKEN}/api/start"), &[("Origin", origin)]).status;
    assert_eq!(status(&own), 200);
    for foreign in
        ["http://barn.example", "null", "https://127.0.0.1", &own.replace("http", "https")]
    {
        assert_eq!(status(foreign), 403, "{foreign}");
        assert_eq!(Page::with_origin(&served, Some(foreign)).err(), Some(403), "{foreign}");
    }
    assert_eq!(Page::with_origin(&served, None).err(), Some(403));
    assert!(Page::with_origin(&served, Some(&own)).is_ok());
}

#[test]
fn every_answer_forbids_what_it_does_not_need() {
    let served = Served::new();
    for path in ["/", "/page/app.js", "/api/start", "/nothing"] {
        let answer = served.get(path);
        for (name, value) in [
            ("referrer-policy", "no-referrer"),
            ("x-content-type-options", "nosniff"),
            ("x-frame-options", "DENY"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(answer.header(name), value, "{name} of {path}");
        }
        let policy = answer.header("content-security-policy");
        assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"));
        assert!(!policy.contains("unsafe"), "{policy}");
    }
}

#[test]
fn the_page_lets_in_its_own_import_map_and_styles_of_one_nonce() {
    use base64::{Engine, engine::general_purpose::STANDARD};
    let served = Served::new();
    let (first, second) = (served.get("/"), served.get("/"));
    let page = first.text();
    let map = page.split("<script type=\"importmap\">").nth(1).unwrap();
    let map = map.split("</script>").next().unwrap();
    let hash = STANDARD.encode(Sha256::digest(map.as_bytes()));
    let policy = first.header("content-security-policy");
    assert!(policy.contains(&format!("script-src 'self' 'sha256-{hash}';")), "{policy}");
    assert!(policy.contains(&format!("connect-src 'self' ws://{}", served.host())), "{policy}");
    let nonce = |answer: &crate::served::Answer| {
        let policy = answer.header("content-security-policy");
        let nonce = policy.split("'nonce-").nth(1).unwrap().split('\'').next().unwrap().to_owned();
        assert!(answer.text().contains(&nonce));
        nonce
    };
    assert_ne!(nonce(&first), nonce(&second));
    assert!(!page.contains("@NONCE@"));
}

#[test]
fn nothing_outside_the_folder_is_served() {
    let served = Served::new();
    let secret = tempfile::tempdir().unwrap();
    let outside = secret.path().join("secret.toml");
    fs::write(&outside, "format = 1 # secret").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(&outside, served.path("link.toml")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(secret.path(), served.path("way")).unwrap();
    let up = format!("../{}/secret.toml", secret.path().file_name().unwrap().to_string_lossy());
    let absolute = outside.to_string_lossy().into_owned();
    let names =
        [&up, &absolute, "link.toml", "way/secret.toml", "..", ".", "", "a\0b", "..\\x.toml"];
    for name in names {
        let mut page = Page::new(&served);
        page.say(json!({ "say": "open", "file": name }));
        let answer = page.until(|said| said["say"] == "fault" || said["say"] == "opened");
        assert_eq!(answer["say"], "fault", "{name:?}: {answer}");
        assert!(!answer.to_string().contains("# secret"), "{answer}");
    }
    for path in [
        "/page/../../Cargo.toml",
        "/page/%2e%2e/Cargo.toml",
        "/page/..%2fCargo.toml",
        "/page//etc/passwd",
        "/page/tsconfig.json",
        "/page/node_modules/three/package.json",
        "/api/../page/app.js",
    ] {
        let answer = served.get(path);
        assert_eq!(answer.status, 404, "{path}: {}", answer.text());
    }
}

#[test]
fn a_design_cannot_read_or_be_saved_outside_the_folder() {
    let served = Served::new();
    let secret = tempfile::tempdir().unwrap();
    let outside = secret.path().join("ours.toml");
    fs::write(&outside, "").unwrap();
    let (mut page, opened) = Page::with_file(&served, "hopper-lid.toml");
    let text = opened["text"].as_str().unwrap();
    let naming = format!("catalogue = [{:?}]\n{text}", outside.to_string_lossy());
    page.text(1, &naming);
    let design = page.hear_of("design", 1);
    assert_eq!(
        design["diagnostics"][0]["message"],
        format!("cannot read {:?}", outside.to_string_lossy())
    );
    for name in [outside.to_string_lossy().as_ref(), "../x.toml", "a/../../x.toml"] {
        page.say(json!({ "say": "save", "rev": 1, "as": name }));
        let answer = page.until(|said| said["say"] == "fault" || said["say"] == "saved");
        assert_eq!(answer["say"], "fault", "{name}");
    }
    assert_eq!(fs::read_to_string(&outside).unwrap(), "");
}

#[test]
fn what_is_too_large_or_too_much_is_refused() {
    let served = Served::new();
    assert_eq!(served.get(&format!("/api/start?{}", "x".repeat(4000))).status, 414);
    for method in ["POST", "PUT", "DELETE"] {
        let path = format!("/{TOKEN}/api/start");
        assert_eq!(
            served.request(method, &path, &[("Content-Length", "0")]).status,
            405,
            "{method}"
        );
    }
    let closes = |page: &mut Page| {
        (0..200).any(|_| matches!(page.next(Duration::from_secs(5)), Some(Heard::Closed)))
    };
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    page.try_send(&json!({ "say": "text", "rev": 1, "text": "x".repeat(2 << 20) }).to_string());
    assert!(closes(&mut page), "an endless message");
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    let flood = json!({ "say": "view", "plane": "xz", "offset": null, "extent": null, "cells": [2, 2],
        "contact": 0, "map": false });
    let sent = (0..20_000).take_while(|_| page.try_send(&flood.to_string())).count();
    assert!(sent < 20_000 || closes(&mut page), "an endless flood");
    // Others are served all the same.
    assert_eq!(served.get("/").status, 200);
}

#[test]
fn a_map_without_end_is_refused() {
    let served = Served::new();
    let (mut page, _) = Page::with_file(&served, "hopper-lid.toml");
    for (cells, extent) in [
        (json!([5000, 5000]), json!(null)),
        (json!([1, 10]), json!(null)),
        (json!([u64::MAX, u64::MAX]), json!(null)),
        (json!([20, 20]), json!([0, 1e300, 0, 1])),
    ] {
        page.say(json!({ "say": "view", "plane": "xz", "offset": null, "extent": extent,
            "cells": cells, "contact": 0, "map": true }));
        page.hear("fault");
    }
}

#[test]
fn beyond_this_machine_only_with_a_token_of_ones_own() {
    let asked = |bind: [u8; 4], token: Option<&str>| {
        let token = token.map(Into::into);
        start(reedmace_workbench::Options { bind: bind.into(), token, ..options(&designs(), None) })
    };
    let why = asked([0, 0, 0, 0], None).expect_err("exposed");
    assert!(matches!(why, ServeError::Exposed(_)), "{why}");
    assert!(why.to_string().contains("--token"), "{why}");
    for weak in ["short", "with spaces in it all", "a/b/c/d/e/f/g/h/i", ""] {
        assert!(matches!(asked([127, 0, 0, 1], Some(weak)), Err(ServeError::Token)), "{weak}");
    }
    let drawn = [0, 1].map(|_| asked([127, 0, 0, 1], None).unwrap().url().to_owned());
    let token = |url: &str| url.split('/').nth(3).unwrap().to_owned();
    assert!(token(&drawn[0]).len() == 32 && token(&drawn[0]) != token(&drawn[1]), "{drawn:?}");
    assert!(asked([0, 0, 0, 0], Some(TOKEN)).is_ok());
}
