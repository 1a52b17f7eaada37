// Along the sweep: the drive against operate and release, and a playhead that takes everything with it.

/** @import * as wire from "../types/wire.js" */
/** @import { Store } from "../store.js" */

import { Chart, curve } from "./chart.js";
import { Pen } from "./draw.js";
import { el, say, sign, tool } from "../dom.js";
import { inFrame, still, watchLook, watchSize } from "./frame.js";
import { number, withUnit } from "../number.js";
import { contactState } from "./playhead.js";

/** How long one pass takes when played, ms; how long each event is shown when nothing may move. */
const PASS = 4000;
const STAND = 1200;
/** Keys move the playhead by this share of the sweep. */
const NUDGE = 1 / 200;
const PLAY = "Play (space)";
/** While a body is dragged the chart follows so seldom, ms: the plan needs the time. */
const SELDOM = 100;

export class Sweep {
  /** @type {Chart | null} */
  #chart = null;
  #held = false;
  #playing = false;
  #last = 0;
  #timer = 0;
  #painted = 0;
  #later = 0;

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    const canvas = el("canvas", { "aria-hidden": "true" });
    // What the keys go to and what is read out; the pictures lie below it.
    this.slider = el("canvas.head", { tabIndex: 0, role: "slider", "aria-label": "Place along the sweep", "aria-orientation": "horizontal" });
    this.none = el("p.teach", { hidden: true });
    const sheet = el("div.sweep-sheet", {}, canvas, this.slider, this.none);
    stage.append(sheet);
    this.pen = new Pen(canvas, true);
    this.over = new Pen(this.slider);
    this.state = el("output.contact-state", { "aria-live": "off" });
    this.play = tool({ icon: "play", title: PLAY, onclick: () => this.#toggle() });
    this.back = tool({ text: "forward", title: "Which way what moves goes (b)", onclick: () => this.#turnBack() });
    this.back.setAttribute("aria-label", "Direction: forward");
    this.tools = [
      tool({ icon: "earlier", title: "To the event before (Page up)", onclick: () => this.#jump(-1) }), this.play,
      tool({ icon: "later", title: "To the next event (Page down)", onclick: () => this.#jump(1) }), this.back,
    ];
    host.querySelector(".tools")?.append(this.state, ...this.tools);
    watchSize(sheet, (width, height) => {
      this.pen.resize(width, height);
      this.over.resize(width, height);
      this.#repaint();
    });
    watchLook(() => this.#restyle());
    store.watch(["dark"], () => this.#restyle());
    store.watch(["live", "answer", "view", "dragging", "faulty", "design"], () => this.#repaint());
    store.watch(["playhead", "pass"], () => inFrame(this.over, 1, () => this.#paintHead()));
    this.#hands();
  }

  #restyle() {
    this.pen.restyle();
    this.over.restyle();
    this.#repaint();
  }

  #repaint() {
    const wait = this.store.state.dragging ? this.#painted + SELDOM - performance.now() : 0;
    if (wait <= 0) inFrame(this, 2, () => this.#paint());
    else this.#later ||= setTimeout(() => inFrame(this, 2, () => this.#paint()), wait);
  }

  #paint() {
    const { state } = this.store;
    clearTimeout(this.#later);
    this.#later = 0;
    this.#painted = performance.now();
    if (this.pen.width === 0) return;
    this.pen.clear();
    const shown = curve(state);
    this.none.hidden = shown !== null || state.drawing === null;
    this.slider.hidden = shown === null;
    for (const button of this.tools) button.disabled = shown === null;
    if (!shown) {
      this.#chart = null;
      this.none.textContent = state.progress ? "Computing the sweep …" : "No drive to show yet.";
      return;
    }
    const sweep = state.answer?.answer.sweep;
    this.#chart = new Chart(this.pen, shown, sweep?.coordinate ?? "sweep", this.#unit());
    this.#chart.draw();
    this.#paintHead();
  }

  #unit() {
    const { live, answer } = this.store.state;
    return live?.glance.unit ?? answer?.answer.sweep.unit ?? "mm";
  }

  /** The coordinate the playhead stands at. */
  #here() {
    const chart = this.#chart;
    if (!chart) return 0;
    return Math.min(chart.high, Math.max(chart.low, this.store.state.playhead ?? chart.shown.ends[0]));
  }

  #paintHead() {
    const chart = this.#chart;
    this.over.clear();
    if (!chart) return;
    const { state } = this.store;
    const here = this.#here();
    chart.drawHead(this.over, here, state.pass, this.#held);
    const words = this.#words(chart, here, state.pass);
    say(this.state, words);
    const unit = this.#unit();
    this.slider.setAttribute("aria-valuemin", String(chart.low));
    this.slider.setAttribute("aria-valuemax", String(chart.high));
    this.slider.setAttribute("aria-valuenow", String(here));
    this.slider.setAttribute("aria-valuetext", `${withUnit(here, unit)}, ${state.pass}: ${words}`);
    const way = chart.runsRight(state.pass) ? `${state.pass} →` : `← ${state.pass}`;
    if (this.back.textContent !== way) {
      this.back.textContent = way;
      this.back.setAttribute("aria-label", `Direction: ${state.pass}`);
    }
  }

  /** State of the contact in words. @param {Chart} chart @param {number} here @param {wire.Direction} pass */
  #words(chart, here, pass) {
    const { contact, ends } = chart.shown;
    const { closed, since } = contactState(contact, here, pass, ends);
    const unit = this.#unit();
    const drive = Math.abs(chart.drive(here, closed ? "closed" : "open"));
    const level = closed ? contact.release[1] : contact.operate[1];
    const margin = drive - level;
    const from = since ? ` since ${withUnit(since.at, unit)}${since.pass === pass ? "" : ` ${since.pass}`}` : "";
    const side = `${number(Math.abs(margin), "mT")} mT ${margin < 0 ? "below" : "above"} ${closed ? "release" : "operate"}`;
    return `${contact.name} ${closed ? "closed" : "open"}${from}, ${side}`;
  }

  // Moving the playhead.

  /** @param {number} to @param {wire.Direction} [pass] */
  #go(to, pass = this.store.state.pass) {
    const chart = this.#chart;
    if (!chart) return;
    this.store.set({ playhead: Math.min(chart.high, Math.max(chart.low, to)), pass });
  }

  #turnBack() {
    this.store.set({ pass: this.store.state.pass === "forward" ? "back" : "forward" });
  }

  /** Along the pass by a share of the sweep, over its turning point. @param {number} share  of one pass @param {boolean} turn */
  #along(share, turn) {
    const chart = this.#chart;
    if (!chart) return;
    const { pass } = this.store.state;
    const [from, to] = chart.shown.ends;
    const t = (this.#here() - from) / (to - from) + (pass === "forward" ? share : -share);
    if (!turn || (t >= 0 && t <= 1)) this.#go(from + t * (to - from));
    else if (t > 1) this.#go(from + (2 - t) * (to - from), "back");
    else this.#go(from - t * (to - from), "forward");
  }

  /** To the event before or after, round both passes. @param {number} way */
  #jump(way) {
    const chart = this.#chart;
    if (!chart || chart.shown.contact.happenings.length === 0) return;
    const [from, to] = chart.shown.ends;
    // Forward runs over 0..1, back over 1..2.
    const along = (/** @type {number} */ at, /** @type {wire.Direction} */ pass) => {
      const t = (at - from) / (to - from);
      return pass === "forward" ? t : 2 - t;
    };
    const now = along(this.#here(), this.store.state.pass);
    const stops = chart.shown.contact.happenings.map((e) => ({ event: e, at: along(e.at, e.pass) })).sort((a, b) => a.at - b.at);
    const next = way > 0 ? stops.find((s) => s.at > now + 1e-9) ?? stops[0] : stops.findLast((s) => s.at < now - 1e-9) ?? stops[stops.length - 1];
    this.#go(next.event.at, next.event.pass);
  }

  #toggle() {
    this.#playing = !this.#playing;
    this.play.replaceChildren(sign(this.#playing ? "pause" : "play"));
    this.play.title = this.#playing ? "Pause (space)" : PLAY;
    this.play.setAttribute("aria-label", this.play.title);
    clearTimeout(this.#timer);
    if (!this.#playing) return;
    if (still.matches) this.#stand();
    else {
      this.#last = performance.now();
      inFrame(this.play, 0, () => this.#run());
    }
  }

  #run() {
    if (!this.#playing) return;
    const now = performance.now();
    const share = Math.min(100, now - this.#last) / PASS;
    this.#last = now;
    if (!this.#held) this.#along(share, true);
    inFrame(this.play, 0, () => this.#run());
  }

  /** From event to event, where nothing may move. */
  #stand() {
    if (!this.#playing) return;
    this.#jump(1);
    this.#timer = setTimeout(() => this.#stand(), STAND);
  }

  #hands() {
    const { slider } = this;
    const follow = (/** @type {PointerEvent} */ event, /** @type {boolean} */ first) => {
      const chart = this.#chart;
      if (!chart) return;
      const pass = first ? chart.passAt(event.offsetY) : null;
      this.#go(chart.coordinateAt(event.offsetX), pass ?? this.store.state.pass);
    };
    slider.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      slider.setPointerCapture(event.pointerId);
      this.#held = true;
      follow(event, true);
    });
    slider.addEventListener("pointermove", (event) => {
      if (this.#held) follow(event, false);
    });
    const letGo = () => {
      this.#held = false;
      inFrame(this.over, 1, () => this.#paintHead());
    };
    slider.addEventListener("pointerup", letGo);
    slider.addEventListener("pointercancel", letGo);
    slider.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (this.#key(event.key, event.shiftKey)) event.preventDefault();
    });
  }

  /** @param {string} key @param {boolean} far */
  #key(key, far) {
    const chart = this.#chart;
    if (!chart) return false;
    const share = NUDGE * (far ? 10 : 1);
    const right = chart.runsRight(this.store.state.pass) ? 1 : -1;
    switch (key) {
      case "ArrowRight": case "ArrowUp": this.#along(share * right, false); return true;
      case "ArrowLeft": case "ArrowDown": this.#along(-share * right, false); return true;
      case "Home": this.#go(chart.shown.ends[0]); return true;
      case "End": this.#go(chart.shown.ends[1]); return true;
      case "PageDown": this.#jump(1); return true;
      case "PageUp": this.#jump(-1); return true;
      case "b": this.#turnBack(); return true;
      case " ": this.#toggle(); return true;
      default: return false;
    }
  }
}
