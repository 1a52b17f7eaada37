//! Netlists of what a contact switches.

use crate::bench::{APPROACH, Bench};

const LOAD: &str = "\n[[load]]\nname = \"valve\"\nkind = \"inductive\"\nsupply = \"24 V\"\ncurrent = \"0.2 A\"\n\
                    inductance = \"200 mH\"\nprotect = \"zener\"\n";

#[test]
fn both_movements_are_written_beside() {
    let bench = Bench::with("dip.toml", &format!("{APPROACH}{LOAD}"));
    let told = bench.run(&["netlist", "dip.toml"]).fine();
    assert_eq!(told.out, "Wrote dip.opens.cir\nWrote dip.closes.cir\n");
    let text = bench.read("dip.opens.cir");
    assert!(text.contains(".model sharp") && text.contains("Vclamp1") && text.ends_with(".end\n"));
    let bare = bench.run(&["netlist", "dip.toml", "--bare", "--moves", "opens", "-o", "-"]).fine();
    assert!(bare.out.contains(".tran") && !bare.out.contains("Vclamp1"));
    let json = bench.run(&["netlist", "dip.toml", "--json"]).fine().json();
    assert_eq!(json[1]["moves"], "closes");
}

#[test]
fn a_load_that_is_not_there_is_told() {
    let bench = Bench::with("dip.toml", APPROACH);
    let told = bench.run(&["netlist", "dip.toml"]);
    assert!(told.code == Some(2) && told.err.contains("no [[load]]"), "{}", told.err);
    let bench = Bench::with("dip.toml", &format!("{APPROACH}{LOAD}"));
    let told = bench.run(&["netlist", "dip.toml", "--load", "pump"]);
    assert!(
        told.code == Some(2) && told.err.contains("no load `pump`; there are valve"),
        "{}",
        told.err
    );
}
