// The pane of the design: text above, fields below, or either alone; what is wrong with it beneath.

import { el, words } from "../dom.js";
import { Divider } from "../divider.js";
import { Editor } from "./editor.js";
import { Form } from "./form.js";
import { Strip } from "./strip.js";

/**
 * @import { Mark } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** @typedef {"text" | "both" | "fields"} Half */

const HALVES = /** @type {[Half, string][]} */ ([["text", "Text"], ["both", "Both"], ["fields", "Fields"]]);
const KEPT = "reedmace.design";

export class DesignPane {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   */
  constructor(host, store) {
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    const tools = /** @type {HTMLElement} */ (host.querySelector(".tools"));
    this.halves = el("div.halves");
    const text = el("div.editor");
    const fields = el("div.fields");
    const divider = el("div.gutter.level", {
      role: "separator", tabIndex: 0, "aria-orientation": "horizontal", "aria-label": "Height of the text",
    });
    this.halves.append(text, divider, fields);
    this.problems = el("div.problems", { role: "region", "aria-label": "Problems", hidden: true });
    this.strip = new Strip(store);
    // Both in one place of one height: what comes and goes here moves no text under the cursor.
    this.foot = el("div.foot", {}, this.problems, this.strip.box);
    stage.append(this.halves, this.foot);
    this.editor = new Editor(text, store);
    new Form(fields, store, this.strip);
    new Divider(divider, this.halves, { name: "--fields-height", axis: "y", from: "end", least: 120, rest: 120, kept: "fields" });

    this.buttons = HALVES.map(([half, word]) =>
      el("button.tool", { type: "button", onclick: () => this.show(half) }, word));
    tools.append(el("div.choice", { role: "group", "aria-label": "Show the design as" }, ...this.buttons));
    const kept = localStorage.getItem(KEPT);
    this.show(HALVES.some(([half]) => half === kept) ? /** @type {Half} */ (kept) : "both");
    store.watch(["design"], ({ design }) => this.#tell(design?.diagnostics ?? []));
    for (const moved of ["focusin", "focusout"]) stage.addEventListener(moved, () => this.#choose());
  }

  /** @param {Half} half */
  show(half) {
    localStorage.setItem(KEPT, half);
    this.half = half;
    this.halves.dataset.half = half;
    HALVES.forEach(([other], k) => this.buttons[k].setAttribute("aria-pressed", String(other === half)));
  }

  /** Finding needs the text in sight. */
  find() {
    if (this.half === "fields") this.show("both");
    this.editor.find();
  }

  /** @param {Mark[]} marks */
  #tell(marks) {
    const errors = marks.filter(({ severity }) => severity === "error").length;
    const count = (/** @type {number} */ n, /** @type {string} */ word) => `${n} ${word}${n === 1 ? "" : "s"}`;
    const heads = [errors > 0 && count(errors, "fault"), marks.length > errors && count(marks.length - errors, "warning")];
    this.marks = marks;
    this.#choose();
    this.problems.replaceChildren(
      el("div.problems-head", {}, heads.filter(Boolean).join(", "), errors > 0 && this.store.state.drawing !== null && el("span.faded", {}, " – the picture is the last good one")),
      el("ul", {}, ...marks.map((mark) => this.#problem(mark))),
    );
  }

  /** @type {Mark[]} */
  marks = [];

  /** Problems first, unless a field is being filled in that has only warnings to fear. */
  #choose() {
    const at = document.activeElement;
    const filling = at !== null && (at.closest(".field") !== null || this.strip.box.contains(at));
    const grave = this.marks.some(({ severity }) => severity === "error");
    const shown = this.marks.length > 0 && !(filling && !grave);
    this.problems.hidden = !shown;
    this.strip.box.hidden = shown;
  }

  /** @param {Mark} mark */
  #problem(mark) {
    return el("li", {}, el(
      `button.problem.${mark.severity}`,
      { type: "button", onclick: () => this.store.set({ reveal: { from: mark.from, to: mark.to } }) },
      el("span.where", {}, `line ${mark.line}`),
      el("span", {}, ...words(mark.message), mark.label ? el("span.faded", {}, " – ", ...words(mark.label)) : null),
      mark.help && el("span.help", {}, ...words(mark.help)),
      el("code.faded", {}, mark.code),
    ));
  }
}
