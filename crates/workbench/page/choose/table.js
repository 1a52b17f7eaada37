// The best that were found, and why the others are not among them.

import { el, sign } from "../dom.js";
import { unitLabel } from "../number.js";
import { shareText } from "../spread/figures.js";
import { key } from "./front.js";
import { called, columns, costHead, loadableCandidate, roomText } from "./points.js";
import { number } from "../number.js";

/**
 * @import { Candidate, ChooseAnswer } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

export class Table {
  /** @type {ChooseAnswer | null} */
  #answer = null;
  /** @type {HTMLTableRowElement[]} */
  #rows = [];
  #best = el("div");
  #lost = el("div.lost-list");
  element = el("div", {}, this.#best, this.#lost);

  /** @param {Store} store @param {(candidate: number) => void} over  told which row the pointer or the focus is on */
  constructor(store, over) {
    this.store = store;
    this.over = over;
    this.#best.addEventListener("keydown", (event) => this.#key(event));
  }

  /** @param {ChooseAnswer} answer @param {string} loaded */
  show(answer, loaded) {
    if (answer !== this.#answer) {
      this.#answer = answer;
      this.#make(answer);
    }
    this.#rows.forEach((row, k) => {
      const pressed = key(answer.candidates[k].values) === loaded;
      row.classList.toggle("loaded", pressed);
      row.querySelector("button")?.setAttribute("aria-pressed", String(pressed));
    });
  }

  /** Lights a row. @param {number | null} candidate */
  mark(candidate) {
    this.#rows.forEach((row, k) => row.classList.toggle("here", k === candidate));
  }

  /** @param {ChooseAnswer} answer */
  #make(answer) {
    const free = columns(answer);
    const share = answer.wanted !== null;
    this.#rows = answer.candidates.map((candidate, k) => this.#row(answer, candidate, k, free.map(({ texts }) => texts[k])));
    const head = (/** @type {string} */ name, /** @type {string} */ more, /** @type {string} */ title, number = true) =>
      el(number ? "th.number" : "th", { scope: "col", title }, name, more !== "" && el("span.faded.tail", {}, more));
    this.#best.replaceChildren(...(this.#rows.length === 0 ? [] : [el(
      "table.best", {},
      el("caption.only-heard", {}, "The best that were found, the cheapest first"),
      el("thead", {}, el("tr", {},
        head("no.", "", "Shows the design beside this one"), head(costHead(answer), "", `What ${answer.cost} is made of stands in the catalogue`),
        head("room", unitLabel(answer.margin_unit), "Least room of all demands in the worst unit that counts"),
        share && head("yield", "", "Share of units that meet every demand"),
        ...free.map(({ path, head: name, tail }) => head(name, tail, path, false)))),
      el("tbody", {}, ...this.#rows),
    )]));
    const lost = answer.lost.reduce((sum, { count }) => sum + count, 0);
    this.#lost.replaceChildren(...(lost === 0 ? [] : [
      el("h3", {}, `Why ${lost} ${lost === 1 ? "other is" : "others are"} not among them`),
      el("ul.plain", {}, ...answer.lost.map(({ count, reason }) => el("li", {}, el("strong", {}, String(count)), ` ${reason}`))),
    ]));
  }

  /** @param {ChooseAnswer} answer @param {Candidate} candidate @param {number} k @param {string[]} texts */
  #row(answer, candidate, k, texts) {
    const load = () => this.store.choice.load(loadableCandidate(candidate, k));
    const button = el("button.link", { type: "button", tabIndex: k === 0 ? 0 : -1, "aria-label": `${called(k)} beside this design`, "aria-pressed": "false", onfocus: () => this.over(k) }, String(k + 1));
    const { share, warnings } = candidate;
    const row = el(
      "tr", { onclick: load, onpointerenter: () => this.over(k), title: warnings.length > 0 ? `check warns of ${warnings.join(" ")}` : "" },
      el("th.number", { scope: "row" }, button), el("td.number", {}, number(candidate.cost, "")),
      el("td.number", {}, roomText(candidate.margin, answer.margin_unit)),
      answer.wanted !== null && el("td.number", {}, share === null ? "–" : shareText(share.met / share.of)),
      ...texts.map((text) => el("td", {}, text)),
    );
    if (candidate.verdict !== "met") row.cells[0].prepend(sign(candidate.verdict, "some units miss"), " ");
    return row;
  }

  /** Arrow keys go from row to row. @param {KeyboardEvent} event */
  #key(event) {
    const buttons = this.#rows.map((row) => /** @type {HTMLButtonElement} */ (row.querySelector("button")));
    const at = buttons.indexOf(/** @type {HTMLButtonElement} */ (document.activeElement));
    const next = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: buttons.length - 1 }[event.key];
    if (at < 0 || next === undefined) return;
    event.preventDefault();
    const to = buttons[Math.min(buttons.length - 1, Math.max(0, next))];
    buttons.forEach((button) => (button.tabIndex = button === to ? 0 : -1));
    to.focus();
  }
}
