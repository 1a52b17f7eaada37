//! The data files.

use crate::fixture;
use reedmace_report::csv;

#[test]
fn prop_every_row_has_as_many_cells_as_the_header_and_units_stand_in_it() {
    let case = fixture::slide_past();
    let contact = &case.answer.contacts[0];
    for (text, rows, header) in [
        (csv::trace(&case.answer, contact), contact.trace.len(), "x of slug (mm),drive open (mT)"),
        (
            csv::events(&case.answer),
            contact.events.len(),
            "contact,event,direction,at nominal (mm)",
        ),
        (csv::map(&case.map), case.map.drive_open.len(), "x (mm),z (mm),drive open (mT)"),
    ] {
        let mut lines = text.lines();
        let first = lines.next().expect("a header");
        assert!(first.starts_with(header), "{first}");
        let cells = first.split(',').count();
        assert_eq!(text.lines().count() - 1, rows);
        assert!(lines.all(|line| line.split(',').count() == cells));
    }
}

#[test]
fn prop_trace_reads_back_bit_for_bit() {
    let case = fixture::approach();
    let contact = &case.answer.contacts[0];
    let text = csv::trace(&case.answer, contact);
    for (line, row) in text.lines().skip(1).zip(&contact.trace) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().expect("a number")).collect();
        assert_eq!(cells[..3], [row.coordinate, row.drive_open, row.drive_closed]);
    }
}

#[test]
fn prop_a_name_with_a_comma_stays_one_cell() {
    let mut case = fixture::approach();
    case.answer.contacts[0].name = "lid, \"left\"".into();
    let text = csv::events(&case.answer);
    assert!(text.lines().nth(1).expect("an event").starts_with("\"lid, \"\"left\"\"\",operate,"));
}
