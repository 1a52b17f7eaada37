// The application: a tank with its float, a wheel, a door, drawn at the playhead and moved by it. It stands in
// the place of space for designs that have one.
//
// Nothing is computed here: places come from the drawing's path, readings and states from the answer.

/** @import * as wire from "../types/wire.js" */
/** @import { State, Store } from "../store.js" */
/** @import { Point } from "../bench/geometry.js" */

import { el, say, tool } from "../dom.js";
import { Pen } from "../bench/draw.js";
import { inFrame, watchLook, watchSize } from "../bench/frame.js";
import { range, standing } from "../bench/playhead.js";
import { Blades } from "../bench/blades.js";
import { withUnit } from "../number.js";
import { Tank } from "./tank.js";
import { Leaf, Wheel } from "./turn.js";

/** Keys move the playhead by this share of the sweep. */
const NUDGE = 1 / 200;

/**
 * What is drawn of a design's application.
 * @typedef {object} Kind
 * @property {string} name  of the pane
 * @property {string} hint  what a hand can do
 * @property {(pen: Pen, state: State, picture: NonNullable<ReturnType<typeof standing>>, blades: Blades) => void} draw
 * @property {(at: Point, state: State) => number | null} at  coordinate of the sweep that a point of the picture stands for
 * @property {(state: State, here: number) => string[]} says  what is read at a coordinate
 * @property {(state: State) => HTMLElement | null} [more]  a field of its own for the tools
 */

/** The kind of a design's application; `null` where it has none. @param {wire.Drawing | null} drawing @returns {"tank" | "wheel" | "door" | null} */
export function kindOf(drawing) {
  if (drawing?.level) return "tank";
  if (drawing?.turn) return drawing.turn.wheel ? "wheel" : "door";
  return null;
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
    host.querySelector(".tools")?.append(this.more, tool({ text: "Space", title: "The arrangement in space (a)", onclick: () => store.set({ inSpace: true }) }));
    this.pen = new Pen(canvas, true);
    this.blades = new Blades(() => this.#repaint());
    watchSize(sheet, (width, height) => {
      this.pen.resize(width, height);
      this.#repaint();
    });
    watchLook(() => this.#restyle());
    store.watch(["dark"], () => this.#restyle());
    store.watch(["drawing", "live", "answer", "drag", "playhead", "pass", "design", "inSpace"], () => this.#repaint());
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
    const of = kindOf(state.drawing);
    if (!of) return null;
    if (this.#kind?.of !== `${of} ${state.opened}`) {
      const repaint = () => this.#repaint();
      const kind = { tank: () => new Tank(), wheel: () => new Wheel(), door: () => new Leaf(repaint) }[of]();
      this.#kind = { of: `${of} ${state.opened}`, kind };
      this.more.replaceChildren();
      say(this.head, kind.name);
      this.slider.setAttribute("aria-label", kind.hint);
      this.slider.title = kind.hint;
    }
    return this.#kind.kind;
  }

  /** The coordinate the playhead stands at, and both ends of the sweep. @param {State} state */
  #here(state) {
    const ends = range(state) ?? [0, 1];
    return { ends, here: state.playhead ?? ends[0] };
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
    const { ends, here } = this.#here(state);
    const lines = kind.says(state, here);
    if (this.read.childElementCount !== lines.length) this.read.replaceChildren(...lines.map(() => el("p")));
    lines.forEach((line, k) => say(/** @type {HTMLElement} */ (this.read.children[k]), line));
    const unit = state.live?.glance.unit ?? state.answer?.answer.sweep.unit ?? "mm";
    this.slider.setAttribute("aria-valuemin", String(Math.min(...ends)));
    this.slider.setAttribute("aria-valuemax", String(Math.max(...ends)));
    this.slider.setAttribute("aria-valuenow", String(here));
    this.slider.setAttribute("aria-valuetext", `${withUnit(here, unit)}: ${lines.join("; ")}`);
  }

  /** Moves the playhead; what moves then goes on the pass that leads there. @param {number} to */
  #go(to) {
    const { ends, here } = this.#here(this.store.state);
    const [low, high] = [Math.min(...ends), Math.max(...ends)];
    const held = Math.min(high, Math.max(low, to));
    if (held === here) return;
    const forward = (held - here) * (ends[1] - ends[0]) > 0;
    this.store.set({ playhead: held, pass: forward ? "forward" : "back" });
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
      const { ends, here } = this.#here(this.store.state);
      const step = (Math.max(...ends) - Math.min(...ends)) * NUDGE * (event.shiftKey ? 10 : 1);
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
