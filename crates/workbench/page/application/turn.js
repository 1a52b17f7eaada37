// What turns: a wheel with its train of pulses, a leaf on its hinge; seen along the axis.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Point } from "../bench/geometry.js" */
/** @import { Blades } from "../bench/blades.js" */
/** @import { Pen } from "../bench/draw.js" */

import { BOLD, CLOSES, DASHED, GHOST, HAIR, LINE, THIN } from "../bench/draw.js";
import { drawConductor, drawContact, drawMagnet, drawSteel } from "../bench/bodies.js";
import { UNTURNED, View, add, along, dot, length, scaled, sub, unit } from "../bench/geometry.js";
import { closedHere } from "../bench/blades.js";
import { range } from "../bench/playhead.js";
import { el } from "../dom.js";
import { number, withUnit } from "../number.js";

/** Room round the picture, px. */
const RIM = 28;
/** Height of the train of pulses, px. */
const TRAIN = 54;

/** The plane nearest to square to an axis. @param {wire.Triple} axis @returns {wire.Plane} */
function planeOf(axis) {
  const size = axis.map(Math.abs);
  return /** @type {const} */ (["yz", "xz", "xy"])[size.indexOf(Math.max(...size))];
}

/** What a wheel and a leaf have in common. */
class Turning {
  /** The view, and where on it what turns is grasped; as last drawn. @type {{view: View, centre: Point, out: Point} | null} */
  seen = null;

  /** @param {wire.Turn} turn @param {number} width @param {number} height @param {number[]} box  across and up, mm: left, right, bottom, top */
  look(turn, width, height, box) {
    const view = new View(planeOf(turn.axis));
    view.fit(/** @type {[number, number, number, number]} */ (box), width - 2 * RIM, height - 2 * RIM);
    view.x0 += RIM;
    view.y0 += RIM;
    this.seen = { view, centre: view.project(turn.centre), out: unit(view.direction(turn.out)) };
    return view;
  }

  /** The angle that a point of the picture stands for: as far round the axis as the hand is. @param {Point} at @param {State} state */
  at(at, state) {
    const turn = state.drawing?.turn;
    const ends = range(state);
    if (!this.seen || !turn || !ends) return null;
    const { view, centre, out } = this.seen;
    const to = sub(at, centre);
    if (length(to) < 4) return null;
    // Counter-clockwise where the axis points at the viewer; the canvas has y down.
    const sense = dot(turn.axis, view.toward) > 0 ? -1 : 1;
    const angle = sense * (Math.atan2(to[1], to[0]) - Math.atan2(out[1], out[0])) * (180 / Math.PI);
    const [low, high] = [Math.min(...ends), Math.max(...ends)];
    const here = state.playhead ?? ends[0];
    // Of all angles that look the same the one nearest to where it stands.
    const same = ends[0] + angle;
    const nearest = same + 360 * Math.round((here - same) / 360);
    return Math.min(high, Math.max(low, nearest));
  }
}

/** An arm from the axis turned as what moves is. @param {import("../bench/geometry.js").Rows} rows @param {wire.Triple} arm @returns {wire.Triple} */
const swung = (rows, arm) => /** @type {wire.Triple} */ (rows.map((row) => dot(row, arm)));

/** @param {wire.Drawing} drawing @param {View} view */
function inPlane(drawing, view) {
  const at = (/** @type {wire.Triple} */ p) => [p[view.right], p[view.up]];
  return [...drawing.contacts.map((c) => at(c.pose.at)), ...drawing.magnets.map((m) => at(m.pose.at))];
}

/** @param {Pen} pen @param {State} state @param {View} view @param {wire.Drawing} drawing @param {Blades} blades */
function drawBodies(pen, state, view, drawing, blades) {
  for (const steel of drawing.steel) drawSteel(pen, view, steel, steel.pose.at[view.cut]);
  for (const conductor of drawing.conductors) drawConductor(pen, view, conductor);
  for (const contact of drawing.contacts) drawContact(pen, view, contact, blades.closed(state, contact.name));
  for (const magnet of drawing.magnets) drawMagnet(pen, view, magnet);
}

/** States of all contacts in words. @param {State} state */
const states = (state) => (state.drawing?.contacts ?? []).map(({ name }) => `${name} ${closedHere(state, name) ? "closed" : "open"}`).join(", ");

export class Wheel extends Turning {
  name = "Wheel";
  hint = "Angle of the wheel: drag it round, or use the arrow keys";

  /** @param {Pen} pen @param {State} state @param {{drawing: wire.Drawing, station: import("../bench/playhead.js").Station | null}} picture @param {Blades} blades */
  draw(pen, state, { drawing, station }, blades) {
    const turn = state.drawing?.turn;
    const told = state.answer?.answer.rotor ?? null;
    if (!turn) return;
    const plain = new View(planeOf(turn.axis));
    const [cx, cy] = [turn.centre[plain.right], turn.centre[plain.up]];
    const places = inPlane(drawing, plain);
    const reach = Math.max(turn.reach, ...places.map(([x, y]) => Math.hypot(x - cx, y - cy))) + 4;
    const high = pen.height - (told ? TRAIN + 24 : 0);
    const view = this.look(turn, pen.width, high, [cx - reach, cx + reach, cy - reach, cy + reach]);
    const centre = view.project(turn.centre);
    const radius = turn.reach * view.scale;
    pen.circle(centre, radius, { stroke: "ink", width: HAIR });
    pen.circle(centre, 3, { fill: "paper", stroke: "ink" });
    const out = unit(view.direction(swung(station?.turned ?? UNTURNED, turn.out)));
    // Spokes to what turns, the first marked.
    for (const magnet of drawing.magnets.filter((m) => m.moves)) pen.line(centre, view.project(magnet.pose.at), "ink", HAIR);
    pen.line(centre, along(centre, out, radius), "drive", LINE);
    drawBodies(pen, state, view, drawing, blades);
    for (const contact of drawing.contacts) {
      const words = `${contact.name} ${closedHere(state, contact.name) ? "closed" : "open"}`;
      pen.text(words, add(view.project(contact.pose.at), [10, -10]), { bold: true, halo: true });
    }
    if (told) this.#train(pen, state, told, high);
  }

  /** @param {Pen} pen @param {State} state @param {wire.RotorAnswer} told @param {number} top */
  #train(pen, state, told, top) {
    const ends = range(state);
    if (!ends) return;
    const [from, to] = [Math.min(...ends), Math.max(...ends)];
    const [left, right] = [64, pen.width - 16];
    const x = (/** @type {number} */ deg) => left + ((deg - from) / (to - from)) * (right - left);
    const [closed, open] = [top + 8, top + TRAIN - 8];
    /** @type {Point[]} */
    const line = [[left, open]];
    // A pulse over the end of the turn goes on at its beginning.
    const pieces = told.closed_deg.flatMap(([a, b]) => [[a, Math.min(b, to)], ...(b > to ? [[from, from + b - to]] : [])]).sort((a, b) => a[0] - b[0]);
    for (const [a, b] of pieces) {
      pen.shape([[x(a), open], [x(a), closed], [x(b), closed], [x(b), open]], "met", CLOSES);
      line.push([x(a), open], [x(a), closed], [x(b), closed], [x(b), open]);
    }
    pen.polyline([...line, [right, open]], "ink", LINE);
    pen.text("closed", [left - 8, closed + 4], { anchor: "end" });
    pen.text("open", [left - 8, open + 4], { anchor: "end" });
    for (const [deg, anchor] of /** @type {const} */ ([[from, "start"], [to, "end"]])) {
      pen.text(withUnit(deg, "deg"), [x(deg), open + 18], { anchor, tone: "faded" });
    }
    const here = x(state.playhead ?? ends[0]);
    pen.line([here, closed - 6], [here, open + 6], "drive", LINE);
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const told = state.answer?.answer.rotor;
    const lines = [`angle ${withUnit(here, "deg")}, ${states(state)}`];
    if (!told) return lines;
    const { double } = told;
    const room = double ? `a double pulse is nearest at ${withUnit(double.at_deg, "deg")}, with ${withUnit(double.room_percent, "%")} of room` : "no double pulse threatens";
    return [...lines, `${told.pulses} pulses a turn; ${room}`];
  }
}

export class Leaf extends Turning {
  name = "Door";
  hint = "Angle of the leaf: drag its edge, or use the arrow keys";
  /** The outside magnet whose reach is drawn. @type {HTMLSelectElement} */
  #pick;

  /** @param {() => void} again */
  constructor(again) {
    super();
    this.#pick = el("select.pick", { "aria-label": "Outside magnet", title: "Outside magnet whose reach is drawn", onchange: again });
  }

  /** @param {State} state */
  more(state) {
    const told = state.answer?.answer.door;
    if (!told) return null;
    const names = told.outsiders.map(({ name }) => name);
    if (names.join() !== [...this.#pick.options].map(({ value }) => value).join()) {
      this.#pick.replaceChildren(...names.map((value) => el("option", { value }, value)));
    }
    return this.#pick;
  }

  /** @param {State} state */
  #outsider(state) {
    return state.answer?.answer.door?.outsiders.find(({ name }) => name === this.#pick.value) ?? null;
  }

  /** @param {Pen} pen @param {State} state @param {{drawing: wire.Drawing, station: import("../bench/playhead.js").Station | null}} picture @param {Blades} blades */
  draw(pen, state, { drawing, station }, blades) {
    const turn = state.drawing?.turn;
    if (!turn || !state.drawing) return;
    const plain = new View(planeOf(turn.axis));
    const edge = (/** @type {wire.Triple} */ out) => /** @type {wire.Triple} */ (turn.centre.map((v, i) => v + turn.reach * out[i]));
    const path = state.drawing.path.map((p) => edge(swung(p.turned ?? UNTURNED, turn.out)));
    const at = (/** @type {wire.Triple} */ p) => [p[plain.right], p[plain.up]];
    const all = [at(turn.centre), ...path.map(at), ...inPlane(drawing, plain)];
    const [xs, ys] = [all.map((p) => p[0]), all.map((p) => p[1])];
    const view = this.look(turn, pen.width, pen.height, [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]);
    const hinge = view.project(turn.centre);
    const shown = path.map((p) => view.project(p));
    pen.chain(shown);
    // The leaf at both ends of its way, and where it stands.
    for (const end of [shown[0], shown[shown.length - 1]]) pen.line(hinge, end, "ink", HAIR, GHOST);
    const now = view.project(edge(swung(station?.turned ?? UNTURNED, turn.out)));
    pen.line(hinge, now, "ink", BOLD);
    pen.circle(hinge, 4, { fill: "paper", stroke: "ink", width: LINE });
    pen.circle(now, 5, { fill: "drive" });
    drawBodies(pen, state, view, drawing, blades);
    this.#reach(pen, state, view, drawing);
    this.#names(pen, state, view, drawing);
  }

  /** Every contact named under it, towards the middle of the picture: the outermost lowest, so that no leader crosses a name. @param {Pen} pen @param {State} state @param {View} view @param {wire.Drawing} drawing */
  #names(pen, state, view, drawing) {
    const places = drawing.contacts.map(({ name, pose }) => ({ name, at: view.project(pose.at) }));
    const left = places.reduce((sum, { at }) => sum + at[0], 0) > (places.length * pen.width) / 2;
    const inner = left ? 1 : -1;
    places.sort((a, b) => inner * (a.at[0] - b.at[0]));
    places.forEach(({ name, at: [x, y] }, k) => {
      const base = Math.min(y + 44 + 17 * k, pen.height - 6 - 17 * (places.length - 1 - k));
      pen.line([x, y + 4], [x, base], "ink", HAIR);
      const words = `${name} ${closedHere(state, name) ? "closed" : "open"}`;
      pen.text(words, [x - inner * 5, base], { bold: true, halo: true, anchor: left ? "end" : "start" });
    });
  }

  /** How near the picked magnet changes each contact of the open door: a circle round each. @param {Pen} pen @param {State} state @param {View} view @param {wire.Drawing} drawing */
  #reach(pen, state, view, drawing) {
    for (const at of this.#outsider(state)?.contacts ?? []) {
      const contact = drawing.contacts.find(({ name }) => name === at.contact);
      if (!contact || at.changes_mm === null) continue;
      const centre = view.project(contact.pose.at);
      const ring = Array.from({ length: 72 }, (_, k) => add(centre, scaled([Math.cos((k * Math.PI) / 36), Math.sin((k * Math.PI) / 36)], (at.changes_mm ?? 0) * view.scale)));
      pen.shape(ring, "missed", 0.08);
      pen.outline(ring, "missed", THIN, DASHED);
    }
  }

  /** @param {State} state @param {number} here */
  says(state, here) {
    const answer = state.answer?.answer;
    const lines = [`angle ${withUnit(here, "deg")}, ${states(state)}`];
    const gaps = (answer?.figures ?? []).filter(({ name, value }) => name.startsWith("gap at") && value.value !== null);
    if (gaps.length > 0) lines.push(gaps.map(({ name, value }) => `${name} ${withUnit(/** @type {number} */ (value.value), value.unit)}`).join(", "));
    const outsider = this.#outsider(state);
    if (outsider) {
      const each = outsider.contacts.filter(({ changes_mm }) => changes_mm !== null).map(({ contact, changes_mm }) => `${contact} within ${number(/** @type {number} */ (changes_mm), "mm")} mm`);
      lines.push(`${outsider.name} brought to the open door changes ${each.join(", ") || "nothing"}`);
    }
    return lines;
  }
}
