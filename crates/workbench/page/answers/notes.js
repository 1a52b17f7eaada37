// What goes with the events: warnings with what to do, sensitivity in every unit, magnets, steel.

import { el, words } from "../dom.js";
import { number, range, unitLabel, withUnit } from "../number.js";

/** @import { Answer, Band, Conversion } from "../types/wire.js" */

/** Warnings with one code and one help are told by the first of them from so many on. */
const MANY = 4;

/** Things told once that are alike by a key, with how many they are and their names. @template T @param {T[]} all @param {(one: T) => unknown} key @returns {{one: T, all: T[]}[]} */
function once(all, key) {
  /** @type {Map<string, {one: T, all: T[]}>} */
  const told = new Map();
  for (const one of all) {
    const known = told.get(JSON.stringify(key(one)));
    if (known) known.all.push(one);
    else told.set(JSON.stringify(key(one)), { one, all: [one] });
  }
  return [...told.values()];
}

/** @param {Answer} answer @returns {HTMLElement | null} */
export function warnings(answer) {
  if (answer.warnings.length === 0) return null;
  const told = once(answer.warnings, ({ code, help }) => [code, help])
    .flatMap(({ one, all }) => (all.length < MANY ? all.map((warning) => ({ warning, more: 0 })) : [{ warning: one, more: all.length - 1 }]));
  return el(
    "section.part", {}, el("h3", {}, "Warnings"),
    el("ul.warnings", {}, ...told.map(({ warning, more }) => el(
      "li", {}, el("div", {}, ...words(warning.message), more > 0 ? `; the same of ${more} more ` : " ", el("code.faded", {}, warning.code)), el("div.help", {}, ...words(warning.help)),
    ))),
  );
}

/** @param {string} kind @param {Band} band */
function cell(kind, band) {
  return el("td.number", { "data-value": band.value === null ? null : String(band.value), "aria-label": `${kind} ${withUnit(band.value, band.unit)}, ${range(band)}` },
    el("span", {}, withUnit(band.value, band.unit)), " ", el("span.faded.under", {}, `(${number(band.low, band.unit)} .. ${number(band.high, band.unit)})`));
}

/**
 * Each arrangement on a line of its own, its two values below: names of coils are long.
 * @param {string} contact @param {Conversion[]} conversions @param {boolean} named  more than one contact is told of
 */
export function saidIn(contact, conversions, named) {
  return el(
    "table.conversions", {},
    el("caption", { className: named ? "" : "only-heard" }, `Sensitivity of ${contact}`),
    el("thead", {}, el("tr", {}, el("th.number", { scope: "col" }, "operate"), el("th.number", { scope: "col" }, "release"))),
    ...conversions.map((row) => el("tbody", {},
      el("tr.said-in", {}, el("th", { scope: "rowgroup", colspan: 2 }, row.arrangement)),
      el("tr", {}, cell("operate", row.operate), cell("release", row.release)))),
  );
}

/** @param {Answer} answer @returns {HTMLElement} */
export function conversions(answer) {
  return el("section.part", {}, el("h3", {}, "Sensitivity, in every unit"), ...saidOnce(answer.contacts));
}

/** Contacts of one sensitivity are told once. @param {{name: string, conversions: Conversion[]}[]} contacts */
export function saidOnce(contacts) {
  return once(contacts, ({ conversions }) => conversions)
    .map(({ one, all }) => saidIn(all.map(({ name }) => name).join(", "), one.conversions, contacts.length > 1));
}

/** What each contact gets where the drive is strongest. @param {Answer} answer @returns {HTMLElement | null} */
export function strongest(answer) {
  const of = answer.contacts.flatMap(({ name, strongest: found }) => (found === null ? [] : [{ name, found }]));
  const lines = once(of, ({ found }) => found).map(({ one: { found }, all }) => el(
    "li", {}, el("strong", {}, all.map(({ name }) => name).join(", ")), ` at ${answer.sweep.coordinate} = ${withUnit(found.at, found.unit)}: drive ${withUnit(100 * found.overdrive, "%")} of operate; `
      + `closed blades pull ${withUnit(found.force_mN, "mN")}, carry ${withUnit(found.blade_peak_T, "T")} at most; `
      + `saturation takes ${withUnit(found.taken_by_saturation_percent, "%")} off the flux across the gap.`,
  ));
  return lines.length === 0 ? null : el("section.part", {}, el("h3", {}, "Where the drive is strongest"), el("ul.plain", {}, ...lines));
}

/** @param {Answer} answer @returns {HTMLElement | null} */
export function magnets(answer) {
  if (answer.magnets.length === 0) return null;
  const lines = answer.magnets.map((magnet) => {
    const state = magnet.states[magnet.critical];
    const loss = state.loss_percent > 0
      ? `loses ${withUnit(state.loss_percent, "%")} for good`
      : `keeps ${withUnit(state.worst.knee_margin_percent, "%")} of room before its knee`;
    return el("li", {}, el("strong", {}, magnet.name), ` ${magnet.grade}: at ${withUnit(state.temperature_C, "°C")} it ${loss}.`);
  });
  return el("section.part", {}, el("h3", {}, "Magnets at temperature"), el("ul.plain", {}, ...lines));
}

/** @param {Answer} answer @returns {HTMLElement | null} */
export function steel(answer) {
  const { steel: found, sweep } = answer;
  if (!found) return null;
  const unit = unitLabel(sweep.unit);
  return el(
    "section.part", {}, el("h3", {}, "What the steel does"),
    el("table", {},
      el("caption.only-heard", {}, "Events with and without the steel"),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "event"), el("th.number", { scope: "col" }, `with ${unit}`), el("th.number", { scope: "col" }, "without"), el("th.number", { scope: "col" }, "shift"))),
      el("tbody", {}, ...found.events.map((event) => el("tr", {},
        el("th", { scope: "row" }, `${event.contact} ${event.kind}, ${event.direction}`),
        ...[event.with, event.without, event.shift].map((value) => el("td.number", {}, number(value, event.unit))))))),
    el("ul.plain", {}, ...found.bodies.map((body) => el("li", {}, el("strong", {}, body.name),
      ` carries ${withUnit(body.peak_T, "T")} at most`,
      body.saturated_percent === null ? "." : `, ${withUnit(body.saturated_percent, "%")} of saturation.`))),
  );
}
