// Sensitivity in an arrangement of the user's choice: any coil, or the distance of a magnet of the design.

import { el } from "../dom.js";
import { saidOnce } from "./notes.js";

/** @import { Store } from "../store.js" */
/** @import { Answer, Conversion } from "../types/wire.js" */

export class Said {
  /** @type {Store} */
  #store;
  #way = el("select.pick", { "aria-label": "Say it in", onchange: () => this.#ask() });
  #coil = el("input.pick", {
    type: "text", value: "25 mm x 9.25 mm", spellcheck: false, autocomplete: "off",
    "aria-label": "Length x mean diameter of the coil", onchange: () => this.#ask(),
  });
  #found = el("div", { "aria-live": "polite" });
  element = el("section.part.said", {}, el("h3", {}, "In another arrangement"),
    el("div.said-ways", {}, this.#way, this.#coil), this.#found);

  /** Ends what is asked of an older answer. */
  #asking = new AbortController();

  /** @param {Store} store */
  constructor(store) {
    this.#store = store;
    store.watch(["answer"], () => this.#offer(store.state.answer?.answer ?? null));
  }

  /** What there is to choose from. @param {Answer | null} answer */
  #offer(answer) {
    this.#asking.abort();
    if (!answer) return this.#found.replaceChildren();
    const magnets = this.#store.state.drawing?.magnets.map(({ name }) => name) ?? [];
    const ways = [["AT", "ampere-turns in a coil"], ["mT", "mT at the centre of a coil"],
      ...magnets.map((name) => [`magnet ${name}`, `distance of magnet ${name}`])];
    const chosen = this.#way.value;
    this.#way.replaceChildren(...ways.map(([value, text]) => el("option", { value }, text)));
    if (ways.some(([value]) => value === chosen)) this.#way.value = chosen;
    this.#ask();
  }

  async #ask() {
    const { session, answer } = this.#store.state;
    if (session === null || answer === null) return;
    this.#asking.abort();
    this.#asking = new AbortController();
    const { signal } = this.#asking;
    const coiled = !this.#way.value.startsWith("magnet ");
    this.#coil.hidden = !coiled;
    const into = coiled ? `${this.#way.value} ${this.#coil.value}` : this.#way.value;
    const { contacts } = answer.answer;
    const asked = contacts.map(async ({ name }, contact) => {
      const query = new URLSearchParams({ session, contact: String(contact), into });
      const reply = await fetch(`api/convert?${query}`, { signal });
      const said = await reply.json().catch(() => ({}));
      if (!reply.ok) throw new Error(said.error ?? "the server did not answer");
      return { name, conversions: /** @type {Conversion[]} */ (said) };
    });
    const tables = await Promise.all(asked).then(saidOnce).catch((/** @type {Error} */ why) => [el("p.fault", { role: "alert" }, why.message)]);
    // Something else may have been asked meanwhile.
    if (!signal.aborted) this.#found.replaceChildren(...tables);
  }
}
