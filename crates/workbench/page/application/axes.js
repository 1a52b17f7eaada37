// A small chart's frame: ticks along both axes, and where values lie between them.

/** @import { Pen } from "../bench/draw.js" */
/** @import { Point } from "../bench/geometry.js" */

import { HAIR, THIN } from "../bench/draw.js";
import { tickText, ticks } from "../bench/labels.js";

/** Room for the numbers left of a chart and below it, px. */
export const ASIDE = 52;
export const BELOW = 20;

export class Axes {
  /**
   * @param {{left: number, right: number, top: number, foot: number}} box  px
   * @param {readonly [number, number]} x  first and last value
   * @param {readonly [number, number]} y  lowest and highest value
   */
  constructor(box, x, y) {
    this.box = box;
    this.ends = x;
    this.span = y[1] > y[0] ? y : /** @type {const} */ ([y[0], y[0] + 1]);
  }

  /** @param {number} value */
  x(value) {
    const { left, right } = this.box;
    return left + ((value - this.ends[0]) / (this.ends[1] - this.ends[0] || 1)) * (right - left);
  }

  /** @param {number} value */
  y(value) {
    const { top, foot } = this.box;
    return foot - ((value - this.span[0]) / (this.span[1] - this.span[0])) * (foot - top);
  }

  /** @param {number} x @param {number} y @returns {Point} */
  at(x, y) {
    return [this.x(x), this.y(y)];
  }

  /** The value across that a place stands for. @param {number} px */
  across(px) {
    const { left, right } = this.box;
    return this.ends[0] + ((px - left) / (right - left)) * (this.ends[1] - this.ends[0]);
  }

  /** The value up that a place stands for. @param {number} px */
  up(px) {
    const { top, foot } = this.box;
    return this.span[0] + ((foot - px) / (foot - top)) * (this.span[1] - this.span[0]);
  }

  /** Draws frame and ticks. @param {Pen} pen @param {string} across  unit @param {string} up  what is shown, with its unit */
  draw(pen, across, up) {
    const { left, right, top, foot } = this.box;
    const rows = ticks(this.span[0], this.span[1], Math.max(2, (foot - top) / 34));
    for (const at of rows.at) {
      pen.line([left, this.y(at)], [right, this.y(at)], "hairline", HAIR);
      pen.text(tickText(at, rows.step), [left - 7, this.y(at) + 4], { anchor: "end" });
    }
    const columns = ticks(this.ends[0], this.ends[1], Math.max(2, (right - left) / 70));
    for (const at of columns.at) {
      pen.line([this.x(at), foot], [this.x(at), foot + 4], "ink", THIN);
      const last = at === columns.at[columns.at.length - 1];
      pen.text(tickText(at, columns.step) + (last ? ` ${across}` : ""), [this.x(at), foot + 16], { anchor: "middle" });
    }
    pen.line([left, foot], [right, foot], "ink", THIN);
    pen.line([left, top], [left, foot], "ink", THIN);
    pen.text(up, [left, top - 7]);
  }
}

/** A curve's value at a time, between its points. @param {number[]} time @param {number[]} values @param {number} at */
export function valueAt(time, values, at) {
  const k = time.findIndex((t) => t >= at);
  if (k <= 0) return values[k === 0 ? 0 : values.length - 1] ?? 0;
  const t = (at - time[k - 1]) / (time[k] - time[k - 1] || 1);
  const found = values[k - 1] + t * (values[k] - values[k - 1]);
  return Math.abs(found) < 1e-6 ? 0 : found;
}
