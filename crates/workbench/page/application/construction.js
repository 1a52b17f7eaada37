// A contact cut along its overlap, to scale, and what a micrometre of each of its dimensions is worth.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Pen } from "../bench/draw.js" */
/** @import { Point } from "../bench/geometry.js" */
/** @import { Rule } from "./pane.js" */

import { BAND, BOLD, DASHED, HAIR, LINE, THIN } from "../bench/draw.js";
import { choose, el } from "../dom.js";
import { range, signed, withUnit } from "../number.js";

/** Share of the pane's height for the section. */
const SECTION = 0.38;
/** How far a blade is drawn beyond the overlap, over the overlap. */
const BEYOND = 0.35;
/** Room round the section for its dimensions, px: left and right, above and below. */
const RIM = /** @type {const} */ ([72, 40]);
/** Room left of the bars for the names of the dimensions, px. */
const NAMES = 82;
/** Room above the bars for their headings, px. */
const HEAD = 44;

/** A length of the section: no zeros that nobody drew. @param {number} length  µm */
const drawn = (length) => withUnit(length, "µm").replace(/\.0+(?=\u00a0)/, "");

/** Dimensions as the answer names them, as the drawing does. @type {Record<string, string>} */
const SHORT = { "blade thickness": "thickness", "contact metals together": "metals" };

const COLUMNS = /** @type {const} */ ([
  ["operate_AT_per_um", "operate", "AT"],
  ["release_AT_per_um", "release", "AT"],
  ["force_mN_per_um", "force", "mN"],
]);

/** True of a construction whose sensitivity is stated in a coil. @param {wire.ConstructionAnswer} one */
const told = (one) => one.worth.length > 0;

/** Whether there is anything to draw. @param {State} state */
export const isBuilt = ({ answer }) => (answer?.answer.construction ?? []).some(told);

export class Construction {
  name = "Construction";
  hint = "Dimension: click its row, or use the arrow keys";
  #contacts = "";
  #row = 0;
  /** Top and height of a row of bars as last drawn, px. */
  #bars = { top: 0, tall: 1 };

  /** @param {() => void} again  asks for another picture */
  constructor(again) {
    this.again = again;
    this.pick = el("select.pick", {
      "aria-label": "Contact in section",
      onchange: () => {
        this.#contacts = this.pick.value;
        again();
      },
    });
  }

  /** @param {State} state */
  #all(state) {
    return (state.answer?.answer.construction ?? []).filter(told);
  }

  /** @param {State} state */
  #one(state) {
    const all = this.#all(state);
    return all.find(({ contacts }) => contacts.join() === this.#contacts) ?? all[0] ?? null;
  }

  /** @param {State} state */
  more(state) {
    const all = this.#all(state).map(({ contacts }) => contacts);
    if (all.length < 2) return null;
    if (all.map((names) => names.join()).join("\n") !== [...this.pick.options].map(({ value }) => value).join("\n")) {
      this.pick.replaceChildren(...all.map((names) => el("option", { value: names.join() }, names.join(", "))));
    }
    choose(this.pick, this.#one(state)?.contacts.join() ?? "");
    return this.pick;
  }

  /** The hand picks a dimension; the rows go down as the value does. @param {State} state @returns {Rule} */
  rule(state) {
    const one = this.#one(state);
    const last = (one?.worth.length ?? 1) - 1;
    return {
      ends: [0, -last], here: -this.#row, unit: "", step: 1, words: one?.worth[this.#row]?.of,
      go: (to) => {
        this.#row = Math.round(-to);
        this.again();
      },
    };
  }

  /** @param {Point} at */
  at([, y]) {
    return -Math.floor((y - this.#bars.top) / this.#bars.tall);
  }

  /** @param {Pen} pen @param {State} state */
  draw(pen, state) {
    const one = this.#one(state);
    if (!one) return pen.text("being worked out", [pen.width / 2, pen.height / 2], { anchor: "middle", tone: "faded" });
    const foot = SECTION * pen.height;
    this.#section(pen, one, foot);
    this.#worth(pen, one, foot);
  }

  /** Both blades where they overlap, metals on their faces, all to scale. @param {Pen} pen @param {wire.ConstructionAnswer} one @param {number} high */
  #section(pen, one, high) {
    const size = (/** @type {string} */ of) => one.worth.find((worth) => worth.of === of)?.size_um[0] ?? 0;
    const [gap, overlap, thick, metals] = ["gap", "overlap", "blade thickness", "contact metals together"].map(size);
    const picked = one.worth[this.#row]?.of;
    const scale = Math.min((pen.width - 2 * RIM[0]) / (overlap * (1 + 2 * BEYOND)), (high - 2 * RIM[1]) / (2 * thick + gap));
    const [x, y] = [pen.width / 2, high / 2 + 8];
    /** A rectangle by its corners, µm from the middle of the gap. */
    const box = (/** @type {number} */ a, /** @type {number} */ b, /** @type {number} */ low, /** @type {number} */ up) =>
      /** @type {Point[]} */ ([[x + scale * a, y - scale * low], [x + scale * b, y - scale * low], [x + scale * b, y - scale * up], [x + scale * a, y - scale * up]]);
    const [half, far] = [overlap / 2, overlap * (0.5 + BEYOND)];
    const blades = [box(-far, half, -gap / 2 - thick, -gap / 2), box(-half, far, gap / 2, gap / 2 + thick)];
    for (const blade of blades) {
      pen.shape(blade, "section");
      if (picked === "blade thickness") pen.shape(blade, "drive", 2 * BAND);
      pen.outline(blade, "ink", LINE);
    }
    // Blades go on beyond what is drawn.
    for (const [[from], side] of /** @type {const} */ ([[[blades[0][0]], -1], [[blades[1][1]], 1]])) {
      const [top, foot] = [from[1] - scale * thick - 3, from[1] + 3];
      pen.line([from[0], top], [from[0], foot], "paper", BOLD + 1);
      const middle = (top + foot) / 2;
      pen.polyline([[from[0], top], [from[0], middle - 5], [from[0] + 4 * side, middle - 2], [from[0] - 4 * side, middle + 2], [from[0], middle + 5], [from[0], foot]], "ink", THIN);
    }
    if (picked === "gap") pen.shape(box(-half, half, -gap / 2, gap / 2), "drive", 2 * BAND);
    if (picked === "overlap") pen.shape(box(-half, half, -gap / 2 - thick, gap / 2 + thick), "drive", 2 * BAND);
    const metal = picked === "contact metals together" ? "drive" : "ink";
    for (const side of [-1, 1]) {
      const face = box(-half, half, side * gap / 2, side * (gap - metals) / 2);
      pen.shape(face, metal);
      // However thin it is, a face is seen.
      pen.line(face[0], face[1], metal, metal === "drive" ? BOLD : LINE);
    }
    // The other blade's end, behind this one.
    pen.line([x + scale * half, y - scale * gap / 2], [x + scale * half, y - scale * (gap / 2 + thick)], "ink", HAIR, DASHED);
    const above = y - scale * (gap / 2 + thick) - 18;
    pen.dimension(
      [[x - scale * half, y - scale * (gap / 2 + thick)], [x + scale * half, y - scale * (gap / 2 + thick)]],
      [[x - scale * half, above], [x + scale * half, above]], "",
    );
    pen.text(`overlap ${drawn(overlap)}`, [x, above - 8], { anchor: "middle" });
    const right = x + scale * far + 14;
    this.#upright(pen, [y - scale * gap / 2, y + scale * gap / 2], [x + scale * half + 2, right], ["gap", drawn(gap)], true);
    const left = x - scale * far - 14;
    this.#upright(pen, [y + scale * gap / 2, y + scale * (gap / 2 + thick)], [x - scale * far, left], ["thick", drawn(thick)], false);
    pen.text(`to scale; contact metals ${drawn(metals)} together`, [x, high - 4], { anchor: "middle", tone: "faded" });
  }

  /** An upright dimension beside the section. @param {Pen} pen @param {[number, number]} ends  upper and lower, px @param {[number, number]} across  from where to where, px @param {[string, string]} words @param {boolean} right */
  #upright(pen, [upper, lower], [from, at], words, right) {
    for (const y of [upper, lower]) pen.line([from, y], [at + (right ? 4 : -4), y], "ink", HAIR);
    if (lower - upper > 24) {
      pen.line([at, upper], [at, lower], "ink", HAIR);
      pen.arrowhead([at, upper], [0, -1], 8);
      pen.arrowhead([at, lower], [0, 1], 8);
    } else {
      pen.line([at, upper - 14], [at, lower + 14], "ink", HAIR);
      pen.arrowhead([at, upper], [0, 1], 8);
      pen.arrowhead([at, lower], [0, -1], 8);
    }
    const middle = (upper + lower) / 2;
    words.forEach((line, k) => pen.text(line, [at + (right ? 8 : -8), middle - 3 + 14 * k], { anchor: right ? "start" : "end" }));
  }

  /** What a micrometre more of each is worth, as bars. @param {Pen} pen @param {wire.ConstructionAnswer} one @param {number} top */
  #worth(pen, one, top) {
    const tall = Math.max(18, Math.min(46, (pen.height - top - HEAD - 6) / one.worth.length));
    this.#bars = { top: top + HEAD, tall };
    const wide = (pen.width - NAMES - 12) / COLUMNS.length;
    pen.line([12, top + 6], [pen.width - 12, top + 6], "hairline", THIN);
    pen.text("1 µm more", [12, top + 22], { bold: true });
    pen.text("is worth", [12, top + 37], { tone: "faded" });
    const row = this.#bars.top + this.#row * tall;
    pen.shape([[8, row], [pen.width - 8, row], [pen.width - 8, row + tall], [8, row + tall]], "drive", BAND);
    one.worth.forEach(({ of }, k) => pen.text(SHORT[of] ?? of, [12, this.#bars.top + (k + 0.5) * tall + 4], { bold: k === this.#row }));
    COLUMNS.forEach(([key, words, unit], c) => {
      const middle = NAMES + (c + 0.5) * wide;
      pen.text(words, [middle, top + 22], { anchor: "middle", bold: true });
      pen.text(unit, [middle, top + 37], { anchor: "middle", tone: "faded" });
      const most = Math.max(1e-12, ...one.worth.map((worth) => Math.abs(worth[key])));
      pen.line([middle, this.#bars.top], [middle, this.#bars.top + one.worth.length * tall], "ink", THIN);
      one.worth.forEach((worth, k) => {
        const [y, long] = [this.#bars.top + k * tall, (0.5 * wide - 10) * (worth[key] / most)];
        const bar = /** @type {Point[]} */ ([[middle, y + 5], [middle + long, y + 5], [middle + long, y + 0.42 * tall], [middle, y + 0.42 * tall]]);
        pen.shape(bar, "drive", k === this.#row ? 1 : 0.55);
        pen.text(signed(worth[key], ""), [middle, y + tall - 5], { anchor: "middle", halo: true });
      });
    });
  }

  /** @param {State} state */
  says(state) {
    const one = this.#one(state);
    const worth = one?.worth[this.#row];
    if (!one || !worth) return ["being worked out"];
    const [{ spring }, [size, low, high]] = [one, worth.size_um];
    const limits = low === high ? "" : ` (${range({ value: size, low, high, unit: "µm" })})`;
    const each = COLUMNS.map(([key, words, unit]) => `${signed(worth[key], `${unit}/µm`)} ${unit} of ${words === "force" ? "force at operate" : words}`);
    return [
      `${one.contacts.join(", ")}: ${worth.of} ${withUnit(size, "µm")}${limits}`,
      `a micrometre more is worth ${each.join(", ")}`,
      ...(spring ? [`the spring that closes at ${withUnit(spring.operate_AT, "AT")} opens at ${withUnit(spring.release_AT, "AT")} and leaves ${withUnit(spring.force_mN, "mN")} of force at operate`] : []),
    ];
  }
}
