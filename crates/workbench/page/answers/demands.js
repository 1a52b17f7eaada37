// How each demand stands: sign, word, room, share of units.

import { el, sign, words } from "../dom.js";
import { bounded, counts, percent, withUnit } from "../number.js";
import { FEW } from "./events.js";

/**
 * @import { DemandAnswer, Verdict } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** @type {Record<Verdict, string>} */
export const WORDS = { met: "met", at_risk: "at risk", missed: "missed" };

/** @param {NonNullable<DemandAnswer["share"]>} share */
function units(share) {
  const part = share.met === share.of ? "all" : share.met === 0 ? "none" : percent(share.met / share.of);
  return `${part} of ${share.of} units (${percent(share.low)} .. ${percent(share.high)})`;
}

/** Many contacts that stand alike at one demand are told as one, with the least room of any. */
/** @param {DemandAnswer[]} all @returns {DemandAnswer[]} */
function together(all) {
  /** @type {Map<string, DemandAnswer[]>} */
  const alike = new Map();
  for (const demand of all) {
    const key = `${demand.line} ${demand.verdict} ${demand.text}`;
    alike.set(key, [...(alike.get(key) ?? []), demand]);
  }
  return [...alike.values()].flatMap((same) => {
    if (same.length <= FEW) return same;
    const least = (/** @type {"margin_nominal" | "margin_worst"} */ of) => same.reduce((/** @type {number | null} */ low, { [of]: v }) => (low === null || v === null ? null : Math.min(low, v)), Infinity);
    const worst = same.reduce((a, b) => ((b.share?.low ?? 1) < (a.share?.low ?? 1) ? b : a));
    return [{ ...worst, contact: `${same[0].contact} to ${same[same.length - 1].contact}`, margin_nominal: least("margin_nominal"), margin_worst: least("margin_worst") }];
  });
}

/** @param {DemandAnswer} demand @param {Store} store */
function card(demand, store) {
  const { unit } = demand;
  const counted = counts(unit);
  const rooms = counted ? demand.reason : [
    demand.margin_nominal !== null && `room ${bounded(withUnit(demand.margin_nominal, unit), demand.margin_nominal_bound)}`,
    demand.margin_worst !== null && `worst unit ${bounded(withUnit(demand.margin_worst, unit), demand.margin_worst_bound)}`,
  ].filter(Boolean).join(", ");
  return el(
    `li.demand.v-${demand.verdict}`, { "data-verdict": demand.verdict },
    el("div.demand-head", {},
      el("span.verdict", {}, sign(demand.verdict), ` ${WORDS[demand.verdict]}`),
      el("button.link", { type: "button", title: `Show line ${demand.line}`, onclick: () => store.revealLine(demand.line) },
        el("strong", {}, demand.contact), ` ${demand.text.replaceAll(" ", "\u00a0")}`)),
    rooms !== "" && el("div", {}, rooms),
    demand.share && el("div.faded", {}, units(demand.share)),
    demand.verdict !== "met" && !counted && el("div", {}, ...words(demand.reason)),
  );
}

/** @param {Store} store @returns {HTMLElement} */
export function demands(store) {
  const answer = store.state.answer?.answer;
  const part = el("section.part", {}, el("h3", {}, "Demands"));
  if (answer && answer.demands.length === 0) {
    part.append(el(
      "div.teach", {},
      el("strong", {}, "No demand yet"),
      "Say where the contact must be closed or open, such as closed ", el("code", {}, "<= 8 mm"), ", and it is judged over all tolerances.",
      el("button.act", { type: "button", onclick: () => store.add("demand") }, "Add a demand"),
    ));
  } else part.append(el("ul.demands", {}, ...together(answer?.demands ?? []).map((demand) => card(demand, store))));
  return part;
}
