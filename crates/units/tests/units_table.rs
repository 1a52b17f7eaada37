//! The table of units: factors against their definitions, names, examples and messages.

use reedmace_units::*;

fn factor<Q: Quantity>(symbol: &str) -> f64 {
    unit_named::<Q>(symbol).expect("a known unit").factor
}

/// [nist811] appendix B, read at second hand in a published transcription of its table (Oe, G, mil,
/// °F); the degree of arc from memory.
#[test]
fn val_factors_are_those_of_nist_811() {
    assert_eq!(factor::<Length>("in"), 0.0254);
    assert_eq!(factor::<Length>("mil"), 0.0000254);
    assert_eq!(factor::<FluxDensity>("G"), 1e-4);
    assert_eq!(factor::<Polarization>("G"), 1e-4);
    // SP 811 prints 7.957 747 E+01 A/m: seven digits.
    assert!((factor::<FieldStrength>("Oe") / 79.577_47 - 1.0).abs() < 1e-7);
    // SP 811 prints 1.745 329 E-02 rad: seven digits.
    assert!((factor::<Angle>("deg") / 1.745_329e-2 - 1.0).abs() < 3e-7);
    let kelvin = |text: &str| text.parse::<Toleranced<Temperature>>().unwrap().nominal.si();
    assert_eq!(kelvin("0 °C"), 273.15);
    assert!((kelvin("32 °F") - 273.15).abs() < 1e-12);
    assert!((kelvin("212 °F") - 373.15).abs() < 1e-12);
    assert!((kelvin("-459.67 °F")).abs() < 1e-12);
}

#[test]
fn constructors_agree_with_text() {
    let length = |text: &str| text.parse::<Toleranced<Length>>().unwrap().nominal;
    assert_eq!(length("8.3 mm"), Length::mm(8.3));
    assert_eq!(length("50 um"), Length::um(50.0));
    assert_eq!(length("0.1 in"), Length::inch(0.1));
    let kelvin = "20 °C".parse::<Toleranced<Temperature>>().unwrap().nominal;
    assert_eq!(kelvin, Temperature::celsius(20.0));
}

#[test]
fn no_spelling_stands_for_two_units_of_one_quantity() {
    for quantity in QUANTITIES {
        let mut seen = std::collections::BTreeSet::new();
        for unit in quantity.units {
            for spelling in std::iter::once(&unit.symbol).chain(unit.also) {
                let folded = spelling.replace('μ', "µ").replace('\u{2126}', "Ω");
                let fresh = seen.insert(folded.clone());
                let alike = folded == unit.symbol;
                assert!(fresh || alike, "{spelling} twice in {}", quantity.name);
                assert!(which_quantity(spelling).contains(&quantity.name));
            }
        }
    }
}

#[test]
fn every_example_reads_as_its_own_quantity_only() {
    fn reads<Q: Quantity>() {
        let info = QUANTITIES.iter().find(|q| q.name == Q::NAME).expect("listed");
        let read: Toleranced<Q> = info.example.parse().expect("the example reads");
        assert_eq!(read.text(), info.example);
        assert_eq!(info.units, Q::UNITS);
    }
    reads::<Length>();
    reads::<Angle>();
    reads::<FluxDensity>();
    reads::<Polarization>();
    reads::<FieldStrength>();
    reads::<AmpereTurns>();
    reads::<Current>();
    reads::<Voltage>();
    reads::<Resistance>();
    reads::<Power>();
    reads::<Force>();
    reads::<Mass>();
    reads::<Density>();
    reads::<Volume>();
    reads::<FlowRate>();
    reads::<Duration>();
    reads::<Frequency>();
    reads::<Acceleration>();
    reads::<Pressure>();
    reads::<Inductance>();
    reads::<Capacitance>();
    reads::<ThermalResistance>();
    reads::<Ratio>();
    reads::<Temperature>();
    assert_eq!(QUANTITIES.len(), 24);
}

fn length_error(text: &str) -> TextError {
    text.parse::<Toleranced<Length>>().expect_err("refused")
}

#[test]
fn messages_point_at_the_fault_and_tell_how_to_mend_it() {
    let error = length_error("8 ± 13.0 mT");
    assert_eq!(&"8 ± 13.0 mT"[error.span.clone()], "mT");
    assert_eq!(error.message, "`mT` is not a length; use mm, m, cm, µm, in or mil");
    assert_eq!(error.label, "`mT` is a unit of flux density or polarization");

    let error = length_error("8 MM");
    assert_eq!((error.span.clone(), error.label.as_str()), (2..4, "is `mm` meant?"));

    let error = length_error("1,000 mm");
    assert_eq!(error.span, 0..5);
    let help = "write `1000` if the comma groups digits, `1.000` if it is a decimal point";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = length_error("8 -0.2 mm");
    let help = "write `8 +0 -0.2 mm` for the tolerance, `7.8 mm` for the difference";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = length_error("5-8 mm");
    let help = "write `5..8 mm` for the range, `-3 mm` for the difference";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = length_error("8 ± 0.3");
    assert_eq!(&"8 ± 0.3"[error.span.clone()], "8 ± 0.3");
    let help = "write `8 ± 0.3 mm` or another of mm, m, cm, µm, in or mil";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = "20 °C ± 5 %".parse::<Toleranced<Temperature>>().expect_err("refused");
    let help = "write `20 ± 1 °C` for the one, `20 ± 14.6575 °C` for the other";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = "20 ± 5 %".parse::<Toleranced<Ratio>>().expect_err("refused");
    let help = "write `20 ± 1` for the one, `0.2 ± 0.05` for the other";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = "20 +5 -3 %".parse::<Toleranced<Ratio>>().expect_err("refused");
    let help = "write `20 +1 -0.6` for the one, `0.2 +0.05 -0.03` for the other";
    assert_eq!(error.help.as_deref(), Some(help));

    let error = length_error("8,3 mm");
    assert_eq!(error.help.as_deref(), Some("write `8.3`"));

    let error = "25..20 AT".parse::<Toleranced<AmpereTurns>>().expect_err("refused");
    assert_eq!(error.help.as_deref(), Some("write `20..25 AT`"));
}
