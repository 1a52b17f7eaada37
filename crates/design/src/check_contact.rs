//! What must hold between a contact's keys.

use crate::codes;
use crate::diagnostic::Diagnostic;
use crate::model::{Calibration, Threshold};
use crate::read_contact::span_of_threshold;
use crate::reader::Reader;
use crate::value::Value;
use reedmace_units::{Length, Quantity, Toleranced};

/// The dimensions that were readable.
pub(crate) struct Dimensions<'v> {
    pub overall_length: Option<&'v Value<Length>>,
    pub blade_span: Option<&'v Value<Length>>,
    pub blade_width: Option<&'v Value<Length>>,
    pub blade_thickness: Option<&'v Value<Length>>,
    pub overlap: Option<&'v Value<Length>>,
    pub gap: Option<&'v Value<Length>>,
    pub closed_gap: Option<&'v Value<Length>>,
    pub glass_length: Option<&'v Value<Length>>,
    pub glass_diameter: Option<&'v Value<Length>>,
}

impl Dimensions<'_> {
    pub fn check(&self, reader: &Reader<'_>) {
        let clashes = [
            clash(self.overlap, self.blade_span, true).map(|(overlap, blade)| {
                Diagnostic::error(codes::OVERLAP_TOO_LONG, "contact overlap is longer than the blade")
                    .at(&overlap.span, format!("must be less than {}", blade.is))
                    .beside(&blade.span, "the blades end here")
                    .help("overlaps are a few tenths of a millimetre to a few millimetres; was a unit mistaken?")
            }),
            clash(self.blade_span, self.overall_length, false).map(|(blade, overall)| {
                Diagnostic::error(codes::BLADE_TOO_LONG, "the blades are longer than the contact")
                    .at(&blade.span, format!("must be at most {}", overall.is))
                    .beside(&overall.span, "from lead tip to lead tip")
                    .help("leads cannot be trimmed into the blades; is `overall_length` measured from tip to tip?")
            }),
            clash(self.closed_gap, self.gap, true).map(|(closed, gap)| {
                let stated = if closed.is_stated() { closed } else { gap };
                let other = if closed.is_stated() { gap } else { closed };
                Diagnostic::error(codes::CLOSED_GAP_TOO_WIDE, "the closed gap is not smaller than the open gap")
                    .at(&stated.span, format!("`gap` {} must exceed `closed_gap` {}", gap.is, closed.is))
                    .beside(&other.span, if closed.is_stated() { "the open gap" } else { "`closed_gap` is 5 µm unless stated" })
                    .help("`closed_gap` is the total thickness of the contact metals, a few micrometres; `gap` is the distance between the open blades")
            }),
            clash(self.glass_length, self.overall_length, false).map(|(glass, overall)| {
                Diagnostic::error(codes::GLASS_TOO_LONG, "the glass is longer than the contact")
                    .at(&glass.span, format!("must be at most {}", overall.is))
                    .beside(&overall.span, "from lead tip to lead tip")
                    .help("leads cannot be trimmed into the glass")
            }),
            clash(self.blade_width, self.glass_diameter, true).map(|(blade, glass)| {
                Diagnostic::error(codes::GLASS_TOO_THIN, "the blade does not fit into the glass")
                    .at(&glass.span, format!("must exceed {}", blade.is))
                    .beside(&blade.span, "width of the blade")
                    .help("`glass_diameter` is the outer diameter of the glass; was a unit mistaken?")
            }),
            clash(self.blade_thickness, self.blade_width, false).map(|(thick, wide)| {
                Diagnostic::error(codes::BLADE_NOT_FLAT, "the blade is thicker than it is wide")
                    .at(&thick.span, format!("must be at most {}", wide.is))
                    .beside(&wide.span, "width of the blade")
                    .help("blades are flat and face each other with their wide side; are the two exchanged?")
            }),
            clash(self.blade_span, self.glass_length, false).map(|(blade, glass)| {
                Diagnostic::warning(codes::BLADE_OUTSIDE_GLASS, "the blades are longer than the glass")
                    .at(&blade.span, "longer than the glass")
                    .beside(&glass.span, "length of the glass")
                    .help("the flat part usually lies inside the glass; `blade_span` is from one round-to-flat transition to the other")
            }),
        ];
        for clash in clashes.into_iter().flatten() {
            reader.faults.add(clash);
        }
    }
}

/// Both, if `inner` exceeds `outer` for any unit within tolerance (or may equal it, if `strictly`).
fn clash<'v>(
    inner: Option<&'v Value<Length>>,
    outer: Option<&'v Value<Length>>,
    strictly: bool,
) -> Option<(&'v Value<Length>, &'v Value<Length>)> {
    let (inner, outer) = (inner?, outer?);
    let (high, low) = (inner.is.high.si(), outer.is.low.si());
    (high > low || strictly && high == low).then_some((inner, outer))
}

/// Operate, release and test coil against each other.
pub(crate) fn thresholds(
    reader: &Reader<'_>,
    operate: Option<&Threshold>,
    release: Option<&Threshold>,
    coil: Option<&Calibration>,
) {
    if let (Some(operate), Some(release)) = (operate, release) {
        match (operate, release) {
            (Threshold::AmpereTurns(o), Threshold::AmpereTurns(r)) => {
                order(reader, &o.is, &r.is, operate, release)
            }
            (Threshold::FluxDensity(o), Threshold::FluxDensity(r)) => {
                order(reader, &o.is, &r.is, operate, release)
            }
            _ => reader.faults.add(
                Diagnostic::error(
                    codes::MIXED_THRESHOLDS,
                    "operate and release are stated in different kinds of quantity",
                )
                .at(span_of_threshold(release), format!("is {}", kind(release)))
                .beside(span_of_threshold(operate), format!("is {}", kind(operate)))
                .help("state both as they were measured: both in AT, or both in mT"),
            ),
        }
    }
    if coil == Some(&Calibration::Uniform) {
        for threshold in [operate, release].into_iter().flatten() {
            if let Threshold::AmpereTurns(value) = threshold {
                reader.faults.add(
                    Diagnostic::error(codes::UNIFORM_NEEDS_FIELD, "ampere-turns mean nothing in a uniform field")
                        .at(&value.span, "must be a flux density, in mT")
                        .beside(&reader.span_of("coil"), "says a uniform field")
                        .help("state the test coil's dimensions: coil = { length = \"25 mm\", mean_diameter = \"9.25 mm\" }"),
                );
            }
        }
    }
}

fn kind(threshold: &Threshold) -> &'static str {
    match threshold {
        Threshold::AmpereTurns(_) => "ampere-turns",
        Threshold::FluxDensity(_) => "a flux density",
    }
}

fn order<Q: Quantity>(
    reader: &Reader<'_>,
    operate: &Toleranced<Q>,
    release: &Toleranced<Q>,
    operate_at: &Threshold,
    release_at: &Threshold,
) {
    let (operate_span, release_span) =
        (span_of_threshold(operate_at), span_of_threshold(release_at));
    if release.nominal >= operate.nominal {
        reader.faults.add(
            Diagnostic::error(codes::RELEASE_ABOVE_OPERATE, "release does not lie below operate")
                .at(release_span, format!("must be below {operate}"))
                .beside(operate_span, "where the contact closes")
                .help("a closed contact holds on less than it took to close it; are the two exchanged?"),
        );
    } else if release.high >= operate.low {
        reader.faults.add(
            Diagnostic::warning(codes::LIMITS_TOUCH, "the limits of operate and release overlap")
                .at(release_span, format!("reaches the limits of operate, {operate}"))
                .beside(operate_span, "where the contact closes")
                .help("in one contact release always lies below operate; units drawn with it above are not counted"),
        );
    }
}
