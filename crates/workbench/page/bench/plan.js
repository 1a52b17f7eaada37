// The plan: the arrangement to scale in a plane, the regions of the map, the sweep with its events; bodies
// are moved by hand (hands.js), and a cross-hair reads the map.

/** @import * as wire from "../types/wire.js" */
/** @import { State, Store } from "../store.js" */
/** @import { Point } from "./geometry.js" */
/** @import { Station } from "./playhead.js" */

import {
  coilOutline, contactOutline, drawCoil, drawConductor, drawContact, drawGhost, drawMagnet, drawSteel, magnetOutline, steelOutlines,
} from "./bodies.js";
import { Pen } from "./draw.js";
import { el, hide } from "../dom.js";
import { aheadOfFrame, inFrame, watchLook, watchSize } from "./frame.js";
import { AXIS, Extent, View, bestPlane, distance, length, naturalCut, sub, within } from "./geometry.js";
import { Hands } from "./hands.js";
import { drawMotors, near } from "./motors.js";
import { number, withUnit } from "../number.js";
import {
  drawCrossHair, drawDimensions, drawEnd, drawName, drawPath, drawPlacement, drawRulers, drawSelection, drawTurnHandle,
  track, turnHandle,
} from "./marks.js";
import { Other, PALE } from "./beside.js";
import { Blades } from "./blades.js";
import { bodies, contacts, standing } from "./playhead.js";
import { Lobes, Regions, read } from "./regions.js";
import { PlanTools } from "./plan-tools.js";

/** Places of a map, about. */
const PLACES = 24000;
/** Steel that moves is shown as far beyond all else as this share of its reach. */
const NEAR = 0.4;
/** How long the plane must rest before its map is asked for, ms. */
const REST = 60;
/** A dragged body waits so long for the regions and events of its place, to be painted once with them, ms. */
const TOGETHER = 30;

export class Plan {
  view = new View("xz");
  /** What is drawn: bodies where they stand, and where on the path. @type {ReturnType<typeof standing>} */
  picture = null;
  /** Place read by the cross-hair, across and up, mm. @type {{at: Point, keys: boolean} | null} */
  cross = null;
  /** What the pointer is over. @type {string | null} */
  over = null;
  dimensions = true;
  #regions = new Regions();
  #lobes = new Lobes();
  #other = new Other();
  #rest = 0;
  #alone = 0;
  /** Move of a drag that was painted last. @type {number | null} */
  #painted = null;
  /** Moved or zoomed by hand: then the picture is not fitted anew. */
  touched = false;
  /** Design and plane the picture was fitted for. */
  #fitted = "";
  /** Design that was shown in its best plane. */
  #begun = 0;

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    this.sheet = el("div.plan-sheet");
    this.canvas = el("canvas", { tabIndex: 0, role: "application", "aria-label": "Plan of the arrangement", "aria-describedby": "plan-hint" });
    const above = el("canvas.above", { "aria-hidden": "true" });
    this.sheet.append(this.canvas, above);
    stage.append(this.sheet);
    this.pen = new Pen(this.canvas, true);
    this.above = new Pen(above);
    this.blades = new Blades(() => this.repaint());
    this.tools = new PlanTools(this, host, stage);
    this.hands = new Hands(this);
    watchSize(this.sheet, (width, height) => this.#resize(width, height));
    watchLook(() => this.#restyle());
    store.watch(["dark"], () => this.#restyle());
    store.watch(
      ["drawing", "answer", "dragging", "selected", "playhead", "pass", "view", "faulty", "session", "design", "beside"],
      () => this.repaint(),
    );
    store.watch(["drag", "live", "map"], ({ drag, live, map }) => {
      const whole = live !== null && live.seq === map?.header.seq && live.seq !== this.#painted;
      if (drag === null) this.repaint();
      else if (whole) this.#repaintAhead();
      else this.#alone ||= setTimeout(() => this.repaint(), TOGETHER);
    });
  }

  repaint() {
    clearTimeout(this.#alone);
    this.#alone = 0;
    inFrame(this, 0, () => this.#paint());
  }

  /** A picture that is whole is painted as soon as it comes. */
  #repaintAhead() {
    clearTimeout(this.#alone);
    this.#alone = 0;
    aheadOfFrame(this, () => this.#paint());
  }

  /** The cross-hair alone. */
  retouch() {
    if (this.store.state.dragging) this.repaint();
    else inFrame(this.above.canvas, 1, () => this.#paintAbove());
  }

  #restyle() {
    this.pen.restyle();
    this.above.restyle();
    this.repaint();
  }

  /** @param {number} width @param {number} height */
  #resize(width, height) {
    const [dx, dy] = [(width - this.pen.width) / 2, (height - this.pen.height) / 2];
    this.pen.resize(width, height);
    this.above.resize(width, height);
    this.view.x0 += dx;
    this.view.y0 += dy;
    if (!this.touched) this.#fitted = "";
    this.repaint();
    this.asked();
  }

  /** Shows everything. */
  fit() {
    this.touched = false;
    this.#fitted = "";
    this.repaint();
  }

  /** @param {wire.Drawing} drawing */
  #fit(drawing) {
    const plain = new View(this.view.plane);
    plain.scale = 1;
    const box = new Extent().hold(drawing.path.map((p) => plain.project(p.at)));
    for (const contact of drawing.contacts) box.hold(contactOutline(plain, contact));
    for (const magnet of drawing.magnets) {
      box.hold(magnetOutline(plain, magnet)).hold(magnetOutline(plain, magnet, magnet.pose_end));
    }
    for (const coil of drawing.coils) box.hold(coilOutline(plain, coil));
    box.hold(drawing.conductors.map((c) => plain.project(c.pose.at)));
    const reach = Math.max(...box.size);
    box.hold(near(drawing, reach).map((motor) => plain.project(motor.pose.at)));
    // Of steel that moves as much as lies near all else.
    const [low, high] = [[...box.low], [...box.high]];
    const close = (/** @type {Point} */ p) => /** @type {Point} */ (p.map((v, i) => Math.min(high[i] + NEAR * reach, Math.max(low[i] - NEAR * reach, v))));
    for (const steel of drawing.steel) if (steel.moves && !box.empty) box.hold(steelOutlines(plain, steel).flat().map(close));
    if (box.empty) for (const steel of drawing.steel) box.hold(steelOutlines(plain, steel).flat());
    if (box.empty) box.hold([[-20, -20], [20, 20]]);
    // Names, dimensions and rulers need some pixels round everything, whatever the scale.
    const { width, height } = this.pen;
    const [left, right, top, bottom] = width < 320 || height < 240 ? [44, 24, 30, 30] : [92, 60, 56, 92];
    this.view.fit([box.low[0], box.high[0], -box.high[1], -box.low[1]], width - left - right, height - top - bottom);
    this.view.x0 += left;
    this.view.y0 += top;
  }

  /** The plane was moved: its map is asked for once it rests. */
  asked() {
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => {
      const { width, height } = this.pen;
      if (width < 8 || height < 8 || !this.store.state.drawing) return;
      const across = Math.round(Math.sqrt((PLACES * width) / height));
      const cells = /** @type {[number, number]} */ ([across, Math.round(PLACES / across)]);
      this.store.look({ plane: this.view.plane, extent: this.view.extent(width, height), cells });
    }, REST);
  }

  /** Shows another plane. @param {wire.Plane} plane */
  turnTo(plane) {
    if (plane === this.view.plane && plane === this.store.state.view.plane) return;
    const other = new View(plane);
    other.like(this.view);
    this.view = other;
    this.cross = null;
    this.store.set({ view: { ...this.store.state.view, plane, offset: null } });
    this.fit();
  }

  /** Where the plane cuts goes with the path, unless told. @param {State} state @param {wire.Drawing} drawing */
  #takeCut(state, drawing) {
    const cut = naturalCut(drawing, state.view.contact, this.view.plane);
    if (cut === state.cut) return;
    this.store.set({ cut });
    if (state.view.offset === null) this.asked();
  }

  #paint() {
    const { store, pen } = this;
    const { state } = store;
    if (pen.width === 0) return;
    if (state.drawing && state.opened !== this.#begun) {
      this.#begun = state.opened;
      this.turnTo(bestPlane(state.drawing));
      this.fit();
    }
    const { view } = this;
    if (state.drawing) this.#takeCut(state, state.drawing);
    this.picture = standing(state);
    pen.clear();
    this.tools.show(state, this.picture?.drawing ?? null);
    if (!this.picture || !state.drawing) {
      this.above.clear();
      return;
    }
    const key = `${state.opened} ${view.plane} ${pen.width} ${pen.height}`;
    if (!this.touched && key !== this.#fitted) {
      this.#fit(state.drawing);
      this.#fitted = key;
      this.asked();
    }
    const map = state.map?.header.plane === view.plane ? state.map : null;
    this.#painted = state.live?.seq ?? null;
    this.#regions.take(map);
    if (map) pen.faint(state.beside ? PALE : 1, () => this.#regions.draw(pen, view));
    this.#arrangement(state, this.picture);
    if (state.beside) this.#other.draw(pen, view, state.beside, state.drawing);
    drawRulers(pen, view);
    this.#paintAbove();
    // For whoever measures how soon a picture is there, and where a hand would find a body.
    this.canvas.dispatchEvent(new CustomEvent("painted", { detail: { map: map?.header ?? null, live: state.live, find: (/** @type {string} */ path) => this.#find(path) } }));
  }

  /** @param {State} state @param {{drawing: wire.Drawing, station: Station | null}} picture */
  #arrangement(state, { drawing, station }) {
    const { pen, view } = this;
    const offset = state.map?.header.plane === view.plane ? state.map.header.offset : (state.view.offset ?? state.cut);
    for (const steel of drawing.steel) drawSteel(pen, view, steel, offset);
    for (const coil of drawing.coils) drawCoil(pen, view, coil);
    for (const conductor of drawing.conductors) drawConductor(pen, view, conductor);
    const known = contacts(state);
    for (const contact of drawing.contacts) drawContact(pen, view, contact, this.blades.closed(state, contact.name));
    for (const body of [...drawing.magnets, ...drawing.steel]) {
      if (body.moves && body.pose_end.at.some((v, i) => Math.abs(v - body.pose.at[i]) > 1e-9)) drawGhost(pen, view, body);
    }
    const atRest = !station || station.coordinate === drawing.path[0]?.coordinate;
    if (this.dimensions) drawDimensions(pen, view, drawing, atRest, (path, mm) => this.#written(state, path, mm));
    const picked = drawing.contacts[state.view.contact]?.name;
    const course = track(view, drawing);
    const [wide, high] = new Extent().hold(course.map((p) => p.at)).size;
    const level = wide > high;
    for (const magnet of drawing.magnets.filter((m) => !m.moves)) {
      const { low, high } = new Extent().hold(magnetOutline(view, magnet));
      pen.keep(low, high);
    }
    drawPath(pen, course, known.find((c) => c.name === picked), this.unit(state), this.#lift(drawing));
    for (const magnet of drawing.magnets) drawMagnet(pen, view, magnet);
    for (const { path, table, body } of bodies(drawing)) {
      const box = new Extent().hold(this.outlines(path, body).flat());
      if (table !== "steel" && !box.empty) pen.keep(box.low, box.high);
    }
    // Contacts one behind the other are named together: `upper 1, 2`.
    const covers = (/** @type {wire.Contact} */ one, /** @type {import("./playhead.js").Body} */ other) =>
      length(sub(view.project(one.pose.at), view.project(other.pose.at))) < 1 && Math.abs(one.pose.at[view.cut] - other.pose.at[view.cut]) > 1e-6;
    for (const { path, table, body } of bodies(drawing)) {
      if (table === "coil" && drawing.coils.length === 1 && drawing.magnets.length === 0) continue;
      const together = table === "contact" ? drawing.contacts.filter((one) => one === body || covers(one, body)) : [body];
      if (together[0] !== body) continue;
      const stem = body.name.replace(/\d+$/, "");
      const name = together.map((one, k) => (k > 0 && stem !== "" && one.name.startsWith(stem) ? one.name.slice(stem.length) : one.name)).join(", ");
      const word = table === "contact" && together.length === 1 ? this.blades.word(state, body.name) : "";
      const side = table === "contact" ? "left" : table === "magnet" && !level ? "right" : "below";
      drawName(pen, name, this.outlines(path, body).flat(), side, word);
    }
    for (const { name, pose } of drawing.conductors) drawName(pen, name, [view.project(pose.at)], "right");
    drawMotors(pen, view, drawing);
  }

  /** How far above a level path names are clear of what moves and its dimensions, px. @param {wire.Drawing} drawing */
  #lift(drawing) {
    const heights = drawing.magnets.filter((m) => m.moves).map((m) => new Extent().hold(magnetOutline(this.view, m)).size[1] / 2);
    return Math.max(0, ...heights) + (this.dimensions ? 38 : 18);
  }

  /** What lies above all else, on a sheet of its own. While dragged all is painted anew, so that one sheet does. */
  #paintAbove() {
    const { view, picture } = this;
    const { state } = this.store;
    hide(this.above.canvas, state.dragging);
    const above = state.dragging ? this.pen : this.above;
    if (!state.dragging) above.clear();
    if (!picture) return;
    for (const end of this.ends()) drawEnd(above, end.at, state.selected === end.path);
    const chosen = bodies(picture.drawing).find(({ path }) => path === state.selected);
    if (chosen) {
      const outline = this.outlines(chosen.path, chosen.body).flat();
      drawSelection(above, outline);
      drawTurnHandle(above, this.handle(chosen.path, outline), new Extent().hold(outline).low[1] - 6, this.hands.turning);
      if (state.drag?.body === chosen.path) drawPlacement(above, view, picture.drawing.contacts[0], chosen.body.pose.at);
    }
    const { cross } = this;
    if (cross) drawCrossHair(above, [view.x0 + cross.at[0] * view.scale, view.y0 - cross.at[1] * view.scale], cross.keys);
    this.tools.tell(state);
  }

  /** Unit of the sweep's coordinate. @param {State} state */
  unit(state) {
    return state.live?.glance.unit ?? state.answer?.answer.sweep.unit ?? "mm";
  }

  /** A dimension as the user wrote it. @param {State} state @param {string} path @param {number} mm */
  #written(state, path, mm) {
    const own = state.answer?.rev === state.rev ? state.answer.answer.quantities.find((q) => q.path === path)?.text : null;
    return own ?? `${Number(mm.toFixed(2))} mm`;
  }

  /** What one sees of a body. @param {string} path @param {import("./playhead.js").Body} body @returns {Point[][]} */
  outlines(path, body) {
    const { view } = this;
    if ("parts" in body) return steelOutlines(view, body);
    if ("shape" in body) return [magnetOutline(view, body)];
    return [path.startsWith("coil") ? coilOutline(view, /** @type {wire.Coil} */ (body)) : contactOutline(view, /** @type {wire.Contact} */ (body))];
  }

  /** Handles at the ends of a straight sweep. @returns {{path: string, at: Point, place: wire.Triple}[]} */
  ends() {
    const path = this.picture?.drawing.path ?? [];
    if (path.length < 2 || this.store.state.answer?.answer.sweep.kind !== "line") return [];
    const of = (/** @type {string} */ name, /** @type {wire.Triple} */ place) => ({ path: name, place, at: this.view.project(place) });
    const all = [of("sweep.from", path[0].at), of("sweep.to", path[path.length - 1].at)];
    // Where the body itself stands it is taken by that, not by the end of its path.
    const here = this.picture?.station?.at;
    return all.filter((end) => this.store.state.selected === end.path || !here || length(sub(this.view.project(here), end.at)) > 6);
  }

  /** Where on the canvas a body stands, and its turning handle. @param {string} path */
  #find(path) {
    const found = this.picture && bodies(this.picture.drawing).find((each) => each.path === path);
    return found ? { at: this.view.project(found.body.pose.at), handle: this.handle(path, this.outlines(path, found.body).flat()) } : null;
  }

  /** Where the handle is that turns a body. @param {string} path @param {Point[]} outline */
  handle(path, outline) {
    return turnHandle(outline, this.dimensions && path.startsWith("magnet"));
  }

  /** What lies under a point, foremost first. @param {Point} at @returns {string | null} */
  under(at) {
    if (!this.picture) return null;
    const end = this.ends().find((e) => length(sub(e.at, at)) < 8 && this.store.state.selected === e.path);
    if (end) return end.path;
    const all = bodies(this.picture.drawing).reverse();
    const hit = all.find(({ path, table, body }) =>
      this.outlines(path, body).some((shape) => within(at, shape) || (table !== "steel" && distance(at, shape) < 5)));
    return hit?.path ?? this.ends().find((e) => length(sub(e.at, at)) < 8)?.path ?? null;
  }

  /** What the map says of the place under the cross-hair, in words. @param {State} state @returns {[string, string]} */
  reading(state) {
    const { cross, view } = this;
    if (!cross) return ["", ""];
    const place = `${AXIS[view.right]} ${number(cross.at[0], "mm")}, ${AXIS[view.up]} ${number(cross.at[1], "mm")} mm`;
    const map = state.map?.header.plane === view.plane ? state.map : null;
    const found = map && read(map, cross.at);
    if (!map || !found) return [place, ""];
    const { moves, contact, operate, release } = map.header;
    const region = {
      closes: `${contact} closes`,
      holds: `${contact} holds if already closed`,
      open: `${contact} stays open`,
      touches: state.drawing?.steel.length ? "no room, or too near the steel to tell" : "no room, it would touch",
    }[found.region];
    const from = (/** @type {number} */ drive, /** @type {number} */ level, /** @type {string} */ word) => {
      const margin = Math.abs(drive) - level;
      return `${number(Math.abs(margin), "mT")} ${margin < 0 ? "below" : "above"} ${word}`;
    };
    const first = `${moves} at ${place}: ${region}`;
    if (found.region === "touches") return [first, ""];
    return [first, `${withUnit(found.open, "mT")}: ${from(found.open, operate[1], "operate")}, ${from(found.closed, release[1], "release")} · ${this.#lobes.name(map, cross.at)}`];
  }
}
