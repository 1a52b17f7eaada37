// A level stem in its tank: the surface at the playhead, the float, and which contacts are closed.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Point } from "../bench/geometry.js" */
/** @import { Pen } from "../bench/draw.js" */

import { BAND, BOLD, HAIR, LINE, THIN } from "../bench/draw.js";
import { closedHere } from "../bench/blades.js";
import { range } from "../bench/playhead.js";
import { withUnit } from "../number.js";

/** Room round the picture: for the scale of heights left, names right, px. */
const LEFT = 52;
const RIGHT = 76;
const RIM = 18;
/** Least distance of two names, px. */
const APART = 14;

export class Tank {
  name = "Tank";
  hint = "Level: drag the surface, or use the arrow keys";
  /** Height on the page of a level, and back, as last drawn. */
  #scale = { foot: 0, low: 0, per: 1 };
  /** Room right of the tank, for names. */
  #right = RIGHT;

  /** @param {number} mm */
  #y(mm) {
    return this.#scale.foot - (mm - this.#scale.low) * this.#scale.per;
  }

  /** @param {Point} at */
  at([, y]) {
    return this.#scale.low + (this.#scale.foot - y) / this.#scale.per;
  }

  /** @param {Pen} pen @param {State} state @param {{drawing: wire.Drawing}} picture */
  draw(pen, state, { drawing }) {
    const level = state.drawing?.level;
    if (!level) return;
    const surface = state.playhead ?? range(state)?.[0] ?? level.middles[0][0];
    const heights = drawing.contacts.map((c) => c.pose.at[2]);
    const all = [...heights, ...level.middles.map((m) => m[0]), ...level.tank.map((row) => row[0])];
    const [low, high] = [Math.min(...all), Math.max(...all)];
    const per = (pen.height - 2 * RIM) / (high - low);
    this.#scale = { foot: pen.height - RIM, low, per };
    // What is closed is named in full, whatever its name.
    const names = drawing.contacts.map(({ name }) => pen.measure(`${name} closed`, { bold: true }));
    this.#right = Math.min(Math.max(RIGHT, ...names.map((wide) => wide + 20)), 0.5 * pen.width);
    const middle = LEFT + (pen.width - LEFT - this.#right) / 2;
    const room = (pen.width - LEFT - this.#right) / 2;
    const widest = Math.max(0, ...level.tank.map((row) => row[1]));
    // A tank far wider than high is drawn narrower than it is; its contents keep the scale of level.
    const across = widest > 0 ? Math.min(per, room / widest) : per;
    this.#rule(pen, low, high);
    this.#walls(pen, level, surface, middle, across, widest > 0 ? widest * across : room);
    this.#stem(pen, state, drawing, level, middle);
    const at = between(level.middles, surface);
    const x = middle + (level.pivot ? (at[1] - level.pivot[0]) * across : 0);
    this.#float(pen, level, [x, this.#y(at[3])], per, room);
    if (level.pivot) {
      const pivot = /** @type {Point} */ ([middle, this.#y(level.pivot[2])]);
      pen.line(pivot, [x, this.#y(at[3])], "ink", THIN);
      pen.circle(pivot, 3, { fill: "paper", stroke: "ink" });
    }
    const grip = /** @type {Point} */ ([middle + (widest > 0 ? widest * across : room), this.#y(surface)]);
    pen.shape([grip, [grip[0] + 9, grip[1] - 5], [grip[0] + 9, grip[1] + 5]], "drive");
    if (across < 0.99 * per && widest > 0) pen.text("narrower than it is", [LEFT, pen.height - 3], { size: 12, tone: "faded" });
  }

  /** @param {Pen} pen @param {number} low @param {number} high */
  #rule(pen, low, high) {
    const rough = (high - low) / 8;
    const power = 10 ** Math.floor(Math.log10(rough));
    const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough) ?? 10 * power;
    pen.line([LEFT - 12, this.#y(low)], [LEFT - 12, this.#y(high)], "ink", THIN);
    for (let mm = Math.ceil(low / step) * step; mm <= high; mm += step) {
      pen.line([LEFT - 18, this.#y(mm)], [LEFT - 12, this.#y(mm)], "ink", THIN);
      pen.text(String(Math.round(mm)).replace("-", "−"), [LEFT - 22, this.#y(mm) + 4], { anchor: "end" });
    }
    pen.text("mm", [4, 12], { tone: "faded" });
  }

  /** @param {Pen} pen @param {wire.Level} level @param {number} surface @param {number} middle @param {number} across @param {number} wide */
  #walls(pen, level, surface, middle, across, wide) {
    const side = (/** @type {number[][]} */ rows, /** @type {number} */ sign) =>
      rows.map(([mm, half]) => /** @type {Point} */ ([middle + sign * half * across, this.#y(mm)]));
    const y = this.#y(surface);
    if (level.tank.length > 0) {
      const below = level.tank.filter(([mm]) => mm <= surface);
      const half = (below[below.length - 1]?.[1] ?? 0) * across;
      pen.shape([...side(below, -1), [middle - half, y], [middle + half, y], ...side(below, 1).reverse()], "drive", BAND);
      pen.polyline([...side(level.tank, -1).reverse(), ...side(level.tank, 1)], "ink", BOLD);
      wide = half;
    }
    pen.line([middle - wide, y], [middle + wide, y], "drive", LINE);
  }

  /** @param {Pen} pen @param {State} state @param {wire.Drawing} drawing @param {wire.Level} level @param {number} middle */
  #stem(pen, state, drawing, level, middle) {
    const heights = drawing.contacts.map((c) => this.#y(c.pose.at[2]));
    if (!level.pivot) {
      for (const x of [-5, 5]) pen.line([middle + x, Math.min(...heights) - 16], [middle + x, Math.max(...heights) + 16], "ink", HAIR);
    }
    let last = Infinity;
    drawing.contacts.forEach((contact, k) => {
      const y = heights[k];
      const closed = closedHere(state, contact.name) ?? false;
      // Two blades, apart or as one.
      for (const sign of [-1, 1]) pen.line([middle + sign * 8, y + (closed ? 0 : sign * 2)], [middle - sign * 1, y + (closed ? 0 : sign * 2)], "ink", closed ? BOLD : THIN);
      const room = Math.abs(last - y) >= APART;
      if (!room && !closed) return;
      const words = closed ? `${contact.name} closed` : contact.name;
      const at = /** @type {Point} */ ([pen.width - this.#right + 14, y + 4]);
      if (closed || pen.free(words, at)) {
        pen.text(words, at, { bold: closed, halo: true });
        last = y;
      }
    });
  }

  /** @param {Pen} pen @param {wire.Level} level @param {Point} at @param {number} per @param {number} room */
  #float(pen, level, at, per, room) {
    const [half, up] = [Math.min(level.half[0] * per, 0.9 * room), level.half[1] * per];
    if (level.round) {
      pen.circle(at, Math.min(half, up), { fill: "paper", stroke: "ink", width: LINE });
      return;
    }
    const bore = Math.min(level.bore * per, 0.8 * half);
    for (const sign of [-1, 1]) {
      const walls = /** @type {Point[]} */ ([[bore, -up], [half, -up], [half, up], [bore, up]].map(([x, y]) => [at[0] + sign * x, at[1] + y]));
      pen.shape(walls, "paper");
      pen.outline(walls, "ink", LINE);
    }
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const told = state.answer?.answer.level;
    const names = (state.drawing?.contacts ?? []).map(({ name }) => name).filter((name) => closedHere(state, name));
    const lines = [`level ${withUnit(here, "mm")}, ${names.length === 0 ? "no contact closed" : `${names.join(", ")} closed`}`];
    if (!told) return lines;
    const ends = range(state) ?? [0, 1];
    const rising = (state.pass === "forward") === ends[1] > ends[0];
    const within = (/** @type {wire.ReadingAnswer} */ { from_mm: a, to_mm: b }) => (here - a) * (here - b) <= 0;
    const stretch = told[rising ? "rising" : "falling"].find(within);
    const reading = told.output_unit === "" ? null : stretch?.output == null ? "line open" : `reads ${withUnit(stretch.output, told.output_unit)}`;
    const volume = told.tank ? withUnit(between(told.tank.strapping.map((row) => [row.level_mm, row.volume_L]), here)[1], "L") : null;
    const parts = [rising ? "rising" : "falling", reading, volume].filter(Boolean);
    return [...lines, parts.join(", ")];
  }
}

/** A row between two rows of a table, by its first column. @param {number[][]} rows @param {number} at */
function between(rows, at) {
  const sorted = rows[0][0] <= rows[rows.length - 1][0] ? rows : [...rows].reverse();
  const above = sorted.findIndex((row) => row[0] >= at);
  if (above === 0) return sorted[0];
  if (above < 0) return sorted[sorted.length - 1];
  const [a, b] = [sorted[above - 1], sorted[above]];
  const t = (at - a[0]) / (b[0] - a[0]);
  return a.map((v, k) => v + t * (b[k] - v));
}
