// What is told of every unit besides its events; like figures of several contacts in one row.

import { el } from "../dom.js";
import { before, capped, number, withUnit } from "../number.js";

/** @import { Answer, FigureAnswer } from "../types/wire.js" */

/** Characters of a name and of a value up to which both stand in one line. */
const SHORT = [22, 11];

/**
 * Figures that one row tells.
 * @typedef {{name: string, one: FigureAnswer, all: FigureAnswer[]}} Row
 */

/** A value without its unit; marked where nothing beyond was looked at. @param {FigureAnswer} figure @param {number | null} value */
function valued({ ends, value: { unit } }, value) {
  const end = ends.find(({ at }) => at === value);
  if (end) return `${end.upper ? "≥" : "≤"}\u00a0${number(value, unit)}`;
  return unit === "%" && value !== null ? capped(value) : number(value, unit);
}

/** A figure's name without the contact it ends with, and that contact. @param {Answer} answer @param {FigureAnswer} figure */
function parted(answer, { name }) {
  const [longest] = answer.contacts.map((contact) => contact.name).filter((contact) => name.endsWith(` of ${contact}`)).sort((a, b) => b.length - a.length);
  return longest === undefined ? { stem: name, contact: "" } : { stem: name.slice(0, -` of ${longest}`.length), contact: longest };
}

/** The same of several contacts with limits that print alike is one row. @param {Answer} answer @returns {Row[]} */
export function rows(answer) {
  /** @type {Map<string, {stem: string, of: string[], all: FigureAnswer[]}>} */
  const told = new Map();
  for (const figure of answer.figures) {
    const { stem, contact } = parted(answer, figure);
    const { group, about, model, source, value, ends, in_every_unit } = figure;
    const limits = [value.low, value.high].map((limit) => valued(figure, limit));
    const key = JSON.stringify(contact === "" ? figure.name : [stem, group, about, model, source, value.unit, limits, in_every_unit, ends]);
    const known = told.get(key) ?? { stem, of: [], all: [] };
    known.of.push(contact);
    known.all.push(figure);
    told.set(key, known);
  }
  return [...told.values()].map(({ stem, of, all }) => ({
    name: all.length === 1 ? all[0].name : of.length === answer.contacts.length ? `${stem} of each contact` : `${stem} of ${of.join(", ")} each`,
    one: all[0], all,
  }));
}

/** Nominal: one value, or from the lowest to the highest of several contacts. @param {Row} row */
function nominal({ one, all }) {
  const values = all.map(({ value }) => value.value);
  if (values.some((value) => value === null)) return "–";
  const sorted = /** @type {number[]} */ (values).toSorted((a, b) => a - b);
  const [low, high] = [sorted[0], sorted[sorted.length - 1]].map((value) => valued(one, value));
  return before(low === high ? low : `${low} .. ${high}`, one.value.unit);
}

/** What is said of values where the looking ended. @param {Row} row @returns {string[]} */
function ends({ one, all }) {
  const { low, high } = one.value;
  return one.ends.flatMap(({ at, upper, meaning }) => {
    const always = all.some(({ value }) => value.value === at);
    if (!always && low !== at && high !== at) return [];
    return [`${always ? "" : "in some units: "}${meaning}, ${upper ? "up" : "down"} to ${withUnit(at, one.value.unit)}`];
  });
}

/** In one line, or with the name in a line of its own where it is long. @param {Row} row */
function lines(row) {
  const { name, one } = row;
  const value = nominal(row);
  const remarks = [!one.in_every_unit && "in some units only", ...ends(row)].filter((said) => said !== false);
  const said = remarks.map((remark) => el("span.faded.remark", {}, remark));
  const limits = [one.value.low, one.value.high].map((limit) => el("td.number", {}, valued(one, limit)));
  if (said.length === 0 && name.length <= SHORT[0] && value.length <= SHORT[1]) {
    return el("tbody", { title: `${one.about}\n${one.model}: ${one.source}` }, el("tr", {}, el("th", { scope: "row" }, name), el("td.number", {}, value), ...limits));
  }
  return el("tbody", { title: `${one.about}\n${one.model}: ${one.source}` },
    el("tr.named", {}, el("th", { scope: "rowgroup", colspan: 4 }, name, ...said)), el("tr", {}, el("td.number", { colspan: 2 }, value), ...limits));
}

/** @param {Answer} answer @returns {HTMLElement | null} */
export function figures(answer) {
  if (answer.figures.length === 0) return null;
  return el("section.part", {}, el("h3", {}, "Figures"), el(
    "table.figures", {},
    el("thead", {}, el("tr", {},
      el("th", { scope: "col" }, "figure"), el("th.number", { scope: "col" }, "nominal"), el("th.number", { scope: "col" }, "low"), el("th.number", { scope: "col" }, "high"))),
    ...rows(answer).map(lines),
  ));
}
