//! What no calculation replaces.

use maud::{Markup, html};

/// Said in every report, whatever the answer.
pub const CAUTIONS: [&str; 6] = [
    "The figures in this report are design aids. Qualification testing on the real parts, the local \
     codes and a licensed practitioner decide; this report replaces none of them.",
    "A single contact is no safety function by itself. A guard interlock needs the architecture, the \
     monitoring and the proof that its safety standard asks for.",
    "Mains voltage: keep insulation, creepage and clearance to the codes that apply where it is used, \
     and have a licensed practitioner make the connection.",
    "Flammable liquids, vapours and dusts: only equipment certified for the zone may be used; nothing \
     here shows that an arrangement is intrinsically safe.",
    "Medical and vehicle use have their own standards and approvals; nothing here shows that they \
     are met.",
    "A contact can weld or stick. Load, inrush, cable and shock decide its life and are not part of \
     the operate and release points given here.",
];

/// The box of cautions.
pub fn section() -> Markup {
    html! {
        section class="cautions" {
            h2 { "Cautions" }
            ul { @for caution in CAUTIONS { li { (caution) } } }
        }
    }
}
