// The bar at the top: what is open and whether it is saved; undo, find, export, mode.

import { el, sign, tool } from "./dom.js";
import { showKeys } from "./keys.js";
import { exportAddress } from "./store.js";

/**
 * @import { Store } from "./store.js"
 * @import { DesignPane } from "./design/pane.js"
 */

/** What can be taken out, in words. @type {[string, string][]} */
const EXPORTS = [
  ["report", "Report, one page of HTML"],
  ["map.svg", "Map as SVG"],
  ["map.png", "Map as PNG"],
  ["map.csv", "Map as CSV"],
  ["trace.csv", "Drive along the sweep as CSV"],
  ["region.stl", "Closed region as STL"],
  ["answer.json", "Whole answer as JSON"],
  ["design", "Design file"],
];

export class Bar {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   * @param {DesignPane} design
   * @param {{ home: () => void, foldDesign: () => void, toggleMode: () => void, save: () => void }} does
   */
  constructor(host, store, design, does) {
    this.store = store;
    const home = tool({ icon: "home", text: "Designs", title: "All designs, templates and examples", onclick: does.home });
    const drawer = tool({ icon: "sheet", title: "Show or fold the design", onclick: does.foldDesign });
    const title = el("h1.design-title");
    const file = el("span.file.faded");
    const saved = el("button.tool.saved", { type: "button", title: "Save (Ctrl S)", onclick: does.save });
    const undo = tool({ icon: "undo", title: "Undo (Ctrl Z)", onclick: () => design.editor.undo() });
    const redo = tool({ icon: "redo", title: "Redo (Ctrl Shift Z)", onclick: () => design.editor.redo() });
    const find = tool({ icon: "find", title: "Find in the design ( / )", onclick: () => design.find() });
    const spread = tool({ icon: "spread", text: "Spread", title: "Spread: what many built units do (u)", onclick: () => store.showSpread(!store.state.spreading) });
    const choose = tool({ icon: "choose", text: "Choose", title: "Choose: the cheapest of what the design leaves free (c)", onclick: () => store.choice.show(!store.state.choosing) });
    const mode = tool({ icon: "mode", title: "Paper or dark board", onclick: does.toggleMode });
    const keys = tool({ icon: "keys", title: "What the keys do ( ? )", onclick: showKeys });
    const temperature = this.#temperature();
    const open = el("div.bar-part.open-only", {}, saved, undo, redo, temperature, find, spread, choose, this.#exports());
    host.append(home, drawer, title, file, el("span.spring"), open, keys, mode);

    store.watch(["session", "title", "file", "name"], ({ session, title: given, file: name, name: called }) => {
      host.classList.toggle("nothing-open", session === null);
      const shown = session === null ? "Reedmace" : (given ?? called);
      title.textContent = shown;
      file.textContent = session === null ? "reed contacts, magnets and what moves them" : (name ?? "not in a file yet");
      document.title = session === null ? "Reedmace" : `${shown} – Reedmace`;
    });
    store.watch(["saved", "file", "recovered", "link"], ({ saved: state, file: name, recovered, link }) => {
      const words = { saved: name === null ? "Save …" : "Saved", edited: recovered ? "Recovered" : "Save", saving: "Saving" };
      saved.textContent = link === "open" ? words[state] : "Not connected";
      saved.dataset.state = link === "open" ? state : "lost";
    });
    store.watch(["spreading"], ({ spreading }) => spread.setAttribute("aria-pressed", String(spreading)));
    store.watch(["choosing"], ({ choosing }) => choose.setAttribute("aria-pressed", String(choosing)));
    store.watch(["canUndo", "canRedo"], ({ canUndo, canRedo }) => {
      undo.disabled = !canUndo;
      redo.disabled = !canRedo;
    });
  }

  /** The temperature of everything: the one quantity wanted from everywhere. */
  #temperature() {
    const input = el("input", {
      type: "text", spellcheck: false, "aria-label": "Temperature of everything",
      onchange: () => this.store.put("surroundings.temperature", input.value.trim() || null),
      onkeydown: (/** @type {KeyboardEvent} */ event) => event.key === "Enter" && input.blur(),
    });
    const box = el("label.temperature", { title: "Temperature of everything" }, el("span.faded", {}, "at"), input);
    this.store.watch(["form"], ({ form }) => {
      const field = form?.flatMap(({ fields }) => fields).find(({ path }) => path === "surroundings.temperature");
      box.hidden = field === undefined;
      if (!field || document.activeElement === input) return;
      input.value = field.text ?? "";
      input.placeholder = field.default ?? "";
      input.size = Math.max(6, (field.text ?? field.default ?? "").length);
    });
    return box;
  }

  #exports() {
    const list = el("div.menu", { popover: "auto", id: "exports", role: "menu", "aria-label": "Export" });
    const button = el("button.tool", {
      type: "button", title: "Export", "aria-haspopup": "menu", onclick: () => {
        const at = button.getBoundingClientRect();
        list.style.top = `${at.bottom + 4}px`;
        list.style.right = `${document.documentElement.clientWidth - at.right}px`;
        EXPORTS.forEach(([what], k) => (links[k].href = exportAddress(this.store.state, what)));
        list.togglePopover();
        // At once: the next key may follow before the menu's own event does.
        if (list.matches(":popover-open")) links[0].focus();
      },
    }, sign("out"), "Export", sign("open"));
    const links = EXPORTS.map(([what, words]) =>
      el("a", { role: "menuitem", download: "", onclick: () => list.hidePopover() }, el("span", {}, words), el("code.faded", {}, what)));
    list.append(...links, el("p.faded.small", {}, "Of the last text without faults."));
    list.addEventListener("toggle", (event) => {
      button.setAttribute("aria-expanded", String(/** @type {ToggleEvent} */ (event).newState === "open"));
    });
    list.addEventListener("keydown", (event) => {
      const towards = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (towards === undefined) return;
      event.preventDefault();
      const at = links.indexOf(/** @type {HTMLAnchorElement} */ (document.activeElement));
      links[(at + towards + links.length) % links.length].focus();
    });
    return el("span.exports", {}, button, list);
  }
}
