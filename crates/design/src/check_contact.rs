//! What must hold between a contact's keys.

use crate::codes::{self, Code};
use crate::diagnostic::{Diagnostic, Severity};
use crate::model::{Calibration, Threshold};
use crate::read_contact::span_of_threshold;
use crate::reader::Reader;
use crate::value::{SourceMark, Value};
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

/// A dimension that must stay below (or at most reach) another.
struct Bound<'v> {
    inner: Option<&'v Value<Length>>,
    outer: Option<&'v Value<Length>>,
    /// What the outer dimension is, where the design states it.
    outer_is: &'static str,
    /// They must not be equal either.
    strictly: bool,
    code: Code,
    severity: Severity,
    message: &'static str,
    help: &'static str,
}

impl Bound<'_> {
    /// The fault, if any unit within tolerance breaks the bound. It points at the dimension the
    /// design itself states, the other one may come from the catalogue or a default.
    fn fault(&self) -> Option<Diagnostic> {
        let (inner, outer) = (self.inner?, self.outer?);
        let (high, low) = (inner.is.high.si(), outer.is.low.si());
        let broken = high > low || self.strictly && high == low;
        let fault = || Diagnostic::new(self.severity, self.code.id, self.message).help(self.help);
        let (above, below) =
            if self.strictly { ("more than", "less than") } else { ("at least", "at most") };
        broken.then(|| {
            if inner.is_stated() || !outer.is_stated() {
                fault()
                    .at(&inner.span, format!("must be {below} {}", outer.is))
                    .beside(&outer.span, described(outer, self.outer_is))
            } else {
                fault()
                    .at(&outer.span, format!("must be {above} {}", inner.is))
                    .beside(&inner.span, described(inner, ""))
            }
        })
    }
}

/// What the other dimension is; its value too, where the line marked does not show it.
fn described(value: &Value<Length>, words: &str) -> String {
    let key = value.path.rsplit('.').next().unwrap_or(&value.path);
    match value.source {
        Some(SourceMark::Catalogue) => format!("has `{key}` {}", value.is),
        Some(SourceMark::Default) => format!("`{key}` is {} unless stated", value.is),
        _ if words.is_empty() => format!("`{key}`"),
        _ => words.to_owned(),
    }
}

impl Dimensions<'_> {
    pub fn check(&self, reader: &Reader<'_>) {
        let error = Severity::Error;
        let bounds = [
            Bound {
                inner: self.overlap,
                outer: self.blade_span,
                outer_is: "the blades end here",
                strictly: true,
                code: codes::OVERLAP_TOO_LONG,
                severity: error,
                message: "contact overlap is longer than the blade",
                help: "overlaps are a few tenths of a millimetre to a few millimetres; was a unit mistaken?",
            },
            Bound {
                inner: self.blade_span,
                outer: self.overall_length,
                outer_is: "from lead tip to lead tip",
                strictly: false,
                code: codes::BLADE_TOO_LONG,
                severity: error,
                message: "the blades are longer than the contact",
                help: "`overall_length` is from lead tip to lead tip and cannot be trimmed into the blades",
            },
            Bound {
                inner: self.closed_gap,
                outer: self.gap,
                outer_is: "between the open blades",
                strictly: false,
                code: codes::CLOSED_GAP_TOO_WIDE,
                severity: error,
                message: "the closed gap is wider than the open gap",
                help: "`closed_gap` is the total thickness of the contact metals, a few micrometres; `gap` is the distance between the open blades",
            },
            Bound {
                inner: self.glass_length,
                outer: self.overall_length,
                outer_is: "from lead tip to lead tip",
                strictly: false,
                code: codes::GLASS_TOO_LONG,
                severity: error,
                message: "the glass is longer than the contact",
                help: "`overall_length` is from lead tip to lead tip and cannot be trimmed into the glass",
            },
            Bound {
                inner: self.blade_width,
                outer: self.glass_diameter,
                outer_is: "outer diameter of the glass",
                strictly: true,
                code: codes::GLASS_TOO_THIN,
                severity: error,
                message: "the blade does not fit into the glass",
                help: "`glass_diameter` is the outer diameter of the glass; was a unit mistaken?",
            },
            Bound {
                inner: self.blade_thickness,
                outer: self.blade_width,
                outer_is: "width of the blades",
                strictly: false,
                code: codes::BLADE_NOT_FLAT,
                severity: error,
                message: "the blade is thicker than it is wide",
                help: "blades are flat and face each other with their wide side; are the two exchanged?",
            },
            Bound {
                inner: self.blade_span,
                outer: self.glass_length,
                outer_is: "length of the glass",
                strictly: false,
                code: codes::BLADE_OUTSIDE_GLASS,
                severity: Severity::Warning,
                message: "the blades are longer than the glass",
                help: "the flat part usually lies inside the glass; `blade_span` is from one round-to-flat transition to the other",
            },
        ];
        let faults = bounds.iter().filter_map(Bound::fault);
        faults.chain(self.always_closed()).for_each(|fault| reader.faults.add(fault));
    }

    /// The warning for a contact whose open blades touch already.
    fn always_closed(&self) -> Option<Diagnostic> {
        let (gap, closed) = (self.gap?, self.closed_gap?);
        (gap.is.low == closed.is.high).then(|| {
            let message = "the open gap is no wider than the contact metals";
            Diagnostic::warning(codes::ALWAYS_CLOSED, message)
                .at(&gap.span, "taken as a contact that is closed already")
                .help("open and closed are then the same circuit; `gap` is the distance between the open blades")
        })
    }
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
                .help("in one contact release never lies above operate; a unit drawn with it above is taken to release where it operates; a [[correlation]] says how the two go together"),
        );
    }
}
