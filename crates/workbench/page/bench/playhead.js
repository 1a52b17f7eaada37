// Where things are, and whether a contact is closed, at a place of the sweep.
//
// Nothing here decides anything: places come from the drawing's path, states from the events found by the
// engine.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Rows } from "./geometry.js" */

import { UNTURNED, after, dot, tilt, transposed } from "./geometry.js";

/** @typedef {{coordinate: number, at: wire.Triple, turned: Rows}} Station  a place of the path and how what moves is turned there */

/** The place of the path at a coordinate; `null` where nothing moves. @param {wire.Drawing} drawing @param {number | null} coordinate @returns {Station | null} */
export function station(drawing, coordinate) {
  const { path } = drawing;
  if (path.length === 0) return null;
  const on = (/** @type {wire.Drawing["path"][number]} */ p) =>
    ({ coordinate: p.coordinate, at: p.at, turned: p.turned ?? UNTURNED });
  if (coordinate === null || path.length === 1) return on(path[0]);
  for (let k = 0; k + 1 < path.length; k += 1) {
    const [a, b] = [path[k], path[k + 1]];
    const t = (coordinate - a.coordinate) / (b.coordinate - a.coordinate);
    if (!(t >= 0 && t <= 1)) continue;
    const at = /** @type {wire.Triple} */ (a.at.map((v, i) => v + t * (b.at[i] - v)));
    return { coordinate, at, turned: between(a.turned ?? UNTURNED, b.turned ?? UNTURNED, t) };
  }
  const [first, last] = [path[0], path[path.length - 1]];
  return on(Math.abs(coordinate - first.coordinate) < Math.abs(coordinate - last.coordinate) ? first : last);
}

/** Part of the way from one attitude to another close by. @param {Rows} a @param {Rows} b @param {number} t @returns {Rows} */
function between(a, b, t) {
  if (a === b) return a;
  const mixed = a.map((row, i) => row.map((v, j) => v + t * (b[i][j] - v)));
  // Rows made square to each other and of length one again.
  const unit = (/** @type {number[]} */ v) => {
    const l = Math.hypot(...v) || 1;
    return /** @type {wire.Triple} */ (v.map((c) => c / l));
  };
  const x = unit(mixed[0]);
  const off = dot(x, /** @type {wire.Triple} */ (mixed[1]));
  const y = unit(mixed[1].map((c, i) => c - off * x[i]));
  return [x, y, [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]]];
}

/** A moved body's pose at a station. @param {wire.Pose} pose @param {wire.Triple} start @param {Station} to @returns {wire.Pose} */
export function carried(pose, start, to) {
  const arm = /** @type {wire.Triple} */ (pose.at.map((v, i) => v - start[i]));
  const at = /** @type {wire.Triple} */ (to.turned.map((row, i) => dot(row, arm) + to.at[i]));
  return { at, rows: to.turned === UNTURNED ? pose.rows : after(to.turned, pose.rows) };
}

/** What a body's table is called in the design. @param {"contact" | "magnet" | "coil" | "steel"} table @param {string} name */
export const bodyPath = (table, name) => `${table}[${name}]`;

/** @typedef {wire.Contact | wire.Magnet | wire.Coil | wire.Steel} Body */

/** Every body of a drawing, hindmost first. @param {wire.Drawing} drawing @returns {{path: string, table: "contact" | "magnet" | "coil" | "steel", body: Body}[]} */
export function bodies(drawing) {
  const of = (/** @type {"contact" | "magnet" | "coil" | "steel"} */ table, /** @type {Body[]} */ list) =>
    list.map((body) => ({ path: bodyPath(table, body.name), table, body }));
  return [
    ...of("steel", drawing.steel), ...of("coil", drawing.coils), ...of("contact", drawing.contacts),
    ...of("magnet", drawing.magnets),
  ];
}

/**
 * The drawing as it stands: the newest one, what moves carried to the playhead, what is dragged already at
 * its new place.
 * @param {State} state @returns {{drawing: wire.Drawing, station: Station | null} | null}
 */
export function standing(state) {
  const { drag, live } = state;
  // A drag's own picture also bridges the time from letting go until the text that follows is read.
  const bridging = drag !== null || (state.design?.rev ?? 0) < state.rev;
  const fresh = bridging && live?.seq != null ? live.glance.drawing : null;
  const rest = fresh ?? state.drawing;
  if (!rest) return null;
  const here = station(rest, state.playhead);
  const start = rest.path[0]?.at;
  /** @template {Body} B @param {string} table @param {B} body @returns {B} */
  const put = (table, body) => {
    let { pose } = body;
    if (drag?.body === `${table}[${body.name}]` && !(fresh && live?.seq === drag.seq)) {
      const before = state.drawing && bodies(state.drawing).find(({ path }) => path === drag.body)?.body.pose;
      pose = { at: drag.at, rows: after(tilt(drag.turn), (before ?? pose).rows) };
    }
    if (body.moves && here && start) pose = carried(pose, start, here);
    return pose === body.pose ? body : { ...body, pose };
  };
  return {
    station: here,
    drawing: {
      contacts: rest.contacts.map((body) => put("contact", body)),
      magnets: rest.magnets.map((body) => put("magnet", body)),
      coils: rest.coils.map((body) => put("coil", body)),
      steel: rest.steel.map((body) => put("steel", body)),
      conductors: rest.conductors,
      motors: rest.motors,
      level: rest.level,
      turn: rest.turn,
      path: rest.path,
    },
  };
}

/** Where a body goes that is seen to be moved by `shift` at a station: the same, at the start of the sweep. @param {wire.Triple} shift @param {Body} body @param {Station | null} here @returns {wire.Triple} */
export function atStart(shift, body, here) {
  if (!body.moves || !here || here.turned === UNTURNED) return shift;
  return /** @type {wire.Triple} */ (transposed(here.turned).map((row) => dot(row, shift)));
}

/** @typedef {{kind: wire.EventKind, pass: wire.Direction, at: number, low: number, high: number, lobe: number, main: boolean, certain: boolean}} Happening  an event; `low` and `high` are equal where only the nominal one is known */

/** @typedef {{name: string, happenings: Happening[], closedAtStart: boolean, operate: wire.Triple, release: wire.Triple, banded: boolean}} ContactPicture  `banded` where the full answer is shown */

/**
 * What is known of the contacts: the full answer where it is the newest, else nominal events.
 * @param {State} state @returns {ContactPicture[]}
 */
export function contacts(state) {
  const { answer, live } = state;
  const dragging = state.drag !== null && live?.seq != null;
  if (answer && !dragging && answer.rev >= (live?.rev ?? 0)) {
    return answer.answer.contacts.map((c) => ({
      name: c.name,
      banded: true,
      closedAtStart: c.closed_at_start,
      operate: levels(c.operate_mT),
      release: levels(c.release_mT),
      happenings: c.events.flatMap((e) => (e.at.value === null ? [] : [{
        kind: e.kind, pass: e.direction, at: e.at.value, low: e.at.low, high: e.at.high, lobe: e.lobe,
        main: e.main_lobe, certain: e.in_every_unit,
      }])),
    }));
  }
  return (live?.glance.contacts ?? []).map((c) => ({
    name: c.name,
    banded: false,
    closedAtStart: c.closed_at_start,
    operate: c.operate,
    release: c.release,
    happenings: c.events.map((e) => ({
      kind: e.kind, pass: e.pass, at: e.at, low: e.at, high: e.at, lobe: e.lobe, main: e.main_lobe, certain: true,
    })),
  }));
}

/** @param {wire.Band} band @returns {wire.Triple} */
const levels = (band) => [band.low, band.value ?? (band.low + band.high) / 2, band.high];

/** First and last coordinate of the sweep. @param {State} state @returns {[number, number] | null} */
export function range(state) {
  const dragging = state.drag !== null;
  const trace = state.live?.glance.contacts[0]?.coordinate;
  if (state.answer && !dragging && state.answer.rev >= (state.live?.rev ?? 0)) {
    return [state.answer.answer.sweep.from, state.answer.answer.sweep.to];
  }
  if (trace && trace.length > 1) return [trace[0], trace[trace.length - 1]];
  const sweep = state.answer?.answer.sweep;
  return sweep ? [sweep.from, sweep.to] : null;
}

/** The event a contact's state dates from, and whether it is closed, at a coordinate of a pass. @param {ContactPicture} contact @param {number} coordinate @param {wire.Direction} pass @param {[number, number]} ends @returns {{closed: boolean, since: Happening | null}} */
export function contactState(contact, coordinate, pass, [from, to]) {
  const rising = to >= from ? 1 : -1;
  let since = null;
  let closed = contact.closedAtStart;
  for (const direction of /** @type {const} */ (["forward", "back"])) {
    const sense = direction === "forward" ? rising : -rising;
    const met = contact.happenings
      .filter((e) => e.pass === direction && (direction !== pass || (coordinate - e.at) * sense >= 0))
      .sort((a, b) => (a.at - b.at) * sense);
    for (const event of met) {
      since = event;
      closed = event.kind === "operate";
    }
    if (direction === pass) break;
  }
  return { closed, since };
}
