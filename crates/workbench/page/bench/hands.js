// Hands on the plan: what the pointer and the keys do.
//
// A body grabbed follows the pointer, snapping to the step; the server is told each new place at once and
// the text follows when it is let go. Keys do the same in steps, and let go after a pause.

/** @import * as wire from "../types/wire.js" */
/** @import { Point } from "./geometry.js" */
/** @import { Plan } from "./plan.js" */

import { add, length, scaled, sub } from "./geometry.js";
import { number } from "../number.js";
import { atStart, bodies, contacts } from "./playhead.js";

/** A pause after which keys let go, ms. */
const PAUSE = 600;
/** Steps of turning, degrees. */
const TURN = 5;
const FINE_TURN = 1;

/** @typedef {{body: string, from: wire.Triple, turn: wire.Triple, grip: Point, turning: boolean, moved: boolean}} Grip */

/** @param {number} v */
const tidy = (v) => Math.round(v * 1e6) / 1e6;

export class Hands {
  /** @type {Grip | null} */
  #grip = null;
  /** Pointers down, by id: where they are. @type {Map<number, Point>} */
  #down = new Map();
  #pan = false;
  /** What was let go last: it is there already, though the drawing may not know yet. @type {{body: string, at: wire.Triple} | null} */
  #let = null;
  #pause = 0;

  /** @param {Plan} plan */
  constructor(plan) {
    this.plan = plan;
    const { canvas } = plan;
    canvas.addEventListener("pointerdown", (event) => this.#press(event));
    canvas.addEventListener("pointermove", (event) => this.#move(event));
    // Sent as soon as they come rather than once a frame: the new picture is the sooner there.
    canvas.addEventListener("pointerrawupdate", (event) => {
      if (this.#grip) this.#move(/** @type {PointerEvent} */ (event));
    });
    canvas.addEventListener("pointerup", (event) => this.#release(event));
    canvas.addEventListener("pointercancel", (event) => this.#cancel(event));
    canvas.addEventListener("pointerleave", () => this.#leave());
    canvas.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
    canvas.addEventListener("keydown", (event) => this.#key(event));
    canvas.addEventListener("blur", () => this.#letGoOfKeys());
  }

  get turning() {
    return this.#grip?.turning ?? false;
  }

  /**
   * Where on the canvas. To ask costs a layout of the page each time, so while something is held the answer
   * of the press serves.
   * @param {PointerEvent | WheelEvent} event @returns {Point}
   */
  #at(event) {
    if (!this.#grip) this.#corner = [event.clientX - event.offsetX, event.clientY - event.offsetY];
    return [event.clientX - this.#corner[0], event.clientY - this.#corner[1]];
  }

  /** The canvas's corner in the window, px. @type {Point} */
  #corner = [0, 0];

  /** @param {PointerEvent} event */
  #press(event) {
    if (event.button !== 0 && event.pointerType === "mouse") return;
    const { plan } = this;
    const at = this.#at(event);
    plan.canvas.setPointerCapture(event.pointerId);
    plan.canvas.focus({ preventScroll: true });
    this.#letGoOfKeys();
    this.#down.set(event.pointerId, at);
    if (this.#down.size > 1) {
      this.#drop();
      this.#pan = true;
      return;
    }
    const handle = this.#handle();
    const turning = handle !== null && length(sub(handle, at)) < 12;
    const body = turning ? plan.store.state.selected : plan.under(at);
    if (body === null) {
      this.#pan = true;
      return;
    }
    plan.store.select(body);
    plan.cross = null;
    this.#grip = this.#grab(body, at, turning);
  }

  /** @returns {Point | null} */
  #handle() {
    const { picture, store } = this.plan;
    const chosen = picture && bodies(picture.drawing).find(({ path }) => path === store.state.selected);
    return chosen ? this.plan.handle(chosen.path, this.plan.outlines(chosen.path, chosen.body).flat()) : null;
  }

  /** @param {string} body @param {Point} at @param {boolean} turning @returns {Grip | null} */
  #grab(body, at, turning) {
    const { drag } = this.plan.store.state;
    if (drag?.body === body && !drag.dropped) {
      return { body, from: drag.at, turn: drag.turn, grip: at, turning, moved: false };
    }
    const { design, rev } = this.plan.store.state;
    const ahead = this.#let?.body === body && (drag?.dropped || (design?.rev ?? 0) < rev);
    const from = ahead ? /** @type {wire.Triple} */ (this.#let?.at) : this.#place(body);
    return from && { body, from, turn: [0, 0, 0], grip: at, turning, moved: false };
  }

  /** Where the sweep starts with a body. @param {string} body @returns {wire.Triple | null} */
  #place(body) {
    const { store } = this.plan;
    const end = this.plan.ends().find((e) => e.path === body);
    if (end) return end.place;
    const drawing = store.state.drawing;
    return (drawing && bodies(drawing).find(({ path }) => path === body)?.body.pose.at) ?? null;
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const { plan } = this;
    const at = this.#at(event);
    const before = this.#down.get(event.pointerId);
    if (before) this.#down.set(event.pointerId, at);
    if (this.#grip) {
      this.#follow(at, event.altKey);
      return;
    }
    if (before && this.#pan) {
      this.#slide(before, at);
      return;
    }
    const over = plan.under(at);
    const handle = this.#handle();
    plan.canvas.style.cursor = over || (handle && length(sub(handle, at)) < 12) ? "grab" : "crosshair";
    plan.cross = { at: plan.view.inPlane(at), keys: false };
    plan.retouch();
  }

  /** The sheet goes with one pointer, and grows and shrinks with two. @param {Point} before @param {Point} at */
  #slide(before, at) {
    const { view } = this.plan;
    this.plan.canvas.style.cursor = "grabbing";
    this.plan.cross = null;
    const others = [...this.#down.values()].filter((p) => p !== at);
    if (others.length > 0) {
      const other = others[0];
      const factor = length(sub(at, other)) / Math.max(1, length(sub(before, other)));
      view.zoom(factor, other);
    } else {
      view.x0 += at[0] - before[0];
      view.y0 += at[1] - before[1];
    }
    this.#moved();
  }

  #moved() {
    this.plan.touched = true;
    this.plan.repaint();
    this.plan.asked();
  }

  /** @param {Point} at @param {boolean} free  between the steps */
  #follow(at, free) {
    const grip = /** @type {Grip} */ (this.#grip);
    const { plan } = this;
    const { view, store } = plan;
    plan.canvas.style.cursor = "grabbing";
    if (!grip.moved && length(sub(at, grip.grip)) < 3) return;
    if (grip.turning) {
      const picture = plan.picture && bodies(plan.picture.drawing).find(({ path }) => path === grip.body);
      if (!picture) return;
      const centre = view.project(picture.body.pose.at);
      const angle = (p = at) => Math.atan2(centre[1] - p[1], p[0] - centre[0]);
      const degrees = ((angle() - angle(grip.grip)) * 180) / Math.PI;
      const step = free ? FINE_TURN : TURN;
      this.#put(grip, grip.from, this.#turned(grip.turn, Math.round(degrees / step) * step));
      return;
    }
    const shift = sub(view.inPlane(at), view.inPlane(grip.grip));
    const snap = (/** @type {number} */ v) => (free ? tidy(Math.round(v * 100) / 100) : tidy(Math.round(v / store.state.step) * store.state.step));
    const moved = this.#shifted(grip.body, shift);
    /** @type {wire.Triple} */
    const to = [...grip.from];
    moved.forEach((by, i) => {
      if (Math.abs(by) > 1e-9) to[i] = snap(grip.from[i] + by);
    });
    this.#put(grip, to, grip.turn);
  }

  /** A shift seen on the plan as one of where the sweep starts. @param {string} body @param {Point} shift @returns {wire.Triple} */
  #shifted(body, shift) {
    const { view, picture } = this.plan;
    const seen = view.inSpace(shift, [0, 0, 0]);
    const found = picture && bodies(picture.drawing).find(({ path }) => path === body);
    return found ? atStart(seen, found.body, picture.station) : seen;
  }

  /** @param {wire.Triple} turn @param {number} degrees  anti-clockwise as seen @returns {wire.Triple} */
  #turned(turn, degrees) {
    const { view } = this.plan;
    /** @type {wire.Triple} */
    const out = [...turn];
    let angle = out[view.cut] + degrees * view.toward[view.cut];
    angle -= 360 * Math.round(angle / 360);
    out[view.cut] = tidy(angle);
    return out;
  }

  /** @param {Grip} grip @param {wire.Triple} at @param {wire.Triple} turn */
  #put(grip, at, turn) {
    const { drag } = this.plan.store.state;
    const before = drag?.body === grip.body ? drag : { at: grip.from, turn: grip.turn };
    if (at.every((v, i) => v === before.at[i]) && turn.every((v, i) => v === before.turn[i])) return;
    grip.moved = true;
    this.plan.store.drag(grip.body, at, turn);
  }

  /** @param {PointerEvent} event */
  #release(event) {
    this.#down.delete(event.pointerId);
    if (this.#pan && this.#down.size === 0) {
      this.#pan = false;
      this.plan.canvas.style.cursor = "crosshair";
      if (!this.plan.touched) this.plan.store.select(null);
    }
    this.#drop();
  }

  #drop() {
    const grip = this.#grip;
    this.#grip = null;
    if (grip?.moved) this.#letGo();
    this.plan.retouch();
  }

  /** @param {PointerEvent} event */
  #cancel(event) {
    this.#down.delete(event.pointerId);
    this.#pan = false;
    if (this.#grip?.moved) this.plan.store.cancelDrag();
    this.#grip = null;
    this.plan.retouch();
  }

  #leave() {
    if (!this.plan.cross?.keys) this.plan.cross = null;
    this.plan.retouch();
  }

  /** @param {WheelEvent} event */
  #wheel(event) {
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 16 : 1;
    this.plan.view.zoom(Math.exp(-event.deltaY * lines * 0.0015), this.#at(event));
    this.#moved();
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.ctrlKey || event.metaKey) return;
    if (this.#command(event)) event.preventDefault();
  }

  /** @param {KeyboardEvent} event */
  #command(event) {
    const { plan } = this;
    const { store } = plan;
    const way = /** @type {Record<string, Point>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] })[event.key];
    if (way && event.altKey) {
      plan.view.x0 -= way[0] * 40;
      plan.view.y0 += way[1] * 40;
      this.#moved();
      return true;
    }
    const { step, selected } = store.state;
    if (way) {
      const by = scaled(way, step * (event.shiftKey ? 10 : 1));
      if (selected) this.#nudge(selected, plan.view.inSpace(by, [0, 0, 0]), 0);
      else this.#moveCross(by);
      return true;
    }
    const middle = /** @type {Point} */ ([plan.pen.width / 2, plan.pen.height / 2]);
    const turn = { "[": TURN, "]": -TURN, "{": FINE_TURN, "}": -FINE_TURN }[event.key];
    if (turn && selected) {
      this.#nudge(selected, [0, 0, 0], turn);
      return true;
    }
    switch (event.key) {
      case "PageUp": case "PageDown": {
        if (!selected) return false;
        const sign = event.key === "PageUp" ? 1 : -1;
        const out = /** @type {wire.Triple} */ (plan.view.toward.map((v) => v * sign * step * (event.shiftKey ? 10 : 1)));
        this.#nudge(selected, out, 0);
        return true;
      }
      case "n": case "p": this.#cycle(event.key === "n" ? 1 : -1); return true;
      case "+": case "=": plan.view.zoom(1.25, middle); this.#moved(); return true;
      case "-": plan.view.zoom(0.8, middle); this.#moved(); return true;
      case "0": plan.fit(); plan.asked(); return true;
      case "1": plan.turnTo("xz"); return true;
      case "2": plan.turnTo("xy"); return true;
      case "3": plan.turnTo("yz"); return true;
      case "Escape":
        clearTimeout(this.#pause);
        if (store.state.drag && !store.state.drag.dropped) store.cancelDrag();
        else store.select(null);
        this.#grip = null;
        plan.cross = null;
        plan.repaint();
        return true;
      default: return false;
    }
  }

  /** @param {number} way */
  #cycle(way) {
    const { plan } = this;
    const drawing = plan.picture?.drawing;
    if (!drawing) return;
    this.#letGoOfKeys();
    const all = [...bodies(drawing).reverse().map(({ path }) => path), ...plan.ends().map(({ path }) => path)];
    const now = all.indexOf(plan.store.state.selected ?? "");
    const next = all[(now < 0 ? (way > 0 ? 0 : all.length - 1) : now + way + all.length) % all.length];
    plan.cross = null;
    plan.store.select(next ?? null);
    if (next) plan.tools.say(`${next.replace(/[[\].]/g, " ").trim()} selected`);
  }

  /** @param {Point} by */
  #moveCross(by) {
    const { plan } = this;
    const middle = plan.view.inPlane([plan.pen.width / 2, plan.pen.height / 2]);
    const { step } = plan.store.state;
    const from = plan.cross?.at ?? /** @type {Point} */ (middle.map((v) => Math.round(v / step) * step));
    plan.cross = { at: /** @type {Point} */ (add(from, by).map(tidy)), keys: true };
    plan.retouch();
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => plan.tools.say(plan.reading(plan.store.state).join(". ")), PAUSE);
  }

  /** Moves and turns what is selected; lets go after a pause. @param {string} body @param {wire.Triple} shift @param {number} degrees */
  #nudge(body, shift, degrees) {
    const { plan } = this;
    const grip = this.#grab(body, [0, 0], degrees !== 0);
    if (!grip) return;
    const found = plan.picture && bodies(plan.picture.drawing).find(({ path }) => path === body);
    const moved = found ? atStart(shift, found.body, plan.picture?.station ?? null) : shift;
    const to = /** @type {wire.Triple} */ (grip.from.map((v, i) => tidy(v + moved[i])));
    this.#put(grip, to, degrees === 0 ? grip.turn : this.#turned(grip.turn, degrees));
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => this.#letGoOfKeys(), PAUSE);
  }

  #letGoOfKeys() {
    clearTimeout(this.#pause);
    const { store } = this.plan;
    if (this.#grip || !store.state.drag || store.state.drag.dropped) return;
    const { drag } = store.state;
    const unit = this.plan.unit(store.state);
    const events = contacts(store.state).flatMap((c) => c.happenings.map((e) => `${c.name} ${e.kind}s at ${number(e.at, unit)} ${unit} ${e.pass}`));
    this.#letGo();
    this.plan.tools.say(`${drag.body} at ${drag.at.map((v) => number(v, "mm")).join(", ")} mm. ${events.join(", ") || "No event"}.`);
  }

  #letGo() {
    this.#let = this.plan.store.state.drag;
    this.plan.store.drop();
  }
}
