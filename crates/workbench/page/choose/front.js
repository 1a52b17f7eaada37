// Cost against room of every design that was tried; the border along which more room costs more. One place of
// it has the focus: arrow keys walk it, and the pointer takes it along.

import { tickText, ticks } from "../bench/labels.js";
import { el, say } from "../dom.js";
import { unitLabel } from "../number.js";
import { at, drawing, svg, whenWide } from "../spread/svg.js";
import { called, costHead, loadable, said, tried } from "./points.js";

/**
 * @import { ChooseAnswer } from "../types/wire.js"
 * @import { Store } from "../store.js"
 * @import { Tried } from "./points.js"
 */

const [LEFT, RIGHT, TOP, BELOW] = [46, 14, 12, 34];
/** Room round the outermost points, of the whole. */
const AROUND = 0.07;
/** How near the pointer takes a point, px. */
const NEAR = 24;

/** Signs of the plot in words. @type {[() => SVGElement, string][]} */
const KEY = [
  [() => svg("circle.met.front", { cx: 6, cy: 6, r: 4.5 }), "on the front"],
  [() => svg("circle.met", { cx: 6, cy: 6, r: 3.4 }), "meets all"],
  [() => svg("circle.lost", { cx: 6, cy: 6, r: 2.6 }), "does not"],
  [() => svg("path.lost", { d: "M2.5 3h7l-3.5 6z" }), "by far not"],
];

/** A little more than what values span. @param {number} low @param {number} high @returns {[number, number]} */
function ends(low, high) {
  const around = high > low ? AROUND * (high - low) : 0.5 * Math.max(1, Math.abs(high));
  return [low - around, high + around];
}

/** What the plot shows of the rooms: losers far below what matters lie on its lower rim. @param {number[]} rooms @returns {[number, number]} */
export function rooms(rooms) {
  const [low, high] = [Math.min(0, ...rooms), Math.max(0, ...rooms)];
  const best = Math.max(...rooms);
  return ends(Math.max(low, best > 0 ? -best : 4 * best || low), high);
}

export class Front {
  /** @type {ChooseAnswer | null} */
  #answer = null;
  /** @type {Tried[]} */
  #all = [];
  /** @type {[number, number][]} where each is, px */
  #places = [];
  /** Index of the one with the focus. */
  #at = -1;
  #loaded = "";
  #width = 0;
  #height = 0;
  #plot = el("div.front-plot");
  #said = el("p.small.front-said");
  box = el("div.front-box", { tabIndex: 0, role: "slider", "aria-label": "Cost and room of what was tried" }, this.#plot);
  element = el("div.front", {}, this.box, this.#said, el("ul.front-key", { "aria-hidden": "true" },
    ...KEY.map(([sign, words]) => el("li", {}, drawing("key", 12, 12, sign()), words))));

  /** @param {Store} store @param {(candidate: number | null) => void} over  told which of the best has the focus */
  constructor(store, over) {
    this.store = store;
    this.over = over;
    whenWide(this.#plot, () => this.#sized());
    new ResizeObserver(() => this.#sized()).observe(this.box);
    this.box.addEventListener("keydown", (event) => this.#key(event));
    this.box.addEventListener("pointermove", (event) => this.#point(this.#nearest(event)));
    this.box.addEventListener("pointerleave", () => document.activeElement !== this.box && this.#go(this.#shown()));
    this.box.addEventListener("click", (event) => {
      const one = this.#nearest(event);
      if (one < 0) return;
      this.#go(one);
      this.#load();
    });
  }

  /** @param {ChooseAnswer} answer @param {string} loaded  what the design beside is called, and which */
  show(answer, loaded) {
    const same = answer === this.#answer;
    if (!same) {
      this.#answer = answer;
      this.#all = tried(answer);
      const first = this.#all.findIndex(({ front, point }) => front && point.met);
      this.#at = first < 0 ? this.#all.findIndex(({ front }) => front) : first;
    }
    if (same && loaded === this.#loaded) return;
    this.#loaded = loaded;
    this.#draw();
  }

  /** The one of the best takes the focus, as the pointer is on its row. @param {number} candidate */
  mark(candidate) {
    const one = this.#all.findIndex(({ point }) => point.candidate === candidate);
    if (one >= 0) this.#go(one);
  }

  #sized() {
    const { clientWidth: width, clientHeight: height } = this.box;
    if (width === this.#width && height === this.#height) return;
    [this.#width, this.#height] = [width, height];
    this.#draw();
  }

  #shown() {
    const found = this.#all.findIndex(({ point }) => key(point.values) === this.#loaded);
    return found < 0 ? this.#at : found;
  }

  /** @param {PointerEvent | MouseEvent} event */
  #nearest(event) {
    const box = this.box.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    let [best, near] = [-1, NEAR];
    this.#places.forEach(([px, py], k) => {
      // Of those at one place the best are meant.
      const far = Math.hypot(px - x, py - y) + (this.#all[k].point.candidate === null ? 1 : 0);
      if (far < near) [best, near] = [k, far];
    });
    return best;
  }

  /** @param {number} one */
  #point(one) {
    this.box.style.cursor = one < 0 ? "" : "pointer";
    if (one >= 0) this.#go(one);
  }

  /** @param {number} one */
  #go(one) {
    if (one < 0 || one >= this.#all.length) return;
    this.#at = one;
    this.#mark();
  }

  #load() {
    const one = this.#all[this.#at];
    if (one) this.store.choice.load(loadable(one.point));
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const front = this.#all.flatMap((one, k) => (one.front ? [k] : []));
    const along = (/** @type {number} */ way) => {
      const next = way > 0 ? front.find((k) => k > this.#at) : front.findLast((k) => k < this.#at);
      return next ?? this.#at;
    };
    /** @type {Record<string, () => void>} */
    const does = {
      ArrowRight: () => this.#go(along(1)), ArrowLeft: () => this.#go(along(-1)),
      ArrowDown: () => this.#go(this.#at + 1), ArrowUp: () => this.#go(this.#at - 1),
      Home: () => this.#go(front[0] ?? -1), End: () => this.#go(front.at(-1) ?? -1),
      Enter: () => this.#load(), " ": () => this.#load(),
    };
    const act = does[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act();
  }

  #draw() {
    const answer = this.#answer;
    const [width, height] = [this.#width, this.#height];
    if (answer === null || width < LEFT + RIGHT + 40 || height < TOP + BELOW + 30) return;
    const all = this.#all;
    const costs = all.map(({ point }) => point.cost);
    const [from, to] = ends(Math.min(...costs), Math.max(...costs));
    const [low, high] = rooms(all.map(({ point }) => point.margin));
    const [right, base] = [width - RIGHT, height - BELOW];
    const x = (/** @type {number} */ cost) => at(LEFT + ((cost - from) / (to - from)) * (right - LEFT));
    const y = (/** @type {number} */ room) => at(Math.min(base, TOP + ((high - room) / (high - low)) * (base - TOP)));
    this.#places = all.map(({ point }) => [x(point.cost), y(point.margin)]);
    const across = ticks(from, to, Math.max(2, Math.floor((right - LEFT) / 44)));
    const up = ticks(low, high, Math.max(2, Math.floor((base - TOP) / 34)));
    const zero = y(0);
    const front = this.#places.filter((_, k) => all[k].front);
    const stairs = front.map(([px, py], k) => (k === 0 ? `M${px} ${py}` : `H${px}V${py}`)).join("");
    const first = front[0];
    // Numbers where they find room: those of the front first.
    /** @type {[number, number][]} */
    const taken = [];
    const numbers = all.map((one, k) => ({ one, k })).sort((a, b) => Number(b.one.front) - Number(a.one.front)).flatMap(({ one: { point }, k }) => {
      const [px, py] = this.#places[k];
      if (point.candidate === null || taken.some(([tx, ty]) => Math.abs(tx - px) < 18 && Math.abs(ty - py) < 13)) return [];
      taken.push([px, py]);
      return [svg("text.no", { x: px + 7, y: py - 6 }, String(point.candidate + 1))];
    });
    this.#plot.replaceChildren(drawing(
      "front-drawing", width, height,
      svg("rect.meets", { x: LEFT, y: TOP, width: right - LEFT, height: Math.max(0, zero - TOP) }),
      svg("path.grid", { d: across.at.map((v) => `M${x(v)} ${TOP}V${base}`).join("") + up.at.map((v) => `M${LEFT} ${y(v)}H${right}`).join("") }),
      svg("path.limit", { d: `M${LEFT} ${zero}H${right}` }),
      svg("text.limit-word", { x: right - 4, y: zero - 4, "text-anchor": "end" }, "every demand met"),
      first && svg("path.stairs", { d: `${stairs}H${right}` }),
      ...this.#places.map(([px, py], k) => this.#sign(all[k], px, py, py >= base)),
      ...numbers,
      svg("path.axis", { d: `M${LEFT} ${TOP}V${base}H${right}` }),
      ...across.at.map((v) => svg("text.tick", { x: x(v), y: base + 14, "text-anchor": "middle" }, tickText(v, across.step))),
      ...up.at.map((v) => svg("text.tick", { x: LEFT - 6, y: y(v) + 4, "text-anchor": "end" }, tickText(v, up.step))),
      svg("text", { x: (LEFT + right) / 2, y: height - 4, "text-anchor": "middle" }, costHead(answer)),
      svg("text", { x: 0, y: 0, transform: `translate(11 ${(TOP + base) / 2}) rotate(-90)`, "text-anchor": "middle" }, `room ${unitLabel(answer.margin_unit)}`),
      svg("circle.loaded", { r: 9 }), svg("circle.here", { r: 12 }),
    ));
    this.#mark();
  }

  /** @param {Tried} one @param {number} x @param {number} y @param {boolean} below  its room is less than the plot shows */
  #sign({ point, front }, x, y, below) {
    if (below) return svg("path.lost", { d: `M${x - 3.5} ${y - 8}h7l-3.5 6z` });
    if (!point.met) return svg(front ? "circle.lost.front" : "circle.lost", { cx: x, cy: y, r: front ? 5 : 2.6 });
    return svg(front ? "circle.met.front" : point.candidate === null ? "circle.met.worse" : "circle.met", { cx: x, cy: y, r: front ? 5 : point.candidate === null ? 2 : 3.4 });
  }

  /** What has the focus, and what is beside. */
  #mark() {
    const answer = this.#answer;
    const one = this.#all[this.#at];
    const put = (/** @type {string} */ name, /** @type {number} */ k) => {
      const ring = this.#plot.querySelector(name);
      const place = this.#places[k];
      ring?.setAttribute("visibility", place ? "visible" : "hidden");
      if (place) ["cx", "cy"].forEach((axis, i) => ring?.setAttribute(axis, String(place[i])));
    };
    put(".here", this.#at);
    put(".loaded", this.#all.findIndex(({ point }) => key(point.values) === this.#loaded));
    if (answer === null) return;
    const words = one ? said(answer, one) : "Nothing that was tried has a room.";
    say(this.#said, words);
    this.box.setAttribute("aria-valuemin", "1");
    this.box.setAttribute("aria-valuemax", String(Math.max(1, this.#all.length)));
    this.box.setAttribute("aria-valuenow", String(this.#at + 1));
    this.box.setAttribute("aria-valuetext", words);
    this.box.dataset.at = one?.point.candidate == null ? "" : called(one.point.candidate);
    this.over(one?.point.candidate ?? null);
  }
}

/** Names a design by what was chosen. @param {{text: string}[]} values */
export const key = (values) => values.map(({ text }) => text).join("\n");
