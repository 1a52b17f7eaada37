// How near an outside magnet must come to an open door to pass for the shut one.

import { el } from "../dom.js";
import { number, withUnit } from "../number.js";

/** @import { Answer } from "../types/wire.js" */

/** @param {Answer} answer @returns {HTMLElement | null} */
export function door(answer) {
  const { door: told } = answer;
  if (told === null) return null;
  const distance = (/** @type {number | null} */ mm) => (mm === null ? "–" : number(mm, "mm"));
  const several = told.contacts.length > 1;
  return el("section.part", {}, el("h3", {}, "Defeat: what could pass for the shut door"), el(
    "table.figures", {},
    el("caption.small", {}, `Door open at ${withUnit(told.open_at, told.unit)}; how near a magnet must come, mm from middle to middle`),
    el("thead", {}, el("tr", {},
      el("th", { scope: "col" }, "magnet"),
      ...told.contacts.flatMap(({ name, closed_when_open: closed }) => [el("th.number", { scope: "col" }, `${closed ? "opens" : "closes"} ${name}`), el("th.number", { scope: "col" }, "holds it")]),
      several && el("th.number", { scope: "col" }, "all as if shut"))),
    el("tbody", {}, ...told.outsiders.map((outsider) => el(
      "tr", {}, el("th", { scope: "row" }, outsider.name),
      ...outsider.contacts.flatMap((at) => [el("td.number", {}, distance(at.changes_mm)), el("td.number", {}, distance(at.holds_mm))]),
      several && el("td.number", {}, distance(outsider.passes_for_shut_mm)),
    ))),
  ), ...told.contacts.map((contact) => el("p.small", {}, contact.comes_back.replaceAll("`", ""))),
  el("p.small.faded", {}, "A guard interlock needs more than one contact and the proof its own standard asks for."));
}
