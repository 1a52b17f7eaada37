// A relay's contact as it closes and opens: its blades at a moment, and gap, current and pull over time.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Pen } from "../bench/draw.js" */
/** @import { Point } from "../bench/geometry.js" */
/** @import { Rule } from "./pane.js" */

import { BOLD, DASHED, HAIR, LINE, THIN } from "../bench/draw.js";
import { still } from "../bench/frame.js";
import { choose, el, tool } from "../dom.js";
import { withUnit } from "../number.js";
import { ASIDE, Axes, BELOW, valueAt } from "./axes.js";

/** Height of the blades at the top, px, and how wide the open gap is drawn there. */
const BLADES = 76;
const GAP = 22;
/** Room above a panel, px. */
const HEAD = 24;
/** How long the whole movement takes when it is played, ms. */
const PLAYED = 4000;

/** @typedef {"closing" | "opening"} Movement */

const PANELS = /** @type {const} */ ([["gap_um", "gap, µm"], ["current_mA", "current of the coil, mA"], ["force_mN", "pull of the gap, mN"]]);

export class Closing {
  name = "Closing";
  hint = "Time after the coil is switched: drag in the curves, or use the arrow keys";
  /** @type {Movement} */
  #movement = "closing";
  #contact = "";
  /** Time shown, as a share of the movement. */
  #share = 0;
  /** When it began to be played, and from where; null at rest. @type {{since: number, from: number} | null} */
  #played = null;
  /** @type {Axes | null} */
  #axes = null;

  /** @param {() => void} again  asks for another picture */
  constructor(again) {
    this.again = again;
    this.pick = el("select.pick", { "aria-label": "Movement of the blades", onchange: () => this.#show(this.pick.value) });
    this.play = tool({ icon: "play", title: "Play slowly", onclick: () => this.#play() });
    this.field = el("span.more", {}, this.pick, this.play);
  }

  /** @param {string} what  a movement and whose: `closing of lower 1` */
  #show(what) {
    const [movement, ...contact] = what.split(" of ");
    this.#movement = /** @type {Movement} */ (movement);
    this.#contact = contact.join(" of ");
    this.#share = 0;
    this.#played = null;
    this.again();
  }

  /** Slowly to the end, or at once where nothing shall move. */
  #play() {
    const from = this.#share < 1 ? this.#share : 0;
    if (still.matches) this.#share = 1;
    else this.#played = this.#played ? null : { since: performance.now(), from };
    this.again();
  }

  /** @param {State} state */
  more(state) {
    const names = (state.answer?.answer.timing?.contacts ?? []).map(({ contact }) => contact);
    const verbs = /** @type {const} */ ([["closing", "closes"], ["opening", "opens"]]);
    const all = names.flatMap((name) => verbs.map(([movement, verb]) => ({ value: `${movement} of ${name}`, words: names.length > 1 ? `${name} ${verb}` : verb })));
    if (all.map(({ value }) => value).join("\n") !== [...this.pick.options].map(({ value }) => value).join("\n")) {
      this.pick.replaceChildren(...all.map(({ value, words }) => el("option", { value }, words)));
    }
    choose(this.pick, `${this.#movement} of ${this.#contact}`);
    this.pick.title = this.pick.value;
    return this.field;
  }

  /** @param {State} state @returns {{told: wire.MovingContact, series: wire.MotionSeries, until: number} | null} */
  #told(state) {
    const all = state.answer?.answer.timing?.contacts ?? [];
    const told = all.find(({ contact }) => contact === this.#contact) ?? all[0];
    if (!told) return null;
    this.#contact = told.contact;
    const series = told[this.#movement];
    return { told, series, until: series.time_ms[series.time_ms.length - 1] || 1 };
  }

  /** Time, not the sweep, is what the hand moves here. @param {State} state @returns {Rule} */
  rule(state) {
    const until = this.#told(state)?.until ?? 1;
    return {
      ends: [0, until], here: this.#share * until, unit: "ms",
      go: (to) => {
        this.#share = to / until;
        this.#played = null;
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
    this.#axes = null;
    const shown = this.#told(state);
    if (!shown) return pen.text("being worked out", [pen.width / 2, pen.height / 2], { anchor: "middle", tone: "faded" });
    if (this.#played) {
      const gone = (performance.now() - this.#played.since) / PLAYED;
      this.#share = Math.min(1, this.#played.from + gone);
      if (this.#share < 1) this.again();
      else this.#played = null;
    }
    const { told, series, until } = shown;
    const here = this.#share * until;
    this.#blades(pen, told, valueAt(series.time_ms, series.gap_um, here));
    const tall = (pen.height - BLADES) / PANELS.length;
    PANELS.forEach(([of, words], k) => {
      const box = { left: ASIDE, right: pen.width - 34, top: BLADES + k * tall + HEAD, foot: BLADES + (k + 1) * tall - BELOW };
      // Closing and opening have one scale, so that one can be compared with the other.
      const most = Math.max(1e-9, ...told.closing[of], ...told.opening[of]);
      const axes = new Axes(box, [0, until], [0, 1.05 * most]);
      this.#axes ??= axes;
      axes.draw(pen, "ms", words);
      for (const change of series.changes_ms.slice(0, 1)) pen.line([axes.x(change), box.top], [axes.x(change), box.foot], "met", THIN, DASHED);
      pen.polyline(series.time_ms.map((t, i) => axes.at(t, series[of][i])), "drive", BOLD);
      pen.line([axes.x(here), box.top], [axes.x(here), box.foot], "ink", LINE);
    });
  }

  /** Two blades, the gap between them drawn far wider than it is. @param {Pen} pen @param {wire.MovingContact} told @param {number} gap */
  #blades(pen, told, gap) {
    const rest = Math.max(...told.closing.gap_um);
    const half = (GAP / 2) * (gap / rest);
    const [middle, y] = [pen.width / 2, BLADES / 2 + 4];
    const [long, over, thick] = [Math.min(120, 0.36 * pen.width), 12, 7];
    for (const side of [-1, 1]) {
      const root = /** @type {Point} */ ([middle + side * long, y - side * (GAP / 2 + thick)]);
      const tip = /** @type {Point} */ ([middle - side * over, y - side * half]);
      // A cantilever bends most at its root; four stretches are enough for the eye.
      const along = [0, 0.25, 0.5, 0.75, 1].map((s) => {
        const bent = s * s * (3 - s) / 2;
        return /** @type {Point} */ ([root[0] + s * (tip[0] - root[0]), y - side * (GAP / 2 + (half - GAP / 2) * bent)]);
      });
      const back = along.map(([x, up]) => /** @type {Point} */ ([x, up - side * thick])).reverse();
      pen.shape([...along, ...back], "ink");
    }
    pen.line([middle - long, y], [middle + long, y], "faded", HAIR, DASHED);
    pen.text(`gap ${withUnit(gap, "µm")}, drawn wider than it is`, [middle, 14], { anchor: "middle", tone: "faded", size: 12 });
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const shown = this.#told(state);
    if (!shown) return ["being worked out"];
    const { told, series } = shown;
    const at = (/** @type {"gap_um" | "current_mA" | "force_mN"} */ of, /** @type {string} */ unit) => withUnit(valueAt(series.time_ms, series[of], here), unit);
    const [least, , most] = told.bounce_ms;
    const timing = state.answer?.answer.timing;
    const stated = timing?.suppressions.find((row) => row.stated);
    return [
      `${told.contact}, ${withUnit(here, "ms")} after switching ${this.#movement === "closing" ? "on" : "off"}: gap ${at("gap_um", "µm")}, ${at("current_mA", "mA")}, pull ${at("force_mN", "mN")}`,
      this.#movement === "closing"
        ? `touches after ${withUnit(told.operate_ms, "ms")} at ${withUnit(told.impact_m_per_s, "m/s")}, then bounces for ${withUnit(least, "ms")} to ${withUnit(most, "ms")}`
        : `parts after ${withUnit(told.release_ms, "ms")}${stated ? ` with ${stated.kind === "none" ? "no suppression" : stated.kind}` : ""}`,
    ];
  }
}
