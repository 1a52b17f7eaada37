// What a contact goes through with its load: voltage and current over time, before and after it is protected.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Pen } from "../bench/draw.js" */
/** @import { Point } from "../bench/geometry.js" */
/** @import { Rule } from "./pane.js" */

import { BOLD, DASHED, LINE } from "../bench/draw.js";
import { choose, el } from "../dom.js";
import { withUnit } from "../number.js";
import { ASIDE, Axes, BELOW, valueAt } from "./axes.js";

/** What is left of a curve's height when it counts as settled. */
const SETTLED = 0.02;
/** Two panels, one above the other: room above each, px. */
const HEAD = 26;
/** Height of a legend of one line, px. */
const LEGEND = 22;

/** @typedef {"opens" | "closes"} Movement */

export class Load {
  name = "Load";
  hint = "Time after the contact has moved: drag in the curves, or use the arrow keys";
  /** @type {Movement} */
  #movement = "opens";
  /** Share of the time shown at which values are read. */
  #share = 0;
  /** @type {Axes | null} */
  #axes = null;

  /** @param {string} load  its name @param {() => void} again  asks for another picture */
  constructor(load, again) {
    this.load = load;
    const option = (/** @type {Movement} */ value, /** @type {string} */ words) => el("option", { value }, words);
    this.pick = el("select.pick", {
      "aria-label": "Movement of the contact",
      onchange: () => {
        this.#movement = /** @type {Movement} */ (this.pick.value);
        again();
      },
    }, option("opens", "opening"), option("closes", "closing"));
    this.again = again;
  }

  more() {
    choose(this.pick, this.#movement);
    return this.pick;
  }

  /** @param {State} state */
  #told(state) {
    return state.answer?.answer.loads.find(({ name }) => name === this.load) ?? null;
  }

  /** The movements shown: without protection, and with it. @param {wire.LoadAnswer} told */
  #shown(told) {
    const bare = told.bare[this.#movement];
    const mended = told.protection ? told.protection.with[this.#movement] : null;
    const all = mended ? [bare, mended] : [bare];
    return { bare, mended, until: Math.max(1e-9, ...all.flatMap((m) => [settles(m, m.voltage_V), settles(m, m.current_A)])) };
  }

  /** Time, not the sweep, is what the hand moves here. @param {State} state @returns {Rule} */
  rule(state) {
    const told = this.#told(state);
    const until = told ? this.#shown(told).until : 1;
    return {
      ends: [0, until], here: this.#share * until, unit: "ms",
      go: (to) => {
        this.#share = to / until;
        this.again();
      },
    };
  }

  /** @param {Point} at */
  at([x]) {
    return this.#axes?.across(x) ?? null;
  }

  /** @param {Pen} pen @param {State} state */
  draw(pen, state) {
    const told = this.#told(state);
    this.#axes = null;
    if (!told) return pen.text("being worked out", [pen.width / 2, pen.height / 2], { anchor: "middle", tone: "faded" });
    const { bare, mended, until } = this.#shown(told);
    // Short times are read in µs.
    const [unit, per] = until < 1 ? ["µs", 1e3] : ["ms", 1];
    const above = this.#legend(pen, told);
    const tall = (pen.height - above) / 2;
    const panels = /** @type {const} */ ([["voltage_V", "voltage across the contact, V"], ["current_A", "current through the contact, A"]]);
    panels.forEach(([of, words], k) => {
      const top = above + k * tall + HEAD;
      const within = (/** @type {wire.Moving} */ m) => m[of].filter((_, i) => m.time_ms[i] <= until);
      const values = [0, ...within(bare), ...(mended ? within(mended) : [])];
      const box = { left: ASIDE, right: pen.width - 34, top, foot: above + (k + 1) * tall - BELOW };
      const axes = new Axes(box, [0, until * per], [Math.min(...values), Math.max(...values)]);
      axes.draw(pen, unit, words);
      this.#axes ??= new Axes(box, [0, until], [0, 1]);
      pen.clipped(box.left, box.top - 2, box.right - box.left + 2, box.foot - box.top + 4, () => {
        const line = (/** @type {wire.Moving} */ m) => m.time_ms.map((t, i) => axes.at(t * per, m[of][i]));
        pen.polyline(line(bare), mended ? "faded" : "drive", mended ? LINE : BOLD, mended ? DASHED : []);
        if (mended) pen.polyline(line(mended), "drive", BOLD);
      });
      const x = axes.x(this.#share * until * per);
      pen.line([x, box.top], [x, box.foot], "ink", LINE);
    });
  }

  /** What the curves are, in one line or in two; how high that is, px. @param {Pen} pen @param {wire.LoadAnswer} told */
  #legend(pen, told) {
    const before = "without protection";
    pen.line([ASIDE, 14], [ASIDE + 24, 14], told.protection ? "faded" : "drive", told.protection ? LINE : BOLD, told.protection ? DASHED : []);
    pen.text(before, [ASIDE + 30, 18]);
    if (!told.protection) return LEGEND;
    const after = `with ${told.protection.kind}`;
    const beside = ASIDE + 30 + pen.measure(before) + 18;
    const [x, y] = beside + 38 + pen.measure(after) < pen.width ? [beside, 14] : [ASIDE, 14 + 16];
    pen.line([x, y], [x + 24, y], "drive", BOLD);
    pen.text(after, [x + 30, y + 4]);
    return LEGEND + y - 14;
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const told = this.#told(state);
    if (!told) return [`load ${this.load}: being worked out`];
    const { bare, mended, until } = this.#shown(told);
    const at = (/** @type {wire.Moving} */ m) => `${withUnit(valueAt(m.time_ms, m.voltage_V, here), "V")}, ${withUnit(valueAt(m.time_ms, m.current_A, here), "A")}`;
    const time = until < 1 ? withUnit(1e3 * here, "µs") : withUnit(here, "ms");
    const kind = told.protection?.kind;
    const over = (/** @type {wire.Moving} */ m) => `at most ${withUnit(m.peak_voltage_V, "V")} and ${withUnit(m.peak_current_A, "A")}, ${m.arc_ms > 0 ? `arc ${withUnit(m.arc_ms, "ms")}, ${withUnit(m.energy_mJ, "mJ")}` : "no arc"}`;
    return [
      `${time} after ${this.#movement === "opens" ? "opening" : "closing"}: ${at(bare)}${mended ? ` without protection; ${at(mended)} with ${kind}` : ""}`,
      `without protection ${over(bare)}`,
      ...(mended ? [`with ${kind} ${over(mended)}`] : []),
    ];
  }
}

/** When a curve has come so near its end value that the rest is not worth the room, with a little more, ms. @param {wire.Moving} moving @param {number[]} values */
function settles({ time_ms: time }, values) {
  if (values.length === 0) return 0;
  const last = values[values.length - 1];
  const most = Math.max(...values.map((v) => Math.abs(v - last)));
  const far = values.findLastIndex((v) => Math.abs(v - last) > SETTLED * most);
  return far < 0 ? 0 : Math.min(1.15 * time[far], time[time.length - 1]);
}
