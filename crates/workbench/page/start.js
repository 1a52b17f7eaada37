// The starting page: designs of the folder, those opened lately, templates, the examples of Tarn Hollow.

import { el, words } from "./dom.js";

/** @import { Store } from "./store.js" */

/**
 * @typedef {object} Sample
 * @property {string} name
 * @property {string} title
 * @property {string} summary
 */

/**
 * @typedef {object} Offer  what the server offers
 * @property {string} folder
 * @property {string | null} open  design to open at once
 * @property {{name: string, title: string | null, problem: string | null, modified: number | null, edited?: boolean}[]} files
 * @property {{key: string, name: string, modified: number | null}[]} [unsaved]  edits never saved to a file
 * @property {string[]} [recent]
 * @property {Sample[]} templates
 * @property {Sample[]} examples
 */

/** @returns {Promise<Offer>} */
export async function offers() {
  const answer = await fetch("api/start");
  if (!answer.ok) throw new Error(`the server says ${answer.status}`);
  return answer.json();
}

/** Days and hours in words: "today 14:05", "3 March". @param {number | null} seconds */
function when(seconds) {
  if (seconds === null) return "";
  const at = new Date(seconds * 1000);
  const today = new Date().toDateString() === at.toDateString();
  return today
    ? `today ${at.toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" })}`
    : at.toLocaleDateString(undefined, { day: "numeric", month: "long", year: "numeric" });
}

/** In the place of a picture. */
const none = () => el("span.no-picture.faded", { "aria-hidden": "true" }, "no picture");

export class Start {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   */
  constructor(host, store) {
    this.host = host;
    this.store = store;
    store.watch(["dark"], () => {
      for (const picture of host.querySelectorAll("img")) this.#draw(picture);
    });
  }

  /** The picture of a design, on paper or on the dark board. @param {HTMLImageElement} picture */
  #draw(picture) {
    picture.src = `api/thumbnail?${picture.dataset.of}${this.store.state.dark ? "&dark=true" : ""}`;
  }

  /** @param {Offer} offer */
  show(offer) {
    const rank = new Map((offer.recent ?? []).map((name, k) => [name, k]));
    const order = (/** @type {{name: string}} */ file) => rank.get(file.name) ?? Infinity;
    const files = [...offer.files].sort((a, b) => order(a) - order(b) || (b.modified ?? 0) - (a.modified ?? 0));
    const templates = this.#part("Begin with", "What most designs grow from.",
      ...offer.templates.map((sample) => this.#sample(sample, "template")));
    const own = this.#files(offer.folder, files);
    // Whoever has designs comes back to them; whoever has none begins one.
    const first = files.length > 0 ? [own, templates] : [templates, own];
    this.host.replaceChildren(el("div.start-sheet", {},
      ...this.#unsaved(offer.unsaved ?? []), ...first,
      this.#part("From Tarn Hollow", "Worked examples from a fish-and-salad farm of our invention. Opening one leaves it as it is; save it under a name to keep your changes.",
        ...offer.examples.map((sample) => this.#sample(sample, "example"))),
    ));
  }

  /** @param {string} why */
  fail(why) {
    this.host.replaceChildren(el("div.start-sheet", {}, el("p.teach", {}, el("strong", {}, "Nothing can be listed"), why)));
  }

  /** @param {string} head @param {string} text @param {...HTMLElement} cards */
  #part(head, text, ...cards) {
    return el("section.start-part", {}, el("h2", {}, head), el("p.faded", {}, text), el("ul.cards", {}, ...cards));
  }

  /** @param {Sample} sample @param {"template" | "example"} kind */
  #sample({ name, title, summary }, kind) {
    const head = kind === "template" ? name.replaceAll("-", " ").replace(/^./, (first) => first.toUpperCase()) : title;
    return this.#card({ [kind]: name }, head, summary.replace(/^Tarn Hollow: /, ""));
  }

  /** @param {Record<string, string>} what @param {string} title @param {string} text @param {boolean} [drawn]  there is something to be drawn */
  #card(what, title, text, drawn = true) {
    const query = new URLSearchParams(what).toString();
    const picture = el("img", { "data-of": query, alt: "", loading: "lazy", onerror: () => picture.replaceWith(none()) });
    if (drawn) this.#draw(picture);
    return el("li", {}, el("a.card", { href: `#${query}` }, drawn ? picture : none(), el("span.card-title", {}, title), el("span.card-text.faded", {}, ...words(text))));
  }

  /** @param {string} folder @param {Offer["files"]} files */
  #files(folder, files) {
    const part = this.#part(`In ${folder}`, files.length === 0
      ? "No design is in this folder yet. Begin with one of the above; saving puts it here."
      : "Designs of the folder, the last one worked on first.");
    const list = /** @type {HTMLElement} */ (part.querySelector("ul"));
    list.classList.add("files");
    list.append(...files.map(({ name, title, problem, modified, edited }) => {
      const card = this.#card({ file: name }, title ?? name, problem ? `Has a fault: ${problem}` : edited ? `${name}, with edits not saved` : name, problem === null);
      card.querySelector(".card-text")?.append(el("span.when", {}, when(modified)));
      if (problem) card.querySelector(".card")?.classList.add("at-fault");
      return card;
    }));
    return part;
  }

  /** @param {NonNullable<Offer["unsaved"]>} unsaved */
  #unsaved(unsaved) {
    if (unsaved.length === 0) return [];
    return [this.#part("Never saved", "Edits that an ended session left behind.",
      ...unsaved.map(({ key, name, modified }) => {
        const card = this.#card({ unsaved: key }, name, when(modified));
        card.append(el("button.tool", {
          type: "button", onclick: () => {
            // Its picture may still be on its way, and soon has nothing to be of.
            card.querySelector("img")?.removeAttribute("src");
            this.store.send({ say: "forget", unsaved: key });
            card.remove();
          },
        }, "Forget these edits"));
        return card;
      }))];
  }
}
