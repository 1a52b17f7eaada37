// Motors near by: a sign at its place in the views in which one stands beside the contact, else a word of where it is.

/** @import { Drawing, Motor, Triple } from "../types/wire.js" */
/** @import { Point, View } from "./geometry.js" */
/** @import { Pen } from "./draw.js" */

import { BOLD, GHOST, THIN } from "./draw.js";
import { add, along, bodyAxis, dot, length, scaled, sub, unit } from "./geometry.js";
import { drawName } from "./marks.js";

/** Radius of the sign, px: how large a motor is, nobody states. */
const RADIUS = 9;
/** Room that an arrow to a motor keeps from the sheet's edges, clear of the rulers, px. */
const RIM = { left: 44, right: 16, top: 34, foot: 34 };

/** A broken circle with an arrow through it, or with the sign of one that points at or away from the viewer. @param {Pen} pen @param {View} view @param {Point} at @param {Triple} way */
function sign(pen, view, at, way) {
  pen.circle(at, RADIUS, { fill: "paper" });
  const round = Array.from({ length: 37 }, (_, k) => along(at, /** @type {Point} */ ([Math.cos((k * Math.PI) / 18), Math.sin((k * Math.PI) / 18)]), RADIUS));
  pen.polyline(round, "ink", THIN, GHOST);
  const shown = view.direction(way);
  if (length(shown) < 0.35) {
    pen.endOn(at, 0.45 * RADIUS, dot(way, view.toward) > 0);
    return;
  }
  const out = scaled(unit(shown), 0.75 * RADIUS);
  pen.line(sub(at, out), along(at, unit(shown), 0.2 * RADIUS), "ink", BOLD);
  pen.arrowhead(add(at, out), unit(shown), 7);
}

/** An arrow at the sheet's edge that points to a motor beyond it. @param {Pen} pen @param {Point} from @param {Point} way @param {string} words */
function pointer(pen, from, way, words) {
  const low = [RIM.left, RIM.top];
  const high = [pen.width - RIM.right, pen.height - RIM.foot];
  const room = [0, 1].map((k) => (Math.abs(way[k]) < 1e-9 ? Infinity : ((way[k] > 0 ? high[k] : low[k]) - from[k]) / way[k]));
  const tip = along(from, way, Math.max(0, Math.min(...room)));
  pen.line(along(tip, way, -16), tip, "ink", THIN);
  pen.arrowhead(tip, way, 8);
  const left = tip[0] + 12 + pen.measure(words, { bold: true }) > pen.width;
  pen.text(words, [tip[0] + (left ? -12 : 12), tip[1] + 4], { bold: true, halo: true, anchor: left ? "end" : "start" });
}

/** @param {Pen} pen @param {View} view @param {Drawing} drawing */
export function drawMotors(pen, view, { motors, contacts }) {
  const contact = contacts[0]?.pose.at ?? [0, 0, 0];
  /** @type {string[]} */
  const hidden = [];
  for (const { name, pose } of motors) {
    const from = /** @type {Triple} */ (pose.at.map((v, i) => v - contact[i]));
    const far = `${Math.round(Math.hypot(...from))} mm`;
    const deep = dot(from, view.toward);
    const at = view.project(pose.at);
    if (length(view.direction(from)) < Math.abs(deep)) hidden.push(`${name} ${far} ${deep > 0 ? "in front" : "behind"}`);
    else if (at[0] > 0 && at[0] < pen.width && at[1] > 0 && at[1] < pen.height) {
      sign(pen, view, at, bodyAxis(pose, 2));
      drawName(pen, name, [sub(at, [RADIUS, RADIUS]), add(at, [RADIUS, RADIUS])], "right");
    } else pointer(pen, view.project(contact), unit(view.direction(from)), `${name}, ${far} off`);
  }
  hidden.forEach((words, k) => pen.text(words, [52, pen.height - 40 - 16 * (hidden.length - 1 - k)], { tone: "faded", halo: true }));
}

/** Motors no further from the first contact than this. @param {Drawing} drawing @param {number} most  mm @returns {Motor[]} */
export function near({ motors, contacts }, most) {
  const contact = contacts[0]?.pose.at ?? [0, 0, 0];
  return motors.filter(({ pose }) => Math.hypot(...pose.at.map((v, i) => v - contact[i])) <= most);
}
