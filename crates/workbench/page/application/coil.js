// A relay's coil cut open along its axis with its contacts, and the voltages they need over temperature.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Blades } from "../bench/blades.js" */
/** @import { Pen } from "../bench/draw.js" */
/** @import { Point } from "../bench/geometry.js" */

import { BAND, BOLD, CHAIN, CLOSES, DASHED, EDGE, HAIR, HOLDS, LINE, THIN } from "../bench/draw.js";
import { drawCoil, drawContact } from "../bench/bodies.js";
import { Extent, View } from "../bench/geometry.js";
import { closedHere } from "../bench/blades.js";
import { spread } from "../bench/labels.js";
import { range as bandText, withUnit } from "../number.js";
import { ASIDE, Axes, BELOW } from "./axes.js";

/** Room round the section, px, and its share of the pane where there is a chart below. */
const RIM = 18;
const SECTION = 0.5;
/** Room right of the chart for the names of its lines, px. */
const NAMES = 118;

export class Coil {
  name = "Coil";
  hint = "Voltage across the coil: drag in the chart, or use the arrow keys";
  /** The chart as last drawn; null where its height is not what the sweep changes. @type {Axes | null} */
  #chart = null;

  /** @param {Point} at */
  at([, y]) {
    return this.#chart ? this.#chart.up(y) : null;
  }

  /** @param {Pen} pen @param {State} state @param {{drawing: wire.Drawing}} picture @param {Blades} blades */
  draw(pen, state, { drawing }, blades) {
    const told = state.answer?.answer.relay ?? null;
    const charted = told !== null && told.rows.length > 1;
    const high = charted ? SECTION * pen.height : pen.height;
    this.#section(pen, state, drawing, told, high, blades);
    this.#chart = null;
    if (told && charted) this.#voltages(pen, state, told, high);
  }

  /** @param {Pen} pen @param {State} state @param {wire.Drawing} drawing @param {wire.RelayAnswer | null} told @param {number} high @param {Blades} blades */
  #section(pen, state, drawing, told, high, blades) {
    const coil = drawing.coils.find(({ name }) => name === told?.coil) ?? drawing.coils[0];
    if (!coil) return;
    const axis = /** @type {wire.Triple} */ (coil.pose.rows.map((row) => row[2]));
    const size = axis.map(Math.abs);
    // A plane with the axis in it: the one that looks along the world axis farthest from it, upright if there are two.
    const view = new View(size[1] <= size[0] && size[1] <= size[2] ? "xz" : size[2] <= size[0] ? "xy" : "yz");
    const along = (/** @type {wire.Triple} */ p) => p.reduce((sum, v, i) => sum + (v - coil.pose.at[i]) * axis[i], 0);
    const inside = drawing.contacts.filter(({ pose }) => Math.abs(along(pose.at)) < coil.length / 2);
    const extent = new Extent();
    const flat = (/** @type {wire.Triple} */ p) => /** @type {Point} */ ([p[view.right], p[view.up]]);
    const side = /** @type {wire.Triple} */ ([0, 1, 2].map((i) => view.toward[(i + 1) % 3] * axis[(i + 2) % 3] - view.toward[(i + 2) % 3] * axis[(i + 1) % 3]));
    const corner = (/** @type {number} */ along, /** @type {number} */ out) => add3(coil.pose.at, axis, along, side, out);
    const half = coil.length / 2;
    const outer = Math.max(coil.outer_diameter / 2, told?.winding ? told.winding.inner_diameter_mm / 2 + told.winding.window_mm : 0);
    extent.hold([-1, 1].flatMap((a) => [-1, 1].map((b) => flat(corner(a * half * 1.35, b * outer)))));
    const [left, bottom] = extent.low;
    const [right, top] = extent.high;
    view.fit([left, right, bottom, top], pen.width - 2 * RIM, high - 2 * RIM - 14);
    view.x0 += RIM;
    view.y0 += RIM;
    const on = (/** @type {number} */ along, /** @type {number} */ out) => view.project(corner(along, out));
    pen.clipped(0, 0, pen.width, high, () => {
      pen.line(on(-half * 1.5, 0), on(half * 1.5, 0), "ink", HAIR, CHAIN);
      if (told?.winding) this.#layers(pen, told.winding, on);
      else drawCoil(pen, view, coil);
      for (const contact of inside) drawContact(pen, view, contact, blades.closed(state, contact.name));
    });
  }

  /** Flanges, and each layer to scale on both sides of the axis. @param {Pen} pen @param {wire.WindingAnswer} winding @param {(along: number, out: number) => Point} on */
  #layers(pen, winding, on) {
    const half = winding.length_mm / 2;
    const [inner, window] = [winding.inner_diameter_mm / 2, winding.window_mm];
    const full = Math.max(1, ...winding.layers);
    for (const side of [-1, 1]) {
      const box = (/** @type {number} */ a, /** @type {number} */ b, /** @type {number} */ low, /** @type {number} */ high) =>
        [on(a, side * low), on(b, side * low), on(b, side * high), on(a, side * high)];
      for (const end of [-1, 1]) {
        const flange = box(end * half, end * half * 1.05, inner, inner + window);
        pen.shape(flange, "section");
        pen.outline(flange, "ink", THIN);
      }
      pen.line(on(-half, side * inner), on(half, side * inner), "ink", THIN);
      pen.line(on(-half, side * (inner + window)), on(half, side * (inner + window)), "ink", HAIR, DASHED);
      if (winding.layers.length === 0) {
        const whole = box(-half, half, inner, winding.outer_diameter_mm / 2);
        pen.shape(whole, "drive", CLOSES);
        pen.outline(whole, "ink", HAIR);
      }
      winding.layers.forEach((turns, k) => {
        const foot = inner + k * winding.layer_pitch_mm;
        const long = Math.min(turns * winding.wire_overall_mm, (winding.length_mm * turns) / full, winding.length_mm);
        const layer = box(-half, -half + long, foot, foot + winding.wire_overall_mm);
        pen.shape(layer, "drive", k % 2 === 0 ? CLOSES : HOLDS);
        pen.outline(layer, "ink", HAIR);
      });
    }
  }

  /** @param {Pen} pen @param {State} state @param {wire.RelayAnswer} told @param {number} top */
  #voltages(pen, state, told, top) {
    const { rows, supply } = told;
    const [first, last] = [rows[0], rows[rows.length - 1]];
    const volts = rows.flatMap((row) => [row.operate.low, row.operate.high, row.operate_warmed_V, row.release.low]);
    const reach = [0, supply.low, supply.high, ...volts];
    const ends = /** @type {const} */ ([Math.min(...reach), Math.max(...reach) * (Math.max(...reach) > 0 ? 1.06 : 1)]);
    const box = { left: ASIDE, right: Math.max(ASIDE + 40, pen.width - NAMES), top: top + 24, foot: pen.height - BELOW - 6 };
    const axes = new Axes(box, [first.temperature_degC, last.temperature_degC], ends);
    const swept = state.live?.glance.unit ?? state.answer?.answer.sweep.unit;
    if (swept === "V") this.#chart = axes;
    pen.shape([[box.left, axes.y(supply.low)], [box.right, axes.y(supply.low)], [box.right, axes.y(supply.high)], [box.left, axes.y(supply.high)]], "met", EDGE);
    axes.draw(pen, "°C", "voltage across the coil, V");
    for (const [of, tone] of /** @type {const} */ ([["operate", "met"], ["release", "drive"]])) {
      const edge = (/** @type {"low" | "high"} */ end) => rows.map((row) => axes.at(row.temperature_degC, row[of][end]));
      pen.shape([...edge("low"), ...edge("high").reverse()], tone, BAND);
      pen.polyline(rows.map((row) => axes.at(row.temperature_degC, row[of].value ?? row[of].high)), tone, BOLD);
    }
    pen.polyline(rows.map((row) => axes.at(row.temperature_degC, row.operate_warmed_V)), "met", LINE, DASHED);
    const names = [
      { words: "supply", at: supply.value ?? supply.high },
      { words: "operate, warmed", at: last.operate_warmed_V },
      { words: "operate", at: last.operate.value ?? last.operate.high },
      { words: "release", at: last.release.value ?? last.release.low },
    ];
    const ys = spread(names.map(({ at }) => axes.y(at)), names.map(() => 15), box.top, box.foot);
    names.forEach(({ words }, k) => pen.text(words, [box.right + 8, ys[k] + 4]));
    if (this.#chart === null || state.playhead === null) return;
    const y = axes.y(state.playhead);
    pen.line([box.left, y], [box.right, y], "ink", LINE);
    pen.shape([[box.left, y], [box.left - 8, y - 5], [box.left - 8, y + 5]], "ink");
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const names = (state.drawing?.contacts ?? []).map(({ name }) => name);
    const closed = names.filter((name) => closedHere(state, name));
    const unit = state.live?.glance.unit ?? state.answer?.answer.sweep.unit ?? "V";
    const which = closed.length === 0 ? "no contact closed" : closed.length === names.length ? `${names.length === 1 ? names[0] : "all contacts"} closed` : `${closed.join(", ")} closed`;
    const lines = [`${withUnit(here, unit)}: ${which}`];
    const told = state.answer?.answer.relay;
    if (!told) return lines;
    const [last] = told.rows.slice(-1);
    lines.push(`at ${withUnit(last.temperature_degC, "°C")} operates by ${bandText(last.operate)}, warmed nominally by ${withUnit(last.operate_warmed_V, "V")}; supply ${bandText(told.supply)}`);
    const { winding } = told;
    if (winding) {
      const layers = winding.layers.length === 0 ? "wound at random" : `in ${winding.layers.length} layers`;
      lines.push(`${withUnit(winding.turns, "")} turns of ${winding.wire} ${layers}`);
    }
    return lines;
  }
}

/** @param {wire.Triple} from @param {wire.Triple} a @param {number} along @param {wire.Triple} b @param {number} out @returns {wire.Triple} */
const add3 = (from, a, along, b, out) => /** @type {wire.Triple} */ (from.map((v, i) => v + along * a[i] + out * b[i]));
