// The drive of one contact along the sweep, drawn: band, levels, events, and the stretches in which the
// contact is closed on the way there and back.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Pen } from "./draw.js" */
/** @import { ContactPicture } from "./playhead.js" */
/** @import { Point } from "./geometry.js" */

import { BAND, BOLD, CHAIN, CLOSES, DASHED, EDGE, HAIR, HIDDEN, LINE, SOLID, THIN } from "./draw.js";
import { spread, tickText, ticks } from "./labels.js";
import { number, unitLabel, withUnit } from "../number.js";
import { contactState, contacts } from "./playhead.js";

/** Room left, right and above the plot, for the ruler and for each pass below it, px. */
export const LEFT = 78;
export const RIGHT = 140;
const TOP = 20;
const RULER = 22;
const LANE = 36;

/** @typedef {{x: number, open: number, closed: number, low: number, high: number}} Sample */

/**
 * @typedef {object} Curve  What is drawn of one contact.
 * @property {ContactPicture} contact
 * @property {Sample[]} samples  along the forward pass, mT
 * @property {boolean} banded  false while only the nominal drive is known
 * @property {boolean} signed  the drive turns over on the way; else its size is drawn
 * @property {[number, number]} ends  first and last coordinate
 * @property {[number, number]} y  lowest and highest drive shown
 * @property {number | null} beyond  highest drive, where the curve leaves the chart
 */

/** @param {State} state @returns {Curve | null} */
export function curve(state) {
  const contact = contacts(state)[state.view.contact];
  if (!contact) return null;
  const answered = state.answer?.answer.contacts.find((c) => c.name === contact.name);
  const nominal = state.live?.glance.contacts.find((c) => c.name === contact.name);
  const banded = contact.banded && answered !== undefined;
  /** @type {Sample[]} */
  const raw = banded && answered
    ? answered.trace.map((r) => ({ x: r.coordinate, open: r.drive_open_mT, closed: r.drive_closed_mT, low: r.drive_open_low_mT, high: r.drive_open_high_mT }))
    : (nominal?.coordinate ?? []).map((x, k) => {
      const [open, closed] = [nominal?.drive_open[k] ?? NaN, nominal?.drive_closed[k] ?? NaN];
      return { x, open, closed, low: open, high: open };
    });
  if (raw.length < 2 || raw[0].x === raw[raw.length - 1].x) return null;
  const most = Math.max(0, ...raw.map((s) => s.open));
  const least = Math.min(0, ...raw.map((s) => s.open));
  const signed = Math.min(most, -least) > 0.03 * Math.max(most, -least);
  const flip = -least > most ? -1 : 1;
  const samples = raw.map((s) => {
    const [a, b] = [flip * s.low, flip * s.high];
    return { x: s.x, open: flip * s.open, closed: flip * s.closed, low: Math.min(a, b), high: Math.max(a, b) };
  });
  return { contact, samples, banded, signed, ends: [raw[0].x, raw[raw.length - 1].x], ...frame(samples, contact, signed) };
}

/** The drives shown: where a magnet comes close the drive grows far past all that decides anything; the chart keeps to the levels. @param {Sample[]} samples @param {ContactPicture} contact @param {boolean} signed @returns {{y: [number, number], beyond: number | null}} */
function frame(samples, contact, signed) {
  const peak = Math.max(0, ...samples.flatMap((s) => [s.open, s.high, s.closed]));
  const trough = Math.min(0, ...samples.flatMap((s) => [s.open, s.low, s.closed]));
  const level = contact.operate[2];
  const low = signed ? Math.min(trough, trough < -level ? -1.25 * level : 0) : 0;
  const cut = peak > 4 * level;
  return {
    y: [low < -4 * level ? -3 * level : low * 1.06, cut ? 3 * level : Math.max(peak, 1.25 * level) * 1.06],
    beyond: cut ? Math.max(...samples.map((s) => s.open)) : null,
  };
}

/** A curve laid out on a canvas. */
export class Chart {
  /** @param {Pen} pen @param {Curve} shown @param {string} coordinate  what the sweep changes @param {string} unit */
  constructor(pen, shown, coordinate, unit) {
    this.pen = pen;
    this.shown = shown;
    this.coordinate = coordinate;
    this.unit = unit;
    this.right = Math.max(LEFT + 40, pen.width - RIGHT);
    this.bottom = Math.max(TOP + 30, pen.height - RULER - 2 * LANE - 4);
    const [a, b] = shown.ends;
    this.low = Math.min(a, b);
    this.high = Math.max(a, b);
  }

  /** @param {number} coordinate */
  x(coordinate) {
    return LEFT + ((coordinate - this.low) / (this.high - this.low)) * (this.right - LEFT);
  }

  /** @param {number} drive */
  y(drive) {
    const [low, high] = this.shown.y;
    return this.bottom - ((drive - low) / (high - low)) * (this.bottom - TOP);
  }

  /** The coordinate under a point. @param {number} x */
  coordinateAt(x) {
    const t = Math.min(1, Math.max(0, (x - LEFT) / (this.right - LEFT)));
    return this.low + t * (this.high - this.low);
  }

  /** Which pass a point means: that of the lane it is in. @param {number} y @returns {wire.Direction | null} */
  passAt(y) {
    const lane = Math.floor((y - this.bottom - RULER) / LANE);
    return lane === 0 ? "forward" : lane === 1 ? "back" : null;
  }

  /** @param {wire.Direction} pass */
  runsRight(pass) {
    const [from, to] = this.shown.ends;
    return (pass === "forward") === to >= from;
  }

  draw() {
    const { pen, shown } = this;
    const wide = this.right - LEFT;
    this.#grid();
    pen.clipped(LEFT, TOP, wide, this.bottom - TOP, () => {
      const ink = pen.ink;
      for (const { kind, band } of this.#levels()) {
        ink.beginPath();
        ink.rect(LEFT, this.y(band[2]), wide, this.y(band[0]) - this.y(band[2]));
        pen.fillPath("met", EDGE);
        pen.faint(0.55, () => {
          for (const edge of [band[0], band[2]]) pen.line([LEFT, this.y(edge)], [this.right, this.y(edge)], "met", HAIR, kind === "operate" ? SOLID : DASHED);
        });
      }
      if (shown.banded) {
        pen.shape([
          ...shown.samples.map((s) => /** @type {Point} */ ([this.x(s.x), this.y(s.high)])),
          ...shown.samples.map((s) => /** @type {Point} */ ([this.x(s.x), this.y(s.low)])).reverse(),
        ], "drive", BAND);
      }
      const line = (/** @type {"open" | "closed"} */ key) => shown.samples.map((s) => /** @type {Point} */ ([this.x(s.x), this.y(s[key])]));
      pen.polyline(line("closed"), "drive", THIN, HIDDEN);
      pen.polyline(line("open"), "drive", BOLD);
    });
    this.#levelLines();
    pen.ink.beginPath();
    pen.ink.rect(LEFT, TOP, wide, this.bottom - TOP);
    pen.strokePath("ink", THIN);
    this.#lane("forward", this.bottom + RULER);
    this.#lane("back", this.bottom + RULER + LANE);
    for (const event of shown.contact.happenings) {
      const level = (event.kind === "operate" ? shown.contact.operate : shown.contact.release)[1];
      const below = shown.signed && this.drive(event.at, "open") < 0;
      pen.event([this.x(event.at), this.y(below ? -level : level)], [this.runsRight(event.pass) ? 1 : -1, 0], event.kind);
    }
  }

  /** Drive at a coordinate, read off the curve. @param {number} coordinate @param {"open" | "closed"} key */
  drive(coordinate, key) {
    const { samples } = this.shown;
    for (let k = 0; k + 1 < samples.length; k += 1) {
      const [a, b] = [samples[k], samples[k + 1]];
      const t = (coordinate - a.x) / (b.x - a.x);
      if (t >= 0 && t <= 1) return a[key] + t * (b[key] - a[key]);
    }
    return NaN;
  }

  #grid() {
    const { pen, shown } = this;
    const across = ticks(this.low, this.high, (this.right - LEFT) / 80);
    for (const at of across.at) {
      const x = this.x(at);
      pen.line([x, TOP], [x, this.bottom], "hairline", HAIR);
      pen.line([x, this.bottom], [x, this.bottom + 4], "ink", THIN);
      pen.text(tickText(at, across.step), [x, this.bottom + 16], { anchor: "middle" });
    }
    const unit = this.unit === "" ? "" : `, ${unitLabel(this.unit)}`;
    this.#wrapped(`${this.coordinate}${unit}`).forEach((line, k) => pen.text(line, [this.right + 18, this.bottom + 16 + 15 * k]));
    const up = ticks(shown.y[0], shown.y[1], Math.max(2, (this.bottom - TOP) / 36));
    for (const at of up.at) {
      const y = this.y(at);
      pen.line([LEFT, y], [this.right, y], "hairline", HAIR);
      pen.line([LEFT - 4, y], [LEFT, y], "ink", THIN);
      pen.text(tickText(at, up.step), [LEFT - 7, y + 4], { anchor: "end" });
    }
    pen.text(shown.signed ? "drive, mT" : "|drive|, mT", [16, (TOP + this.bottom) / 2], { anchor: "middle", angle: -Math.PI / 2 });
  }

  /** Lines that fit in the right-hand margin. @param {string} text */
  #wrapped(text) {
    const room = this.pen.width - this.right - 22;
    /** @type {string[]} */
    const lines = [];
    for (const word of text.split(" ")) {
      const longer = lines.length > 0 ? `${lines[lines.length - 1]} ${word}` : word;
      if (lines.length > 0 && this.pen.measure(longer) <= room) lines[lines.length - 1] = longer;
      else lines.push(word);
    }
    return lines;
  }

  /** Levels the chart has room for; mirrored where the drive is signed. */
  #levels() {
    const { contact, signed, y } = this.shown;
    const out = [];
    for (const [kind, band] of /** @type {const} */ ([["operate", contact.operate], ["release", contact.release]])) {
      out.push({ kind, band, sign: 1 });
      if (signed && -band[1] > y[0]) out.push({ kind, band: /** @type {wire.Triple} */ ([-band[2], -band[1], -band[0]]), sign: -1 });
    }
    return out;
  }

  #levelLines() {
    const { pen } = this;
    const levels = this.#levels();
    const at = levels.map(({ band }) => this.y(band[1]));
    const { beyond } = this.shown;
    const wanted = beyond === null ? at : [...at, TOP + 8];
    const places = spread(wanted, wanted.map(() => 16), TOP, Math.max(this.bottom, TOP + 16 * wanted.length));
    if (beyond !== null) pen.text(`up to ${withUnit(beyond, "mT")}`, [this.right + 18, places[at.length] + 4], { tone: "faded" });
    levels.forEach(({ kind, band }, k) => {
      pen.line([LEFT, at[k]], [this.right, at[k]], "met", LINE, kind === "operate" ? SOLID : DASHED);
      const elbow = this.right + 9;
      pen.polyline([[this.right, at[k]], [elbow, places[k]], [elbow + 5, places[k]]], "met", HAIR);
      pen.text(`${kind} ${withUnit(band[1], "mT")}`, [elbow + 9, places[k] + 4], { tone: "met", bold: true });
    });
  }

  /** One pass: hatched where the contact is closed, its events with values and bands. @param {wire.Direction} pass @param {number} top */
  #lane(pass, top) {
    const { pen, shown } = this;
    const [bar, height] = [top + 4, 13];
    const middle = bar + height / 2;
    const right = this.runsRight(pass);
    pen.text(right ? `${pass} →` : `← ${pass}`, [LEFT - 7, bar + 11], { anchor: "end", bold: true });
    pen.line([LEFT, middle], [this.right, middle], "ink", THIN, CHAIN);
    pen.arrowhead([right ? this.right : LEFT, middle], [right ? 1 : -1, 0], 10);
    for (const [a, b] of this.#closed(pass)) {
      const [x0, x1] = [Math.min(this.x(a), this.x(b)), Math.max(this.x(a), this.x(b))];
      /** @type {Point[]} */
      const box = [[x0, bar], [x1, bar], [x1, bar + height], [x0, bar + height]];
      pen.shape(box, "paper");
      pen.shape(box, "met", CLOSES);
      pen.shape(box, "hatch");
      pen.outline(box, "met", THIN);
      if (x1 - x0 > 62) pen.text("closed", [(x0 + x1) / 2, bar + 11], { anchor: "middle", halo: true });
    }
    const events = shown.contact.happenings.filter((e) => e.pass === pass);
    const texts = events.map((e) => number(e.at, this.unit));
    const places = spread(events.map((e) => this.x(e.at)), texts.map((t) => pen.measure(t) + 10), LEFT, pen.width - 4);
    events.forEach((event, k) => {
      const whisker = bar + height + 3;
      if (event.high > event.low) {
        const [low, high] = [this.x(event.low), this.x(event.high)];
        pen.line([low, whisker], [high, whisker], "ink", THIN);
        for (const end of [low, high]) pen.line([end, whisker - 2.5], [end, whisker + 2.5], "ink", THIN);
      }
      pen.event([this.x(event.at), middle], [right ? 1 : -1, 0], event.kind);
      pen.text(texts[k], [places[k], whisker + 13], { anchor: "middle", halo: true });
    });
  }

  /** Stretches of a pass in which the contact is closed. @param {wire.Direction} pass @returns {[number, number][]} */
  #closed(pass) {
    const { contact, ends } = this.shown;
    const [start, end] = pass === "forward" ? ends : [ends[1], ends[0]];
    const sense = end >= start ? 1 : -1;
    const events = contact.happenings.filter((e) => e.pass === pass).sort((a, b) => (a.at - b.at) * sense);
    /** @type {[number, number][]} */
    const out = [];
    let since = contactState(contact, start, pass, ends).closed ? start : null;
    for (const event of events) {
      if (event.kind === "operate") since ??= event.at;
      else if (since !== null) {
        out.push([since, event.at]);
        since = null;
      }
    }
    if (since !== null) out.push([since, end]);
    return out;
  }

  /** The playhead: a line through all, a knob on the pass it runs on. @param {Pen} pen @param {number} coordinate @param {wire.Direction} pass @param {boolean} held */
  drawHead(pen, coordinate, pass, held) {
    const x = this.x(coordinate);
    const lane = this.bottom + RULER + (pass === "forward" ? 0 : LANE) + 4 + 6.5;
    pen.line([x, TOP - 4], [x, this.bottom], "ink", held ? BOLD : LINE);
    pen.line([x, this.bottom + RULER], [x, this.bottom + RULER + 2 * LANE - 2], "ink", held ? BOLD : LINE);
    pen.circle([x, lane], 5.5, { fill: "paper", stroke: "ink", width: held ? BOLD : LINE + 0.5 });
    const text = withUnit(coordinate, this.unit);
    const half = pen.measure(text, { bold: true }) / 2 + 4;
    pen.text(text, [Math.min(pen.width - half, Math.max(half, x)), TOP - 8], { anchor: "middle", bold: true, halo: true });
  }
}
