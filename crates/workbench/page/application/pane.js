// The application: a tank with its float, a wheel, a door, a relay's coil, drawn at the playhead and moved by it; a
// load over time, a contact's gap in section. It stands in the place of space for designs that have one, or several to pick from.
//
// Nothing is computed here: places come from the drawing's path, readings and states from the answer.

/** @import { State, Store } from "../store.js" */
/** @import { Point } from "../bench/geometry.js" */

import { choose, el, hide, say, tool } from "../dom.js";
import { Pen } from "../bench/draw.js";
import { inFrame, watchLook, watchSize } from "../bench/frame.js";
import { range, standing } from "../bench/playhead.js";
import { Blades } from "../bench/blades.js";
import { withUnit } from "../number.js";
import { Closing } from "./closing.js";
import { Coil } from "./coil.js";
import { Construction, isBuilt } from "./construction.js";
import { Load } from "./load.js";
import { Tank } from "./tank.js";
import { Leaf, Wheel } from "./turn.js";

/** Keys move by this share of what there is. */
const NUDGE = 1 / 200;

/**
 * What the hand moves: from where to where, where it stands, and what moving it does; how far a key moves it, and
 * words in place of the number, if it has its own.
 * @typedef {{ends: [number, number], here: number, unit: string, go: (to: number) => void, step?: number, words?: string}} Rule
 */

/**
 * What is drawn of a design's application.
 * @typedef {object} Kind
 * @property {string} name  of the pane
 * @property {string} hint  what a hand can do
 * @property {(pen: Pen, state: State, picture: NonNullable<ReturnType<typeof standing>>, blades: Blades) => void} draw
 * @property {(at: Point, state: State) => number | null} at  what a point of the picture stands for along the rule
 * @property {(state: State, here: number) => string[]} says  what is read there
 * @property {(state: State) => HTMLElement | null} [more]  a field of its own for the tools
 * @property {(state: State) => Rule} [rule]  what the hand moves, if not the playhead
 */

/** What a design has an application of, the one that stands first. @param {State} state @returns {string[]} */
export function kindsOf(state) {
  const { drawing, form, answer } = state;
  const stated = (form ?? []).filter(({ line }) => line !== null);
  return [
    ...(drawing?.level ? ["Tank"] : drawing?.turn ? [drawing.turn.wheel ? "Wheel" : "Door"] : []),
    ...(stated.some(({ table }) => table === "relay") ? ["Coil"] : []),
    ...(answer?.answer.timing?.contacts.length ? ["Closing"] : []),
    ...stated.filter(({ table }) => table === "load").map(({ name }) => `Load ${name}`),
    ...(isBuilt(state) ? ["Construction"] : []),
  ];
}

/** The one that is shown; `null` where there is none. @param {State} state */
export function kindOf(state) {
  const kinds = kindsOf(state);
  return kinds.find((kind) => kind === state.application) ?? kinds[0] ?? null;
}

/** Whether space is shown: as picked, else where nothing stands before a contact's construction. @param {State} state */
export const inSpace = (state) => state.inSpace ?? ["Construction", undefined].includes(kindsOf(state)[0]);

/** @param {string} of @param {() => void} repaint @returns {Kind} */
function kindCalled(of, repaint) {
  switch (of) {
    case "Tank": return new Tank();
    case "Wheel": return new Wheel();
    case "Door": return new Leaf(repaint);
    case "Coil": return new Coil();
    case "Closing": return new Closing(repaint);
    case "Construction": return new Construction(repaint);
    default: return new Load(of.slice("Load ".length), repaint);
  }
}

export class ApplicationPane {
  /** @type {{of: string, kind: Kind} | null} */
  #kind = null;
  #held = false;

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.store = store;
    this.head = /** @type {HTMLElement} */ (host.querySelector("h2"));
    const canvas = el("canvas", { "aria-hidden": "true" });
    this.slider = el("div.hand", { tabIndex: 0, role: "slider", "aria-orientation": "vertical" });
    const sheet = el("div.application-sheet", {}, canvas, this.slider);
    this.read = el("output.application-read", { "aria-live": "off" });
    /** @type {HTMLElement} */ (host.querySelector(".stage")).append(sheet, this.read);
    this.more = el("span.more");
    this.pick = el("select.pick", { "aria-label": "Application", hidden: true, onchange: () => store.set({ application: this.pick.value }) });
    host.querySelector(".tools")?.append(this.pick, this.more, tool({ text: "Space", title: "The arrangement in space (a)", onclick: () => store.set({ inSpace: true }) }));
    this.pen = new Pen(canvas, true);
    this.blades = new Blades(() => this.#repaint());
    watchSize(sheet, (width, height) => {
      this.pen.resize(width, height);
      this.#repaint();
    });
    watchLook(() => this.#restyle());
    store.watch(["dark"], () => this.#restyle());
    store.watch(["drawing", "live", "answer", "drag", "playhead", "pass", "design", "form", "application", "inSpace"], () => this.#repaint());
    this.#hands();
  }

  #restyle() {
    this.pen.restyle();
    this.#repaint();
  }

  #repaint() {
    inFrame(this, 3, () => this.#paint());
  }

  /** @param {State} state @returns {Kind | null} */
  #of(state) {
    const of = kindOf(state);
    if (!of) return null;
    if (this.#kind?.of !== `${of} ${state.opened}`) {
      const repaint = () => this.#repaint();
      this.#kind = { of: `${of} ${state.opened}`, kind: kindCalled(of, repaint) };
      const { kind } = this.#kind;
      this.more.replaceChildren();
      say(this.head, kind.name);
      this.slider.setAttribute("aria-label", kind.hint);
      this.slider.title = kind.hint;
    }
    const kinds = kindsOf(state);
    if (kinds.join() !== [...this.pick.options].map(({ value }) => value).join()) this.pick.replaceChildren(...kinds.map((value) => el("option", { value }, value)));
    choose(this.pick, of);
    hide(this.pick, kinds.length < 2);
    // Of several the list says which it is.
    this.head.classList.toggle("only-heard", kinds.length > 1);
    return this.#kind.kind;
  }

  /** What the hand moves: the playhead, unless the kind has something else. @param {State} state @returns {Rule} */
  #rule(state) {
    const own = this.#kind?.kind.rule?.(state);
    if (own) return own;
    const ends = range(state) ?? [0, 1];
    const here = state.playhead ?? ends[0];
    return {
      ends, here,
      unit: state.live?.glance.unit ?? state.answer?.answer.sweep.unit ?? "mm",
      // What moves then goes on the pass that leads there.
      go: (to) => this.store.set({ playhead: to, pass: (to - here) * (ends[1] - ends[0]) > 0 ? "forward" : "back" }),
    };
  }

  #paint() {
    const { state } = this.store;
    const kind = this.#of(state);
    const picture = standing(state);
    if (!kind || !picture || this.pen.width === 0) return;
    this.pen.clear();
    kind.draw(this.pen, state, picture, this.blades);
    const field = kind.more?.(state);
    if (field && field.parentElement !== this.more) this.more.replaceChildren(field);
    const { ends, here, unit, words = withUnit(here, unit) } = this.#rule(state);
    const lines = kind.says(state, here);
    if (this.read.childElementCount !== lines.length) this.read.replaceChildren(...lines.map(() => el("p")));
    lines.forEach((line, k) => say(/** @type {HTMLElement} */ (this.read.children[k]), line));
    this.slider.setAttribute("aria-valuemin", String(Math.min(...ends)));
    this.slider.setAttribute("aria-valuemax", String(Math.max(...ends)));
    this.slider.setAttribute("aria-valuenow", String(here));
    this.slider.setAttribute("aria-valuetext", `${words}: ${lines.join("; ")}`);
  }

  /** @param {number} to */
  #go(to) {
    const { ends, here, go } = this.#rule(this.store.state);
    const held = Math.min(Math.max(...ends), Math.max(Math.min(...ends), to));
    if (held !== here) go(held);
  }

  #hands() {
    const { slider } = this;
    /** @param {PointerEvent} event */
    const follow = (event) => {
      const box = slider.getBoundingClientRect();
      const at = this.#kind?.kind.at([event.clientX - box.left, event.clientY - box.top], this.store.state);
      if (at !== null && at !== undefined) this.#go(at);
    };
    slider.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      this.#held = true;
      slider.setPointerCapture(event.pointerId);
      follow(event);
    });
    slider.addEventListener("pointermove", (event) => this.#held && follow(event));
    for (const end of ["pointerup", "pointercancel"]) slider.addEventListener(end, () => (this.#held = false));
    slider.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const { ends, here, step: own } = this.#rule(this.store.state);
      const step = own ?? (Math.max(...ends) - Math.min(...ends)) * NUDGE * (event.shiftKey ? 10 : 1);
      const to = {
        ArrowUp: here + step, ArrowRight: here + step, ArrowDown: here - step, ArrowLeft: here - step,
        Home: ends[0], End: ends[1],
      }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      this.#go(to);
    });
  }
}
