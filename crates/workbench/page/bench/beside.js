// A design beside the text's own, in the plan: its borders and the outlines of what is otherwise, dashed.

/** @import * as wire from "../types/wire.js" */
/** @import { Beside } from "../choice.js" */
/** @import { Point, View } from "./geometry.js" */
/** @import { Pen } from "./draw.js" */

import { coilOutline, contactOutline, magnetOutline, steelOutlines } from "./bodies.js";
import { BOLD, LINE } from "./draw.js";
import { Extent } from "./geometry.js";
import { Regions } from "./regions.js";
import { drawName } from "./marks.js";

/** The text's own regions are so pale beside another design's. */
export const PALE = 0.5;

/** Dashes of what is not of the text. */
const OTHER = [9, 4];
const OTHER_HOLDS = [2, 4];

/** What one sees of every body. @param {View} view @param {wire.Drawing} drawing @returns {Map<string, Point[][]>} */
function outlines(view, { steel, coils, contacts, magnets }) {
  /** @type {Map<string, Point[][]>} */
  const all = new Map();
  for (const one of steel) all.set(`steel ${one.name}`, steelOutlines(view, one));
  for (const one of coils) all.set(`coil ${one.name}`, [coilOutline(view, one)]);
  for (const one of contacts) all.set(`contact ${one.name}`, [contactOutline(view, one)]);
  for (const one of magnets) all.set(`magnet ${one.name}`, [magnetOutline(view, one)]);
  return all;
}

export class Other {
  #regions = new Regions();

  /**
   * @param {Pen} pen @param {View} view
   * @param {Beside} beside
   * @param {wire.Drawing} own  as the text has it, where the sweep starts
   */
  draw(pen, view, { glance, map, name }, own) {
    const fits = map?.header.plane === view.plane ? map : null;
    this.#regions.take(fits);
    if (fits) this.#regions.borders(pen, view, OTHER, OTHER_HOLDS);
    if (glance === null) return;
    const known = outlines(view, own);
    let named = false;
    for (const [id, shapes] of outlines(view, glance.drawing)) {
      if (JSON.stringify(known.get(id)) === JSON.stringify(shapes)) continue;
      for (const shape of shapes) {
        pen.outline(shape, "paper", BOLD + 1);
        pen.outline(shape, "drive", LINE + 0.3, OTHER);
      }
      if (!named) drawName(pen, name, shapes.flat(), new Extent().hold(shapes.flat()).size[0] > 80 ? "below" : "right");
      named = true;
    }
  }
}
