// What stands on the plan beside the bodies: rulers, the path and its events, names, dimensions, the
// selection, the cross-hair.

/** @import * as wire from "../types/wire.js" */
/** @import { Point, View } from "./geometry.js" */
/** @import { Pen } from "./draw.js" */
/** @import { ContactPicture, Happening } from "./playhead.js" */

import { HAIR, LINE, THIN } from "./draw.js";
import { AXIS, Extent, add, along, bodyAxis, length, normal, scaled, sub, unit } from "./geometry.js";
import { spread, tickText, ticks } from "./labels.js";
import { number, withUnit } from "../number.js";
import { magnetOutline } from "./bodies.js";

/** Ticks along the left and lower edge, in mm. @param {Pen} pen @param {View} view */
export function drawRulers(pen, view) {
  const { width, height } = pen;
  const [left, right, bottom, top] = view.extent(width, height);
  const name = `${AXIS[view.right]}, mm`;
  const across = ticks(left, right, width / 70);
  const up = ticks(bottom, top, height / 60);
  for (const at of across.at) {
    const x = view.x0 + at * view.scale;
    if (x < 34 || x > width - 8) continue;
    pen.line([x, height], [x, height - 6], "ink", THIN);
    const text = tickText(at, across.step);
    if (x + pen.measure(text) / 2 > width - 14 - pen.measure(name, { bold: true })) continue;
    pen.text(text, [x, height - 9], { anchor: "middle", halo: true });
  }
  for (const at of up.at) {
    const y = view.y0 - at * view.scale;
    if (y < 24 || y > height - 22) continue;
    pen.line([0, y], [6, y], "ink", THIN);
    pen.text(tickText(at, up.step), [9, y + 4], { halo: true });
  }
  const word = { size: 12, bold: true, halo: true };
  pen.text(name, [width - 6, height - 9], { ...word, anchor: "end" });
  pen.text(`${AXIS[view.up]}, mm`, [9, 16], word);
}

/** The path of what moves on the canvas. @param {View} view @param {wire.Drawing} drawing */
export function track(view, drawing) {
  return drawing.path.map((p) => ({ coordinate: p.coordinate, at: view.project(p.at) }));
}

/** @typedef {ReturnType<typeof track>} Track */

/** Where on a track a coordinate is, and which way the forward pass goes there. @param {Track} on @param {number} coordinate @returns {{at: Point, way: Point} | null} */
export function locate(on, coordinate) {
  for (let k = 0; k + 1 < on.length; k += 1) {
    const [a, b] = [on[k], on[k + 1]];
    const t = (coordinate - a.coordinate) / (b.coordinate - a.coordinate);
    if (t >= 0 && t <= 1) {
      const leg = sub(b.at, a.at);
      return { at: along(a.at, leg, t), way: unit(leg) };
    }
  }
  return null;
}

/** @param {Track} on */
function travel(on) {
  let sum = 0;
  for (let k = 0; k + 1 < on.length; k += 1) sum += length(sub(on[k + 1].at, on[k].at));
  return sum;
}

/** Events worth a mark: the forward pass, and the way back where that alone does not show both kinds. @param {Happening[]} happenings */
function worthMarking(happenings) {
  const forward = happenings.filter((e) => e.pass === "forward");
  const both = forward.some((e) => e.kind === "operate") && forward.some((e) => e.kind === "release");
  return both ? forward : happenings;
}

/**
 * The path as a chain line; on it the events as triangles, named and valued beside it.
 * @param {Pen} pen @param {Track} on @param {ContactPicture | undefined} contact @param {string} unitOf
 * @param {number} lift  how far above a level path the names stand, px
 */
export function drawPath(pen, on, contact, unitOf, lift) {
  if (travel(on) < 4) return;
  pen.chain(on.map((p) => p.at));
  if (!contact || travel(on) < 24) return;
  const marks = worthMarking(contact.happenings).flatMap((event) => {
    const found = locate(on, event.at);
    if (!found) return [];
    const way = event.pass === "forward" ? found.way : scaled(found.way, -1);
    const value = withUnit(event.at, unitOf);
    return [{ ...found, way, kind: event.kind, value, bare: number(event.at, unitOf), name: `${event.kind} ${value}` }];
  });
  const box = new Extent().hold(on.map((p) => p.at));
  const level = box.size[0] >= 3 * box.size[1];
  const round = length(sub(on[0].at, on[on.length - 1].at)) < 0.02 * travel(on);
  const lettering = { halo: true };
  if (round) {
    // Each straight out from its mark.
    const middle = /** @type {Point} */ ([(box.low[0] + box.high[0]) / 2, (box.low[1] + box.high[1]) / 2]);
    for (const mark of marks) {
      const out = unit(sub(mark.at, middle));
      const text = marks.length > 4 ? mark.value : mark.name;
      const as = /** @type {const} */ ({ ...lettering, anchor: out[0] < 0 ? "end" : "start" });
      const place = add(along(mark.at, out, 28), [0, 4]);
      // Seen from the side marks lie over each other; the sweep tells each.
      if (!pen.free(text, place, as)) continue;
      pen.line(along(mark.at, out, 9), along(mark.at, out, 24), "ink", HAIR);
      pen.text(text, place, as);
    }
  } else if (level) {
    // In full where there is room, else the value, else the bare number.
    const room = Math.min(pen.width - 8, box.size[0] + 120);
    const wide = (/** @type {string[]} */ labels) => labels.reduce((sum, label) => sum + pen.measure(label) + 10, 0);
    const texts = [marks.map((m) => m.name), marks.map((m) => m.value)].find((labels) => wide(labels) <= room) ?? marks.map((m) => m.bare);
    const placed = spread(marks.map((m) => m.at[0]), texts.map((t) => pen.measure(t) + 10), 4, pen.width - 4);
    // All as high, where they lie on nothing that stands there.
    const centred = /** @type {const} */ ({ ...lettering, anchor: "middle" });
    const free = (/** @type {number} */ up) => marks.every((mark, k) => pen.free(texts[k], [placed[k], mark.at[1] - up], centred));
    const raised = [lift, lift + 16, lift + 32, lift + 48, lift + 64, lift + 80].find(free) ?? lift;
    marks.forEach((mark, k) => {
      const y = mark.at[1] - raised;
      pen.line(add(mark.at, [0, -8]), [placed[k], y + 4], "ink", HAIR);
      pen.text(texts[k], [placed[k], y], centred);
    });
  } else {
    const placed = spread(marks.map((m) => m.at[1]), marks.map(() => 17), 4, pen.height - 4);
    // On the right, but off the sheet's edge, and off what stands there if the left has room.
    const told = (/** @type {number} */ k, /** @type {number} */ side) =>
      pen.free(marks[k].name, [marks[k].at[0] + 28 * side, placed[k] + 4], { ...lettering, anchor: side < 0 ? "end" : "start" });
    const left = marks.some((_, k) => !told(k, 1)) && marks.every((_, k) => told(k, -1));
    marks.forEach((mark, k) => {
      const side = left || mark.at[0] + 32 + pen.measure(mark.name) > pen.width ? -1 : 1;
      const x = mark.at[0] + 28 * side;
      pen.line(add(mark.at, [9 * side, 0]), [x - 4 * side, placed[k]], "ink", HAIR);
      pen.text(mark.name, [x, placed[k] + 4], { ...lettering, anchor: side < 0 ? "end" : "start" });
    });
  }
  for (const mark of marks) pen.event(mark.at, mark.way, mark.kind);
}

/**
 * A body's name beside it, a word more after it: on the side wanted if there is room, else on another.
 * @param {Pen} pen @param {string} name @param {Point[]} outline @param {"left" | "right" | "below"} side @param {string} [more]
 */
export function drawName(pen, name, outline, side, more = "") {
  const { low, high } = new Extent().hold(outline);
  const bold = { bold: true, halo: true };
  const own = pen.measure(name, bold);
  const whole = own + (more ? 5 + pen.measure(more) : 0);
  const middle = (low[1] + high[1]) / 2 + 4;
  /** @type {Record<string, Point>} */
  const places = {
    right: [high[0] + 12, low[1] + 8], below: [low[0] + 2, high[1] + 16], left: [low[0] - whole - 8, middle],
    above: [low[0], low[1] - 6], beyond: [high[0] + 12, middle], under: [low[0] + 2, high[1] + 32], far: [high[0] + 12, high[1] + 12],
  };
  // A line as wide as both words: bold letters are the wider ones.
  const line = more ? `${name} ${more}` : name;
  const order = [side, ...["right", "left", "above", "below", "beyond", "far", "under"].filter((other) => other !== side)];
  const at = places[order.find((other) => (other !== "left" || places.left[0] > 36) && pen.free(line, places[other], bold)) ?? side];
  pen.text(name, at, bold);
  if (more) pen.text(more, [at[0] + own + 5, at[1]], { halo: true });
}

/** Corner marks round what is selected. @param {Pen} pen @param {Point[]} outline */
export function drawSelection(pen, outline) {
  const { low, high } = new Extent().hold(outline);
  const [l, t, r, b] = [low[0] - 6, low[1] - 6, high[0] + 6, high[1] + 6];
  const reach = Math.max(4, Math.min(10, (r - l) / 3, (b - t) / 3));
  for (const [x, y, dx, dy] of [[l, t, 1, 1], [r, t, -1, 1], [l, b, 1, -1], [r, b, -1, -1]]) {
    pen.polyline([[x + dx * reach, y], [x, y], [x, y + dy * reach]], "drive", LINE + 0.5);
  }
}

/** Where the handle is that turns a body; clear of its dimensions. @param {Point[]} outline @param {boolean} dimensioned @returns {Point} */
export function turnHandle(outline, dimensioned) {
  const { low, high } = new Extent().hold(outline);
  return [(low[0] + high[0]) / 2, low[1] - (dimensioned ? 46 : 24)];
}

/** A round arrow on a stalk. @param {Pen} pen @param {Point} at @param {number} foot  where the stalk ends @param {boolean} held */
export function drawTurnHandle(pen, at, foot, held) {
  pen.line(add(at, [0, 8]), [at[0], foot], "drive", THIN);
  pen.circle(at, 8, { fill: "paper", stroke: "drive", width: held ? LINE + 1 : LINE });
  pen.ink.beginPath();
  pen.ink.arc(at[0], at[1], 4, -2.4, 1.6);
  pen.strokePath("drive", LINE);
  pen.arrowhead(add(at, [-2.6, 4.4]), [-1, 0.3], 5, "drive");
}

/** A handle at an end of the path. @param {Pen} pen @param {Point} at @param {boolean} chosen */
export function drawEnd(pen, at, chosen) {
  const s = 4;
  const box = /** @type {Point[]} */ ([[-s, -s], [s, -s], [s, s], [-s, s]].map(([x, y]) => add(at, [x, y])));
  pen.shape(box, "paper");
  pen.outline(box, chosen ? "drive" : "ink", chosen ? LINE + 0.5 : THIN);
}

/**
 * Dimensions, with value and tolerance as the user wrote them: size of what moves, how far from the
 * contact the sweep starts and ends, and the contact's own.
 * @param {Pen} pen @param {View} view @param {wire.Drawing} rest @param {boolean} atRest  what moves stands where the sweep starts, clear of what lies along it
 * @param {(path: string, mm: number) => string} text
 */
export function drawDimensions(pen, view, rest, atRest, text) {
  const contact = rest.contacts[0];
  const magnet = rest.magnets.find((m) => m.moves) ?? rest.magnets[0];
  if (contact) {
    const axis = view.direction(bodyAxis(contact.pose, 0));
    if (length(axis) > 0.9) {
      const forward = unit(axis);
      const side = forward[0] < -0.5 || forward[1] < -0.5 ? scaled(normal(forward), -1) : normal(forward);
      const centre = view.project(contact.pose.at);
      const around = Math.max(contact.glass?.[1] ?? 2, ...rest.coils.map((coil) => coil.outer_diameter));
      // Clear of magnets that stand still on that side: else a length would be taken for theirs.
      const half = (contact.overall_length / 2) * view.scale;
      const below = rest.magnets.filter((m) => !m.moves).map((m) => {
        const from = magnetOutline(view, m).map((p) => sub(p, centre));
        const reach = Math.max(...from.map((p) => p[0] * side[0] + p[1] * side[1]));
        return from.some((p) => Math.abs(p[0] * forward[0] + p[1] * forward[1]) < half) ? reach : 0;
      });
      const out = Math.max((around / 2) * view.scale, ...below) + 30;
      const ends = (/** @type {number} */ mm) => [-1, 1].map((s) => along(centre, forward, (s * mm * view.scale) / 2));
      let row = out;
      for (const [key, mm] of /** @type {[string, number][]} */ ([["glass_length", contact.glass?.[0] ?? 0], ["overall_length", contact.overall_length]])) {
        if (mm * view.scale < 24) continue;
        const feet = /** @type {[Point, Point]} */ (ends(mm));
        pen.dimension(feet, /** @type {[Point, Point]} */ (feet.map((f) => along(f, side, row))), text(`contact[${contact.name}].${key}`, mm));
        row += 24;
      }
    }
  }
  if (magnet && atRest) sizes(pen, view, magnet, text);
}

/** @param {Pen} pen @param {View} view @param {wire.Magnet} magnet @param {(path: string, mm: number) => string} text */
function sizes(pen, view, magnet, text) {
  const { shape, pose } = magnet;
  const square = pose.rows.every((row) => row.every((v) => Math.abs(v) < 1e-6 || Math.abs(v) > 1 - 1e-6));
  if (!square) return;
  const { low, high } = new Extent().hold(magnetOutline(view, magnet));
  const own = (/** @type {number} */ axis) => {
    const k = pose.rows[axis].findIndex((v) => Math.abs(v) > 0.5);
    const path = `magnet[${magnet.name}]`;
    if (shape.kind === "box") return text(`${path}.size[${k}]`, shape.size[k]);
    if (shape.kind === "sphere") return `Ø ${text(`${path}.diameter`, shape.diameter)}`;
    if (shape.kind !== "round") return "";
    if (k === 2) return text(`${path}.length`, shape.length);
    return `Ø ${text(`${path}.${shape.inner_diameter > 0 ? "outer_diameter" : "diameter"}`, shape.outer_diameter)}`;
  };
  const [x, y] = [low[0] - 16, low[1] - 16];
  pen.dimension([[low[0], low[1]], [high[0], low[1]]], [[low[0], y], [high[0], y]], own(view.right));
  pen.dimension([[low[0], high[1]], [low[0], low[1]]], [[x, high[1]], [x, low[1]]], own(view.up));
}

/**
 * How far something is from the first contact, across and up, while it is moved.
 * @param {Pen} pen @param {View} view @param {wire.Contact | undefined} contact @param {wire.Triple} at
 */
export function drawPlacement(pen, view, contact, at) {
  if (!contact) return;
  const [from, to] = [view.project(contact.pose.at), view.project(at)];
  const mm = sub(view.inPlane(to), view.inPlane(from));
  if (Math.abs(to[0] - from[0]) > 2) {
    const y = Math.max(from[1], to[1]) + 40;
    pen.dimension([from, to], [[from[0], y], [to[0], y]], `${number(Math.abs(mm[0]), "mm")} mm`);
  }
  if (Math.abs(to[1] - from[1]) > 2) {
    const x = Math.min(from[0], to[0]) - 64;
    pen.dimension([from, to], [[x, from[1]], [x, to[1]]], `${number(Math.abs(mm[1]), "mm")} mm`);
  }
}

/** @param {Pen} pen @param {Point} at @param {boolean} keys  moved by keys: drawn stronger */
export function drawCrossHair(pen, at, keys) {
  const [x, y] = at;
  const gap = 7;
  const tone = keys ? "drive" : "ink";
  pen.line([0, y], [x - gap, y], tone, HAIR);
  pen.line([x + gap, y], [pen.width, y], tone, HAIR);
  pen.line([x, 0], [x, y - gap], tone, HAIR);
  pen.line([x, y + gap], [x, pen.height], tone, HAIR);
  pen.circle(at, keys ? 5 : 3, { stroke: tone, width: THIN });
}
