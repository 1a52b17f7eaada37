//! Help, templates, completions, manual pages.

use crate::bench::Bench;

const COMMANDS: [&str; 9] =
    ["new", "check", "map", "convert", "report", "catalogue", "schema", "completions", "man"];

#[test]
fn every_command_helps_with_examples() {
    let bench = Bench::new();
    let all = bench.run(&["--help"]).fine().out;
    assert!(all.contains("Exit codes:"));
    for command in COMMANDS {
        assert!(all.contains(&format!("\n  {command} ")), "{command} is not in the help");
        let help = bench.run(&[command, "--help"]).fine().out;
        assert!(help.contains("Examples:\n  reedmace "), "{command}: {help}");
    }
}

#[test]
fn new_lists_its_templates_and_overwrites_none_unasked() {
    let bench = Bench::new();
    let list = bench.run(&["new"]).fine().out;
    for template in
        ["approach", "slide-past", "hinge", "wheel", "load", "level", "relay", "latch", "target"]
    {
        assert!(list.contains(template), "{list}");
    }
    assert_eq!(bench.files(), Vec::<String>::new());
    bench.save("approach.toml", "mine");
    let outcome = bench.run(&["new", "approach"]);
    assert_eq!(outcome.code, Some(3));
    assert!(outcome.err.contains("--force"), "{}", outcome.err);
    assert_eq!(bench.read("approach.toml"), "mine");
    bench.run(&["new", "approach", "--force"]).fine();
    assert!(bench.read("approach.toml").contains("[sweep]"));
}

#[test]
fn completions_render_for_every_shell() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = bench.run(&["completions", shell]).fine().out;
        for command in COMMANDS {
            assert!(script.contains(command), "{shell} does not know {command}");
        }
    }
}

#[test]
fn manual_pages_render() {
    let bench = Bench::new();
    assert!(bench.run(&["man"]).fine().out.contains(".TH reedmace 1"));
    bench.run(&["man", "man1"]).fine();
    let page = |name: &str| std::fs::read_to_string(bench.path("man1").join(name)).unwrap();
    assert!(page("reedmace.1").contains(".TH reedmace 1"));
    for command in COMMANDS {
        let text = page(&format!("reedmace-{command}.1"));
        assert!(text.contains(&format!(".TH reedmace-{command} 1")), "{text}");
        assert!(text.contains("Examples:"), "{text}");
    }
}

#[cfg(unix)]
#[test]
fn files_are_as_readable_as_any_the_user_makes() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new();
    bench.save("mine.toml", "");
    bench.run(&["new", "approach"]).fine();
    let mode = |name: &str| std::fs::metadata(bench.path(name)).unwrap().permissions().mode();
    assert_eq!(mode("approach.toml"), mode("mine.toml"));
}
