//! The page's style sheet.

use crate::{figures, fonts, style};

/// Everything the page needs, fonts included.
pub fn sheet() -> String {
    let text = fonts::TEXT;
    let mono = fonts::MONO;
    format!(
        "{faces}{properties}{figures}\
        *{{box-sizing:border-box}}\n\
        html{{background:var(--paper);color:var(--ink);font:400 14px/20px {text};\
        font-variant-numeric:tabular-nums;-webkit-print-color-adjust:exact;print-color-adjust:exact}}\n\
        body{{margin:0}}\n\
        main,footer{{max-width:904px;margin:0 auto;padding:0 24px}}\n\
        section{{margin:48px 0}}\n\
        h1{{font:700 22px/28px {text};margin:0}}\n\
        h2{{font:700 16px/24px {text};margin:0 0 12px;padding-bottom:4px;border-bottom:1.5px solid var(--ink)}}\n\
        h3{{font:700 14px/20px {text};margin:24px 0 8px}}\n\
        p{{margin:0 0 12px;max-width:76ch}}\n\
        code,pre{{font-family:{mono};font-size:12px}}\n\
        th code,td code{{overflow-wrap:anywhere}}\n\
        .hash{{overflow-wrap:anywhere}}\n\
        .note,figcaption,caption{{color:var(--faded);font-size:12px;line-height:16px}}\n\
        h1.long{{font-size:16px;line-height:22px}}.stamp.wide{{font-size:16px;letter-spacing:.02em}}\n\
        .small{{font-size:12px;line-height:16px}}\n\
        .sr{{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}}\n\
        .unit{{font-weight:400;color:var(--faded)}}\n\
        figure{{margin:0}}\n\
        .figure{{display:block;width:100%;height:auto}}\n\
        .inset{{display:block;width:100%;height:auto}}\n\
        .scroll{{overflow-x:auto}}\n\
        table{{border-collapse:collapse;width:100%;margin:0 0 16px}}\n\
        caption{{text-align:left;padding:0 0 4px}}\n\
        th,td{{text-align:left;vertical-align:top;padding:4px 12px 4px 0;border-bottom:1px solid var(--hairline)}}\n\
        th:last-child,td:last-child{{padding-right:0}}\n\
        thead th{{font-weight:700;font-size:12px;line-height:16px;border-bottom:1px solid var(--ink);vertical-align:bottom}}\n\
        tbody th{{font-weight:400}}\n\
        .n{{text-align:right;white-space:nowrap}}\n\
        .strong{{font-weight:700}}\n\
        .n+td:not(.n),.n+th:not(.n){{padding-left:8px}}\n\
        .nowrap{{white-space:nowrap}}\n\
        .verdict{{font-weight:700;white-space:nowrap}}\n\
        .v-met{{color:var(--met)}}.v-at-risk{{color:var(--at-risk)}}.v-missed{{color:var(--missed)}}.v-faded{{color:var(--faded)}}\n\
        .sign{{width:14px;height:14px;vertical-align:-2px;fill:none}}\n\
        .flag{{color:var(--at-risk);font-weight:700;font-size:12px;line-height:16px}}\n\
        .sheet{{border:1.5px solid var(--ink);margin:24px 0 48px}}\n\
        .sheet figure{{padding:16px 16px 12px;border-bottom:1px solid var(--ink)}}\n\
        .block{{display:grid;grid-template-columns:repeat(12,1fr)}}\n\
        .cell{{padding:6px 12px 8px;border-right:1px solid var(--ink);border-top:1px solid var(--ink);margin:-1px 0 0 0;min-width:0}}\n\
        .cell dt{{font-size:12px;line-height:16px;color:var(--faded)}}\n\
        .cell dd{{margin:0;overflow-wrap:anywhere}}\n\
        dl{{margin:0}}\n\
        .w2{{grid-column:span 2}}.w3{{grid-column:span 3}}.w5{{grid-column:span 5}}.w7{{grid-column:span 7}}.w9{{grid-column:span 9}}\n\
        .last{{border-right:0}}\n\
        .stamp-cell{{grid-column:span 3;grid-row:span 2;display:flex;align-items:center;justify-content:center;border-right:0}}\n\
        .stamp{{border:2.5px solid currentColor;outline:1px solid currentColor;outline-offset:3px;border-radius:4px;\
        padding:6px 12px;font:700 22px/28px {text};text-transform:uppercase;letter-spacing:.06em;\
        text-align:center;white-space:nowrap;transform:rotate(-4deg);margin:10px 0}}\n\
        .stamp .sign{{width:20px;height:20px;vertical-align:-2px}}\n\
        .pairs{{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:8px 32px}}\n\
        .abouts{{columns:2;column-gap:32px;margin-bottom:12px}}.abouts p{{break-inside:avoid;margin-bottom:8px}}\n\
        .bars{{width:100px;height:12px;display:block;margin-top:4px}}\n\
        .dense th,.dense td{{padding:2px 8px 2px 0}}.dense td .note{{white-space:nowrap}}\n\
        .quantities th code{{overflow-wrap:normal}}\n\
        .card{{margin:8px 0 4px}}\n\
        .warning{{border-left:4px solid var(--at-risk);padding:2px 0 2px 12px;margin:0 0 12px}}\n\
        .warning p{{margin:0}}\n\
        .cautions{{border:1.5px solid var(--ink);padding:12px 16px}}\n\
        .cautions h2{{border:0;margin-bottom:4px;padding:0}}\n\
        .cautions ul{{margin:0;padding-left:20px}}.cautions li{{margin:0 0 4px;max-width:84ch}}\n\
        .refs{{display:grid;grid-template-columns:max-content 1fr;gap:4px 16px}}\n\
        .refs dt{{font-family:{mono};font-size:12px}}.refs dd{{margin:0}}\n\
        ol.listing{{font:12px/16px {mono};margin:0;padding:0;list-style:none;counter-reset:line}}\n\
        ol.listing li{{counter-increment:line;white-space:pre-wrap;overflow-wrap:anywhere;padding-left:48px;position:relative;min-height:16px}}\n\
        ol.listing li::before{{content:counter(line);position:absolute;left:0;width:32px;text-align:right;color:var(--faded)}}\n\
        ol.listing li:target{{background:color-mix(in srgb,var(--drive) 16%,transparent)}}\n\
        a{{color:inherit;text-decoration-color:var(--faded);text-underline-offset:2px}}\n\
        p.made{{max-width:none}}.cell p.made{{margin:0}}.made a[href^='#ref']{{text-decoration:none}}\n\
        details{{margin:0 0 12px}}summary{{cursor:pointer;color:var(--faded);font-size:12px}}\n\
        details pre{{max-height:240px;overflow:auto;border:1px solid var(--hairline);padding:8px}}\n\
        footer{{border-top:1px solid var(--ink);padding-top:8px;padding-bottom:24px;font-size:12px;line-height:16px;color:var(--faded)}}\n\
        footer p{{max-width:none}}\n\
        @media screen and (max-width:760px){{.pairs{{grid-template-columns:1fr}}.abouts{{columns:1}}main,footer{{padding:0 12px}}.block{{grid-template-columns:repeat(6,1fr)}}\
        .block>.cell{{grid-column:span 6;grid-row:auto;border-right:0}}.block>.w2{{grid-column:span 3}}}}\n\
        @page{{size:A4;margin:10mm 12mm 13mm;@bottom-right{{content:counter(page) ' / ' counter(pages);font:12px {text};color:#555b66}}}}\n\
        @media print{{\
        html{{font-size:9.5pt;line-height:13pt}}\
        main,footer{{max-width:none;padding:0}}\
        section{{margin:0 0 20pt}}\
        .sheet{{margin:0 1px 20pt 0}}\
        figure .figure{{width:{width}mm;margin:0 auto}}.sheet figure{{padding:4pt 0 3pt}}\
        .fresh{{break-before:page}}\
        figure,tr,.warning,.cautions,.block,.keep{{break-inside:avoid}}\
        h2,h3,caption,thead,p.made,tbody tr:first-child,tbody tr:nth-last-child(2){{break-after:avoid}}\
        p.made{{break-inside:avoid}}p{{orphans:3;widows:3}}\
        h2,h3{{break-inside:avoid}}\
        h2::after,h3::after{{content:'';display:block;height:{follows}pt;margin-bottom:-{follows}pt;pointer-events:none}}\
        .refs{{font-size:8.5pt;line-height:11pt;row-gap:2pt}}\
        thead{{display:table-header-group}}\
        .scroll{{overflow:visible}}\
        h1{{font-size:14pt;line-height:17pt}}.cell{{padding:3pt 8pt 4pt}}.cell dd{{line-height:12pt}}\
        h1.long{{font-size:10.5pt;line-height:17pt}}\
        .stamp,.stamp.wide{{font-size:14pt;line-height:18pt;padding:3pt 9pt;margin:4pt 0}}.stamp .sign{{width:13pt;height:13pt}}\
        .stamp.wide{{font-size:11pt}}.cell .stamp{{line-height:18pt}}\
        .dense td,.dense th{{font-size:8.5pt;line-height:11pt;padding:1pt 3pt 1pt 0}}thead .n{{white-space:normal}}.quantities th code{{overflow-wrap:anywhere}}\
        details{{display:none}}.pairs{{gap:4pt 16pt}}.pairs th,.pairs td{{padding-right:6pt}}.pairs code{{font-size:7.5pt}}.bars{{width:72px}}\
        code,pre,ol.listing{{font-size:8pt;line-height:11pt}}\
        ol.listing li{{min-height:11pt;break-inside:avoid}}\
        .note,figcaption,caption,thead th,footer,.cell dt,.flag{{font-size:8pt;line-height:10.5pt}}\
        }}\n",
        // A heading takes so much room below it along to a new page, pt: its models' line and some more.
        follows = 90,
        // The stated scale holds on paper.
        width = figures::PAPER_WIDTH_MM,
        faces = fonts::font_faces(),
        properties = style::properties(),
        figures = style::inline(),
    )
}
