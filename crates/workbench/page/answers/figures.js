// What is told of every unit besides its events.

import { el } from "../dom.js";
import { number, withUnit } from "../number.js";

/** @import { Answer } from "../types/wire.js" */

/** @param {Answer} answer @returns {HTMLElement | null} */
export function figures(answer) {
  if (answer.figures.length === 0) return null;
  return el("section.part", {}, el("h3", {}, "Figures"), el(
    "table.figures", {},
    el("thead", {}, el("tr", {},
      el("th", { scope: "col" }, "figure"), el("th.number", { scope: "col" }, "nominal"), el("th.number", { scope: "col" }, "low"), el("th.number", { scope: "col" }, "high"))),
    el("tbody", {}, ...answer.figures.map(({ name, about, value, in_every_unit }) => el(
      "tr", { title: about }, el("th", { scope: "row" }, name, in_every_unit ? null : el("span.faded", {}, " in some units only")),
      el("td.number", {}, withUnit(value.value, value.unit)), el("td.number", {}, number(value.low, value.unit)), el("td.number", {}, number(value.high, value.unit)),
    ))),
  ));
}
