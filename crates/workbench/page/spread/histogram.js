// Where events lie over the units: one figure large, and all of them on the sweep.

import { tickText, ticks } from "../bench/labels.js";
import { number, unitLabel } from "../number.js";
import { bins, eventKey } from "./figures.js";
import { at, drawing, svg } from "./svg.js";

/**
 * @import { EventSpread, SpreadAnswer } from "../types/wire.js"
 * @import { Bin, Figure } from "./figures.js"
 */

const MARGIN = 12;
const TOP = 34;
const BELOW = 20;

/** The outline of bars over a base line. @param {Bin[]} all @param {(value: number) => number} x @param {number} base @param {number} height */
function outline(all, x, base, height) {
  const most = Math.max(1, ...all.map(({ units }) => units));
  const steps = all.map(({ low, high, units }) => {
    const top = units === 0 ? base : Math.min(base - 1, at(base - (units / most) * height));
    return `H${at(x(low))}V${top}H${at(x(high))}`;
  });
  return all.length === 0 ? "" : `M${at(x(all[0].low))} ${base}${steps.join("")}V${base}Z`;
}

/** A filled or an open triangle on `[x, y]`, pointing right or left. @param {number} x @param {number} y @param {"operate" | "release"} kind @param {boolean} right */
const triangle = (x, y, kind, right) => {
  const way = right ? 1 : -1;
  return svg(`path.mark.${kind}`, { d: `M${at(x + 5 * way)} ${y}l${-8 * way} -4.5v9z` });
};

/**
 * One figure: bars, worst case as dashed lines, nominal as a full one; for a room the side that misses is
 * hatched.
 * @param {Figure} figure @param {number | null} nominal @param {number} width @param {number} height
 */
export function histogram(figure, nominal, width, height) {
  const { at: spread, unit, event, demand } = figure;
  if (spread === null) return null;
  const { low, high } = spread.histogram;
  const worst = event ? [event.worst_case.low, event.worst_case.high] : [demand?.room_worst_case ?? null];
  const known = [low, high, nominal, ...worst, ...(demand && (low < 0 || (demand.room_worst_case ?? 1) < 0) ? [0] : [])].filter((v) => v !== null);
  const [from, to] = [Math.min(...known), Math.max(...known)];
  const x = (/** @type {number} */ value) => MARGIN + ((value - from) / (to - from || 1)) * (width - 2 * MARGIN);
  const base = height - BELOW;
  const { step, at: places } = ticks(from, to, Math.max(2, Math.floor(width / 70)));
  const label = (/** @type {number} */ value, /** @type {string} */ word, /** @type {number} */ y, /** @type {"start" | "end" | "middle"} */ anchor) => {
    const wide = 6.6 * (word.length + number(value, unit).length + 1);
    const free = { start: [0, width - wide], middle: [wide / 2, width - wide / 2], end: [wide, width] }[anchor];
    return svg("text", { x: at(Math.min(free[1], Math.max(free[0], x(value)))), y, "text-anchor": anchor }, `${word} ${number(value, unit)}`);
  };
  const upright = (/** @type {string} */ kind, /** @type {number} */ value, /** @type {number} */ top) => svg(`path.${kind}`, { d: `M${at(x(value))} ${top}V${base}` });
  const missed = demand !== null && from < 0;
  return drawing(
    "histogram", width, height,
    missed && svg("rect.missed-side", { x: MARGIN, y: TOP, width: Math.max(0, at(x(0) - MARGIN)), height: base - TOP }),
    svg("path.bars", { d: outline(bins(spread.histogram, Math.min(125, width / 4)), x, base, base - TOP - 2) }),
    svg("path.axis", { d: `M${MARGIN} ${base + 0.5}H${width - MARGIN}${places.map((v) => `M${at(x(v))} ${base}v4`).join("")}` }),
    ...places.map((v) => svg("text.tick", { x: at(x(v)), y: height - 4, "text-anchor": "middle" }, tickText(v, step))),
    ...worst.flatMap((value, k) => (value === null ? [] : [
      upright("worst", value, 14), label(value, "worst", 10, worst.length > 1 && k === 1 ? "end" : "start"),
    ])),
    ...(nominal === null ? [] : [upright("nominal", nominal, 26), label(nominal, "nominal", 24, "middle")]),
    ...(missed ? [upright("limit", 0, TOP), svg("text.tick", { x: at(x(0) + 4), y: TOP + 12 }, "limit")] : []),
    event && nominal !== null && triangle(x(nominal), base - 6, event.kind, event.direction === "forward"),
  );
}

/**
 * @typedef {object} Ends  How the sweep lies on the sheet.
 * @property {number} from  coordinate where it starts
 * @property {number} to
 * @property {number} left  px
 * @property {number} right
 */

/** Height of a lane and of the ruler below both, px. */
const LANE = { roomy: 46, low: 35 };
const RULER = 20;

/** All events on the sweep: the way there above, the way back below. @param {SpreadAnswer} answer @param {Ends} ends @param {"roomy" | "low"} room @param {number} width @param {string | null} chosen @param {(key: string) => void} choose */
export function lanes(answer, ends, room, width, chosen, choose) {
  const { from, to, left, right } = ends;
  const tall = LANE[room];
  const [low, high] = [Math.min(from, to), Math.max(from, to)];
  const x = (/** @type {number} */ value) => left + ((value - low) / (high - low)) * (right - left);
  const { step, at: places } = ticks(low, high, Math.max(2, Math.floor((right - left) / 80)));
  const lane = (/** @type {"forward" | "back"} */ direction, /** @type {number} */ top) => {
    const base = top + tall - 8;
    const runsRight = (direction === "forward") === to >= from;
    const mine = answer.events.filter((event) => event.direction === direction);
    return svg("g.lane", {},
      svg("text", { x: left - 8, y: base - 8, "text-anchor": "end" }, runsRight ? `${direction} →` : `← ${direction}`),
      svg("path.axis", { d: `M${left} ${base + 0.5}H${right}` }),
      ...mine.map((event) => onLane(event, x, base, tall - 16, runsRight, chosen === eventKey(event), choose)));
  };
  return drawing(
    "lanes", width, 2 * tall + RULER,
    lane("forward", 0), lane("back", tall),
    svg("path.axis", { d: places.map((v) => `M${at(x(v))} ${2 * tall - 6}v4`).join("") }),
    ...places.map((v) => svg("text.tick", { x: at(x(v)), y: 2 * tall + 10, "text-anchor": "middle" }, tickText(v, step))),
    svg("text.tick", { x: right + 18, y: 2 * tall + 10 }, unitLabel(answer.unit)),
  );
}

/** @param {EventSpread} event @param {(value: number) => number} x @param {number} base @param {number} high @param {boolean} right @param {boolean} chosen @param {(key: string) => void} choose */
function onLane(event, x, base, high, right, chosen, choose) {
  const { worst_case: band, at: spread } = event;
  const [a, b] = [x(band.low), x(band.high)].sort((p, q) => p - q);
  const made = svg(
    chosen ? "g.on-lane.chosen" : "g.on-lane", { "data-figure": eventKey(event) },
    svg("rect.grasp", { x: at(a - 6), y: base - high - 6, width: at(b - a + 12), height: high + 12 }),
    spread && svg("path.bars", { d: outline(bins(spread.histogram, Math.min(125, Math.max(6, b - a))), x, base, high) }),
    svg("path.worst", { d: `M${at(a)} ${base - 6}v9M${at(b)} ${base - 6}v9` }),
    band.value !== null && svg("path.nominal", { d: `M${at(x(band.value))} ${base - high}V${base}` }),
    band.value !== null && triangle(x(band.value), base - high - 1, event.kind, right),
  );
  made.addEventListener("click", () => choose(eventKey(event)));
  return made;
}
