// What drives a figure, the most first; each tolerance can be held wider or tighter, and kept so.

import { pathInWords } from "../answers/drivers.js";
import { el } from "../dom.js";
import { percent } from "../number.js";
import { at, drawing, svg } from "./svg.js";

/**
 * @import { DriverShare, SpreadAnswer, Tighter } from "../types/wire.js"
 * @import { State, Store } from "../store.js"
 */

/** Drivers shown. */
const MOST = 6;
/** A tolerance moved by keys goes into the text after such a rest, ms. */
const REST = 900;
const WIDE = 60;

/** Total index open, first-order index solid within it, the error of the total as a whisker. @param {DriverShare} driver */
function bar({ first, total, total_error: error }) {
  const x = (/** @type {number} */ share) => at(1 + Math.min(1, Math.max(0, share)) * (WIDE - 8));
  const [low, high] = [x(total - error), x(total + error)];
  return drawing(
    "index", WIDE, 14,
    svg("rect.total", { x: 1, y: 2.5, width: Math.max(0, x(total) - 1), height: 9 }),
    svg("rect.first", { x: 1, y: 2.5, width: Math.max(0, x(Math.min(first, total)) - 1), height: 9 }),
    svg("path.error", { d: `M${low} 7H${high}M${low} 4.5v5M${high} 4.5v5` }),
  );
}

/** An index as one says it. @param {number} share @param {number} error */
const index = (share, error) => `${(100 * Math.max(0, share)).toFixed(1)} ± ${(100 * error).toFixed(1)}`;

/** What the text says of a quantity, or what is taken where it says nothing. @param {State} state @param {string} path */
function stated(state, path) {
  const field = state.form?.flatMap(({ fields }) => fields).find((one) => one.path === path);
  return field?.text ?? field?.default ?? state.answer?.answer.quantities.find((one) => one.path === path)?.text ?? null;
}

class Driver {
  #name = el("button.link", { type: "button" });
  #bar = el("td.bar-cell");
  #first = el("td.number");
  #total = el("td.number");
  #text = el("output.tolerance");
  #wrong = el("span.fault");
  #held = false;
  #rest = 0;

  /** @param {string} path @param {Store} store */
  constructor(path, store) {
    this.path = path;
    this.store = store;
    const name = pathInWords(path);
    this.#name.textContent = name;
    this.#name.onclick = () => this.line > 0 && store.revealLine(this.line);
    this.slider = el("input.slack", {
      type: "range", min: "5", max: "200", step: "5", value: "100", "aria-label": `Tolerance of ${name}`,
      oninput: () => this.#move(),
      onpointerdown: () => (this.#held = true),
      onpointerup: () => this.#release(),
      onpointercancel: () => this.#release(),
      onblur: () => store.state.held?.path === path && store.keepHeld(),
      onkeydown: (/** @type {KeyboardEvent} */ event) => this.#key(event),
    });
    this.row = el("tr", { "data-path": path },
      el("th", { scope: "row" }, this.#name), this.#bar, this.#first, this.#total,
      el("td.slack-cell", {}, this.slider), el("td", {}, this.#text, this.#wrong));
  }

  line = 0;

  #move() {
    this.store.hold(this.path, Number(this.slider.value) / 100);
    clearTimeout(this.#rest);
    if (!this.#held) this.#rest = setTimeout(() => this.#settle(), REST);
  }

  /** Writes what keys have moved, once it is seen what it does. */
  #settle() {
    const { held, tried } = this.store.state;
    if (held?.path !== this.path) return;
    if (tried?.seq === held.seq) this.store.keepHeld();
    else this.#rest = setTimeout(() => this.#settle(), REST / 4);
  }

  #release() {
    this.#held = false;
    // The value of the last move comes first.
    setTimeout(() => this.store.state.held?.path === this.path && this.store.keepHeld());
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (this.store.state.held?.path !== this.path) return;
    if (event.key === "Enter") this.store.keepHeld();
    else if (event.key === "Escape") {
      event.stopPropagation();
      this.store.letBe();
    } else return;
    event.preventDefault();
    clearTimeout(this.#rest);
  }

  /** @param {DriverShare} driver */
  show(driver) {
    const { state } = this.store;
    const { line, note } = driver;
    this.line = line;
    this.#name.title = line > 0 ? `${this.path}, line ${line}` : `${this.path}: not stated in the file`;
    this.#name.disabled = line === 0;
    this.#bar.replaceChildren(bar(driver));
    this.#first.textContent = index(driver.first, driver.first_error);
    this.#total.textContent = index(driver.total, driver.total_error);
    this.row.title = note ?? "";
    const held = state.held?.path === this.path ? state.held : null;
    const tried = held && state.tried?.seq !== null ? state.tried : null;
    const text = stated(state, this.path);
    const value = String(Math.round(100 * (held?.times ?? 1)));
    if (this.slider.value !== value) this.slider.value = value;
    // Of a mixture there is no one tolerance to be held.
    this.slider.disabled = text === null || text.startsWith("{");
    const shown = (held && tried?.tolerance) || text || "–";
    this.#text.textContent = shown;
    this.#wrong.textContent = (held && tried?.none) || "";
    this.slider.setAttribute("aria-valuetext", held ? `${value} % as wide, ${shown}` : shown);
    this.slider.title = line > 0 ? "Drag: tighter to the left, wider to the right; double is the most" : "Drag; the file does not state it: letting go writes it there";
    this.row.classList.toggle("held", held !== null);
  }
}

export class Drivers {
  /** @type {Map<string, Driver>} */
  #known = new Map();
  #body = el("tbody");
  #none = el("p.faded");
  #table = el("table.shares", {},
    el("caption.only-heard", {}, "What it comes from: shares of its variance, in per cent"),
    el("thead", {}, el("tr", {},
      el("th", { scope: "col" }, "quantity"), el("th", { scope: "col" }, el("span.only-heard", {}, "bar")),
      el("th.number", { scope: "col", title: "First order: the share of the variance that would go if this quantity were known" }, "alone %"),
      el("th.number", { scope: "col", title: "Total: the share that would stay if only this quantity were unknown" }, "total %"),
      el("th", { scope: "col" }, "drag"), el("th", { scope: "col" }, "tolerance"))),
    this.#body);
  element = el("section.part", {}, el("h3", {}, "What drives it"), this.#none, this.#table);

  /** @param {Store} store */
  constructor(store) {
    this.store = store;
  }

  /** @param {DriverShare[] | null} drivers  null while they are worked out */
  show(drivers) {
    const shown = (drivers ?? []).slice(0, MOST);
    this.#none.hidden = shown.length > 0;
    this.#none.textContent = drivers === null ? "Working out what drives it …" : "All units agree: nothing drives it.";
    this.#table.hidden = shown.length === 0;
    const rows = shown.map((driver) => {
      const row = this.#known.get(driver.path) ?? new Driver(driver.path, this.store);
      this.#known.set(driver.path, row);
      row.show(driver);
      return row.row;
    });
    const same = rows.length === this.#body.children.length && rows.every((row, k) => row === this.#body.children[k]);
    if (same) return;
    const focus = /** @type {HTMLElement | null} */ (this.#body.contains(document.activeElement) ? document.activeElement : null);
    this.#body.replaceChildren(...rows);
    if (focus?.isConnected) focus.focus();
  }
}

/** What a tenth tighter would buy, as a sentence; nothing where nothing is gained for sure. @param {Tighter[]} all @param {Store} store @returns {(Node | string)[]} */
export function gains(all, store) {
  const best = all.filter(({ gain, gain_error: error }) => gain > 2 * error).slice(0, 3);
  const said = best.flatMap(({ path, line, text, gain, gain_error: error }, k) => {
    const name = pathInWords(path);
    const link = line > 0
      ? el("button.link", { type: "button", title: `${path} = ${text}, line ${line}`, onclick: () => store.revealLine(line) }, name)
      : el("span", { title: `${path} = ${text}, not stated in the file` }, name);
    return [k === 0 ? "What to tighten: a tenth off " : ", off ", link, ` gains ${percent(gain)} ± ${percent(error)}`];
  });
  return said.length === 0 ? [] : [...said, " of the units."];
}

/** @param {SpreadAnswer | null} causes @param {string} key @param {import("./figures.js").Figure[]} figures */
export function driversOf(causes, key, figures) {
  if (causes === null) return null;
  return figures.find((figure) => figure.key === key)?.drivers ?? [];
}
