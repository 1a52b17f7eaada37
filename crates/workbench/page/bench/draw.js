// The drawing language: the few marks every view of the bench is made of.
//
// A Pen draws on one canvas in CSS pixels. Colours are the page's own custom properties, read anew when
// the page turns from paper to board. Nothing is said by colour alone.

/** @import { Point } from "./geometry.js" */

import { add, along, length, normal, scaled, sub, unit } from "./geometry.js";

/** Tones of the drawing office: custom properties of the page. */
const TONES = /** @type {const} */ (["paper", "ink", "faded", "hairline", "met", "at-risk", "missed", "drive"]);

/** @typedef {(typeof TONES)[number]} Tone */
/** @typedef {"hatch" | "dots" | "section" | "keep-out"} Pattern */
/** @typedef {{size?: number, bold?: boolean, tone?: Tone, anchor?: "start" | "middle" | "end", halo?: boolean, angle?: number}} Lettering */

/** Widths of lines, px. */
export const HAIR = 0.7;
export const THIN = 1;
export const LINE = 1.5;
export const BOLD = 2.6;

/** Dashes. */
export const SOLID = /** @type {number[]} */ ([]);
export const DASHED = [6, 4];
export const HIDDEN = [4, 2.5];
export const CHAIN = [14, 3, 2, 3];
/** A moving part's other position. */
export const GHOST = [12, 3, 2, 3, 2, 3];

/** So many widths of text are remembered. */
const KNOWN = 4000;

/** Opacity of the tints where the contact closes, where it holds, between the limits of a border, of a drive's band. */
export const CLOSES = 0.18;
export const HOLDS = 0.08;
export const EDGE = 0.2;
export const BAND = 0.16;

export class Pen {
  width = 0;
  height = 0;
  #ratio = 0;
  #paper;
  /** @type {Record<Tone, string>} */
  #tones = { paper: "", ink: "", faded: "", hairline: "", met: "", "at-risk": "", missed: "", drive: "" };
  #family = "sans-serif";
  /** The font the context has; empty where that is not known. */
  #lettering = "";
  /** @type {Map<Pattern, CanvasPattern>} */
  #patterns = new Map();

  /**
   * @param {HTMLCanvasElement} canvas  its size on the page is its parent's business
   * @param {boolean} [paper]  a sheet of paper; else a see-through one, to lie above another
   */
  constructor(canvas, paper = false) {
    this.canvas = canvas;
    const ink = canvas.getContext("2d", { alpha: !paper });
    if (!ink) throw new Error("this browser draws on no canvas");
    this.#paper = paper;
    /** The context itself, for paths made elsewhere. */
    this.ink = ink;
    this.restyle();
  }

  /** Reads the colours and the typeface from the page. */
  restyle() {
    const style = getComputedStyle(this.canvas);
    for (const tone of TONES) this.#tones[tone] = style.getPropertyValue(`--${tone}`).trim() || "#808080";
    this.#family = style.fontFamily || "sans-serif";
    this.#patterns.clear();
    this.#widths.clear();
  }

  /** Takes a size in CSS pixels; the bitmap follows the screen's own. @param {number} width @param {number} height */
  resize(width, height) {
    const ratio = Math.min(3, globalThis.devicePixelRatio || 1);
    if (width === this.width && height === this.height && ratio === this.#ratio) return;
    if (ratio !== this.#ratio) this.#patterns.clear();
    [this.width, this.height, this.#ratio] = [width, height, ratio];
    this.canvas.width = Math.max(1, Math.round(width * ratio));
    this.canvas.height = Math.max(1, Math.round(height * ratio));
    this.#lettering = "";
  }

  /** An empty sheet. */
  clear() {
    const { ink } = this;
    this.#taken = [];
    ink.setTransform(this.#ratio, 0, 0, this.#ratio, 0, 0);
    ink.globalAlpha = 1;
    ink.setLineDash(SOLID);
    ink.lineCap = "butt";
    ink.lineJoin = "round";
    if (!this.#paper) {
      ink.clearRect(0, 0, this.width, this.height);
      return;
    }
    ink.fillStyle = this.#tones.paper;
    ink.fillRect(0, 0, this.width, this.height);
  }

  /** @param {Tone} tone */
  tone(tone) {
    return this.#tones[tone];
  }

  /** Draws inside a rectangle only. @param {number} x @param {number} y @param {number} w @param {number} h @param {() => void} draw */
  clipped(x, y, w, h, draw) {
    this.ink.save();
    this.ink.beginPath();
    this.ink.rect(x, y, w, h);
    this.ink.clip();
    draw();
    this.ink.restore();
    this.#lettering = "";
  }

  /** Draws paler: what is out of date, or not of this plane. @param {number} alpha @param {() => void} draw */
  faint(alpha, draw) {
    this.ink.globalAlpha = alpha;
    draw();
    this.ink.globalAlpha = 1;
  }

  /** @param {Tone} tone @param {number} width @param {number[]} dash */
  #stroke(tone, width, dash) {
    const { ink } = this;
    ink.strokeStyle = this.#tones[tone];
    ink.lineWidth = width;
    ink.setLineDash(dash);
    ink.stroke();
  }

  /** Strokes the path made on `ink`. @param {Tone} tone @param {number} width @param {number[]} [dash] */
  strokePath(tone, width, dash = SOLID) {
    this.#stroke(tone, width, dash);
  }

  /** Fills the path made on `ink`, odd overlaps only. @param {Tone | Pattern} with_ @param {number} [opacity] */
  fillPath(with_, opacity = 1) {
    const { ink } = this;
    const before = ink.globalAlpha;
    ink.globalAlpha = before * opacity;
    ink.fillStyle = with_ in this.#tones ? this.#tones[/** @type {Tone} */ (with_)] : this.#pattern(/** @type {Pattern} */ (with_));
    ink.fill("evenodd");
    ink.globalAlpha = before;
  }

  /** @param {Point[]} points @param {boolean} closed */
  #trace(points, closed) {
    const { ink } = this;
    ink.beginPath();
    if (points.length === 0) return;
    ink.moveTo(points[0][0], points[0][1]);
    for (let i = 1; i < points.length; i += 1) ink.lineTo(points[i][0], points[i][1]);
    if (closed) ink.closePath();
  }

  /** @param {Point} from @param {Point} to @param {Tone} tone @param {number} width @param {number[]} [dash] */
  line(from, to, tone, width, dash = SOLID) {
    const { ink } = this;
    ink.beginPath();
    ink.moveTo(from[0], from[1]);
    ink.lineTo(to[0], to[1]);
    this.#stroke(tone, width, dash);
  }

  /** @param {Point[]} points @param {Tone} tone @param {number} width @param {number[]} [dash] */
  polyline(points, tone, width, dash = SOLID) {
    this.#trace(points, false);
    this.#stroke(tone, width, dash);
  }

  /** An outline. @param {Point[]} points @param {Tone} tone @param {number} width @param {number[]} [dash] */
  outline(points, tone, width, dash = SOLID) {
    this.#trace(points, true);
    this.#stroke(tone, width, dash);
  }

  /** A filled shape. @param {Point[]} points @param {Tone | Pattern} with_ @param {number} [opacity] */
  shape(points, with_, opacity = 1) {
    this.#trace(points, true);
    this.fillPath(with_, opacity);
  }

  /** @param {Point} centre @param {number} radius @param {{fill?: Tone, stroke?: Tone, width?: number}} as */
  circle(centre, radius, { fill, stroke, width = THIN }) {
    this.ink.beginPath();
    this.ink.arc(centre[0], centre[1], Math.max(0, radius), 0, 2 * Math.PI);
    if (fill) this.fillPath(fill);
    if (stroke) this.#stroke(stroke, width, SOLID);
  }

  /** @param {number} size @param {boolean} bold */
  #font(size, bold) {
    const font = `${bold ? "700 " : ""}${size}px ${this.#family}`;
    // The context tells its font in other words than it was given, and takes its time to.
    if (font === this.#lettering) return;
    this.ink.font = font;
    this.#lettering = font;
  }

  /** Widths measured before: to measure costs far more than to remember. @type {Map<string, number>} */
  #widths = new Map();

  /** Width of a line of text, px. @param {string} text @param {Lettering} [as] */
  measure(text, { size = 12, bold = false } = {}) {
    const key = `${bold} ${size} ${text}`;
    let wide = this.#widths.get(key);
    if (wide === undefined) {
      this.#font(size, bold);
      wide = this.ink.measureText(text).width;
      if (this.#widths.size >= KNOWN) this.#widths.clear();
      this.#widths.set(key, wide);
    }
    return wide;
  }

  /** Rooms taken by labels and bodies since the sheet was empty: left, top, right, bottom. @type {[number, number, number, number][]} */
  #taken = [];

  /** The room a level line of text takes. @param {string} text @param {Point} at @param {Lettering} as @returns {[number, number, number, number]} */
  #room(text, at, as) {
    const wide = this.measure(text, as);
    const left = at[0] - { start: 0, middle: wide / 2, end: wide }[as.anchor ?? "start"];
    const size = as.size ?? 12;
    return [left, at[1] - 0.8 * size, left + wide, at[1] + 0.25 * size];
  }

  /** Keeps labels off what is drawn within a box. @param {number[]} low @param {number[]} high */
  keep(low, high) {
    this.#taken.push([low[0], low[1], high[0], high[1]]);
  }

  /** Whether a level line of text lies on the sheet, on no other label and on nothing kept free. @param {string} text @param {Point} at @param {Lettering} [as] */
  free(text, at, as = {}) {
    const [l, t, r, b] = this.#room(text, at, as);
    return l > 2 && t > 2 && r < this.width - 2 && b < this.height - 2
      && !this.#taken.some(([left, top, right, bottom]) => l < right + 2 && r > left - 2 && t < bottom + 2 && b > top - 2);
  }

  /** A line of text; `at` is on its base line. One with a halo keeps its place to itself. @param {string} text @param {Point} at @param {Lettering} [as] */
  text(text, at, { size = 12, bold = false, tone = "ink", anchor = "start", halo = false, angle = 0 } = {}) {
    const { ink } = this;
    if (halo && angle === 0) this.#taken.push(this.#room(text, at, { size, bold, anchor }));
    this.#font(size, bold);
    ink.textAlign = anchor === "middle" ? "center" : anchor;
    let [x, y] = at;
    if (angle !== 0) {
      ink.save();
      ink.translate(x, y);
      ink.rotate(angle);
      [x, y] = [0, 0];
    }
    if (halo) {
      ink.strokeStyle = this.#tones.paper;
      ink.lineWidth = 4;
      ink.setLineDash(SOLID);
      ink.strokeText(text, x, y);
    }
    ink.fillStyle = this.#tones[tone];
    ink.fillText(text, x, y);
    if (angle !== 0) ink.restore();
  }

  /** A slender arrowhead with its tip at `tip`. @param {Point} tip @param {Point} way @param {number} size @param {Tone} [tone] */
  arrowhead(tip, way, size, tone = "ink") {
    const forward = unit(way);
    const back = along(tip, forward, -size);
    const side = scaled(normal(forward), size / 3.2);
    this.shape([tip, add(back, side), sub(back, side)], tone);
  }

  /** An arrow seen on end: its point as a dot, its feathers as a cross. @param {Point} at @param {number} radius @param {boolean} towards */
  endOn(at, radius, towards) {
    this.circle(at, radius, { fill: "paper", stroke: "ink" });
    if (towards) {
      this.circle(at, Math.max(1, radius * 0.3), { fill: "ink" });
      return;
    }
    const d = radius * Math.SQRT1_2;
    this.line(add(at, [-d, -d]), add(at, [d, d]), "ink", THIN);
    this.line(add(at, [-d, d]), add(at, [d, -d]), "ink", THIN);
  }

  /** A triangle pointing along the motion: filled where the contact operates, open where it releases. @param {Point} at @param {Point} way @param {"operate" | "release"} kind */
  event(at, way, kind) {
    const forward = unit(way);
    const side = normal(forward);
    const back = along(at, forward, -5);
    const corners = [along(at, forward, 6.5), along(back, side, 5.5), along(back, side, -5.5)];
    this.shape(corners, kind === "operate" ? "ink" : "paper");
    this.outline(corners, "ink", LINE);
  }

  /** A chain line with an arrow at its end: a path. @param {Point[]} points */
  chain(points) {
    if (points.length < 2) return;
    this.polyline(points, "ink", THIN, CHAIN);
    const tip = points[points.length - 1];
    const before = points.findLast((p) => length(sub(tip, p)) > 4);
    if (before) this.arrowhead(tip, sub(tip, before), 11);
  }

  /**
   * A dimension line [iso129] from `ends[0]` to `ends[1]` for the features at `feet`: extension lines,
   * arrowheads, and the value above the line, or beside it where it does not fit between.
   * @param {[Point, Point]} feet @param {[Point, Point]} ends @param {string} value
   */
  dimension(feet, ends, value) {
    const [a, b] = ends;
    const span = length(sub(b, a));
    if (span < 1) return;
    const forward = unit(sub(b, a));
    feet.forEach((foot, i) => {
      const reach = sub(ends[i], foot);
      if (length(reach) > 6) {
        const out = unit(reach);
        this.line(along(foot, out, 3), along(ends[i], out, 4), "ink", HAIR);
      }
    });
    const wide = this.measure(value);
    const inside = span > wide + 26;
    const back = scaled(forward, -1);
    if (inside) {
      this.line(a, b, "ink", HAIR);
      this.arrowhead(b, forward, 9);
      this.arrowhead(a, back, 9);
    } else {
      this.line(along(a, forward, -16), along(b, forward, 16), "ink", HAIR);
      this.arrowhead(a, forward, 9);
      this.arrowhead(b, back, 9);
    }
    // Text reads from below or from the right.
    let angle = Math.atan2(forward[1], forward[0]);
    if (angle > 1.56) angle -= Math.PI;
    else if (angle <= -1.59) angle += Math.PI;
    const up = /** @type {Point} */ ([Math.sin(angle), -Math.cos(angle)]);
    const middle = scaled(add(a, b), 0.5);
    if (inside || span > wide + 4) {
      this.text(value, along(middle, up, 4), { anchor: "middle", halo: true, angle });
    } else if (up[1] > -0.5) {
      // Upright and too short: level text at the upper arrow.
      this.text(value, [middle[0] + 6, Math.min(a[1], b[1]) - 19], { anchor: "end", halo: true });
    } else {
      const right = a[0] > b[0] ? a : b;
      this.text(value, add(right, [20, 4]), { halo: true });
    }
  }

  /** @param {Pattern} name */
  #pattern(name) {
    const known = this.#patterns.get(name);
    if (known) return known;
    // Tiles of whole device pixels, so that no seam shows.
    const ratio = this.#ratio;
    const size = Math.round({ hatch: 10, dots: 8, section: 7, "keep-out": 8 }[name] * ratio);
    const tile = new OffscreenCanvas(size, size);
    const ink = tile.getContext("2d");
    if (!ink) throw new Error("this browser draws no patterns");
    ink.strokeStyle = ink.fillStyle = this.#tones[name === "hatch" || name === "dots" ? "met" : "ink"];
    ink.lineWidth = { hatch: 0.85, dots: 0, section: HAIR, "keep-out": HAIR }[name] * ratio;
    ink.beginPath();
    if (name === "dots") {
      for (const [x, y] of [[0.25, 0.25], [0.75, 0.75]]) {
        ink.moveTo(x * size, y * size);
        ink.arc(x * size, y * size, 0.9 * ratio, 0, 2 * Math.PI);
      }
      ink.fill();
    } else {
      for (const shift of [-size, 0, size]) {
        ink.moveTo(shift - size, 2 * size);
        ink.lineTo(shift + 2 * size, -size);
        if (name === "keep-out") {
          ink.moveTo(shift - size, -size);
          ink.lineTo(shift + 2 * size, 2 * size);
        }
      }
      ink.stroke();
    }
    const pattern = this.ink.createPattern(tile, "repeat");
    if (!pattern) throw new Error("this browser draws no patterns");
    pattern.setTransform(new DOMMatrix([1 / ratio, 0, 0, 1 / ratio, 0, 0]));
    this.#patterns.set(name, pattern);
    return pattern;
  }
}
