// What the contacts switch: the rules judged, what they go through, and the parts that protect them.

import { el, sign } from "../dom.js";
import { FAR, capped, number, withUnit } from "../number.js";

/** @import { Answer, LoadAnswer, Switching } from "../types/wire.js" */

/** @param {Answer} answer @returns {HTMLElement | null} */
export function loads(answer) {
  return answer.loads.length === 0 ? null : el("div", {}, ...answer.loads.map(one));
}

/** @param {LoadAnswer} load */
function one(load) {
  return el("section.part", {}, el("h3", {}, `Load ${load.name}`),
    el("p.small", {}, `${load.about}, switched by ${load.contact}`),
    ...load.findings.map((finding) => el("p", {}, finding)),
    el("table.figures", {},
      el("caption.small", {}, "Ratings: share of what is allowed, over the tolerances of both sides"),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "rule"), el("th.number", { scope: "col" }, "share, %"), el("th", { scope: "col" }, ""))),
      el("tbody", {}, ...load.rules.map(({ rule, value, limit, share, verdict, source }) => el(
        "tr", { title: `${number(value.low, value.unit)} .. ${withUnit(value.high, value.unit)} against ${limit}. ${source}` },
        el("th", { scope: "row" }, rule), el("td.number", {}, share.low > FAR ? capped(share.low) : `${capped(share.low)} .. ${capped(share.high)}`),
        el("td", {}, el(`span.verdict.v-${verdict}`, {}, sign(verdict, verdict.replace("_", " ")))),
      )))),
    gone(load),
    load.refused && el("p", {}, load.refused),
    load.protection && el("table.figures", {},
      el("caption.small", {}, `${load.protection.kind}: ${load.protection.rule}`),
      el("tbody", {}, ...load.protection.parts.map(({ name, value, ratings }) => el(
        "tr", {}, el("th", { scope: "row" }, name), el("td.number", {}, value), el("td.small", {}, ratings.length > 0 ? `at least ${ratings.join(", ")}` : ""),
      )))),
  );
}

/** What the contact goes through, before and after. @param {LoadAnswer} load */
function gone({ bare, protection }) {
  const row = (/** @type {string} */ words, /** @type {Switching} */ { opens, closes }) => el(
    "tr", {}, el("th", { scope: "row" }, words),
    el("td.number", {}, number(opens.peak_voltage_V, "V")), el("td.number", {}, opens.arc_ms > 0 ? number(opens.arc_ms, "ms") : "none"),
    el("td.number", {}, opens.arc_ms > 0 ? number(opens.energy_mJ, "mJ") : "–"), el("td.number", {}, number(closes.peak_current_A, "A")),
  );
  return el("table.figures", {},
    el("caption.small", {}, "What the contact goes through"),
    el("thead", {}, el("tr", {}, ...["", "opening, V", "arc, ms", "energy, mJ", "closing, A"].map((words, k) => el(k === 0 ? "th" : "th.number", { scope: "col" }, words)))),
    el("tbody", {}, row("without protection", bare), protection && row(`with ${protection.kind}`, protection.with)),
  );
}
