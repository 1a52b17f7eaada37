// The title block: what is shown, by what, how good it is, and the stamp.

import { el, sign } from "../dom.js";
import { withUnit } from "../number.js";
import { WORDS } from "./demands.js";

/** @import { Store } from "../store.js" */

/** @param {string} label @param {string} kind @param {...(Node | string | null)} value */
function cell(label, kind, ...value) {
  return el(`div.cell.${kind}`, {}, el("dt", {}, label), el("dd", {}, ...value));
}

/**
 * @param {Store} store
 * @returns {HTMLElement}
 */
export function titleBlock(store) {
  const { answer: full, form, title, name } = store.state;
  const answer = full?.answer;
  const verdict = answer?.verdict ?? null;
  const revision = form?.flatMap(({ fields }) => fields).find(({ path }) => path === "revision")?.text ?? "–";
  const model = answer?.models[0];
  const word = answer ? (verdict ? WORDS[verdict] : "no demands") : "…";
  return el(
    "dl.block", {},
    el("div.cell.stamp-cell", {}, el("dt.only-heard", {}, "Verdict"),
      el(answer ? `dd.stamp.v-${verdict ?? "none"}` : "dd.faded", { "data-verdict": verdict ?? "none" }, verdict && sign(verdict), verdict ? ` ${word}` : word)),
    cell("Design", "wide", el("strong", {}, title ?? name)),
    cell("Revision", "narrow", revision),
    cell("Date", "narrow", new Date().toISOString().slice(0, 10)),
    cell("Sweep", "full.two", answer
      ? `${answer.sweep.coordinate}, ${withUnit(answer.sweep.from, answer.sweep.unit)} to ${withUnit(answer.sweep.to, answer.sweep.unit)}`
      : "–"),
    cell("Model", "full.two", model ? el("span", { title: `${model.name}: ${model.how}; ${model.accuracy}` }, model.accuracy.split(";")[0]) : "–"),
    cell("Made by", "full", answer
      ? `Reedmace ${answer.provenance.version}, seed ${answer.provenance.seed}, sha256 ${answer.provenance.design_sha256.slice(0, 8)}…`
      : "–"),
  );
}
