// What moves an event, largest first: a bar each, and the way to the line that could be tightened.

import { el } from "../dom.js";
import { number, signed, unitLabel } from "../number.js";

/**
 * @import { Answer, Event } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** Drivers shown. */
const MOST = 6;

/** @param {string} contact @param {Event} event @param {boolean} several */
const title = (contact, event, several) =>
  `${several ? `${contact} ` : ""}${event.kind}, ${event.direction}${event.main_lobe ? "" : `, lobe ${event.lobe}`}`;

/** `magnet[slug].size[1]` as one says it: "slug size y". @param {string} path */
export const pathInWords = (path) => path.split(" + ").map((one) => one
  .replace(/^\w+\[(.+?)\]\./, "$1 ").replace(/^surroundings\./, "")
  .replace(/\[([012])\]/g, (_, axis) => ` ${"xyz"[Number(axis)]}`).replaceAll(".", " ").replaceAll("_", " ")).join(" + ");

/**
 * @param {Answer} answer
 * @param {Store} store
 * @param {string | null} chosen  title of the event chosen before
 * @param {(title: string) => void} choose
 * @returns {HTMLElement | null}
 */
export function drivers(answer, store, chosen, choose) {
  const several = answer.contacts.length > 1;
  const all = answer.contacts.flatMap((contact) =>
    contact.events.map((event) => ({ event, name: title(contact.name, event, several) })));
  const found = all.find(({ name }) => name === chosen) ?? all.find(({ event }) => event.main_lobe) ?? all[0];
  if (!found) return null;
  const pick = el("select.pick", { "aria-label": "Event", onchange: () => choose(pick.value) },
    ...all.map(({ name }) => el("option", {}, name)));
  pick.value = found.name;
  const { event } = found;
  const { unit } = event.at;
  // What would be printed as nothing is nothing.
  const felt = (/** @type {number} */ shift) => /[1-9]/.test(number(shift, unit));
  const rows = event.drivers.filter(({ at_low: low, at_high: high }) => felt(low) || felt(high)).slice(0, MOST);
  const most = Math.max(...rows.flatMap((row) => [Math.abs(row.at_low), Math.abs(row.at_high)]), 1e-12);
  return el(
    "section.part", {}, el("div.drivers-head", {}, el("h3", {}, "What drives it"), pick),
    rows.length === 0
      ? el("p.faded", {}, event.drivers.length > 0 ? "No tolerance of the design moves it by as much as is printed." : "No quantity of the design carries a tolerance, so nothing moves it.")
      : el("table.drivers", {},
        el("caption.only-heard", {}, `What moves ${found.name}, in ${unit}`),
        el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "quantity"), el("th", { scope: "col" }, el("span.only-heard", {}, "bar")),
          el("th.number", { scope: "col" }, `low ${unitLabel(unit)}`), el("th.number", { scope: "col" }, "high"))),
        el("tbody", {}, ...rows.map((row) => {
          const quantity = answer.quantities.find(({ path }) => path === row.path);
          const name = pathInWords(row.path);
          const link = quantity && quantity.line > 0
            ? el("button.link", { type: "button", title: `${row.path} = ${quantity.text}, line ${quantity.line}`, onclick: () => store.revealLine(quantity.line) }, name)
            : el("span", { title: row.path }, name);
          return el("tr", {}, el("th", { scope: "row" }, link), el("td.bar-cell", {}, bar(row.at_low / most, row.at_high / most)),
            el("td.number", {}, signed(row.at_low, unit)), el("td.number", {}, signed(row.at_high, unit)));
        }))),
  );
}

/** Both shifts about a middle line, each from -1 to 1: low open, high solid. @param {number} low @param {number} high */
function bar(low, high) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "-50 0 100 12");
  svg.setAttribute("class", "driver-bar");
  svg.setAttribute("aria-hidden", "true");
  const piece = (/** @type {number} */ share, /** @type {number} */ y, /** @type {string} */ kind) => {
    const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    const length = 48 * share;
    rect.setAttribute("x", String(Math.min(0, length)));
    rect.setAttribute("y", String(y));
    rect.setAttribute("width", String(Math.abs(length)));
    rect.setAttribute("height", "4");
    rect.setAttribute("class", kind);
    return rect;
  };
  const axis = document.createElementNS("http://www.w3.org/2000/svg", "path");
  axis.setAttribute("d", "M0 0v12");
  svg.append(piece(low, 1, "at-low"), piece(high, 7, "at-high"), axis);
  return svg;
}
