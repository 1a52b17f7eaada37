// How a number is shown: the same rules as in the report and the terminal, so that they never disagree.

/** @import { Band } from "./types/wire.js" */

/** Most decimals a unit is worth. @type {Record<string, number>} */
const MOST = {
  mm: 2, deg: 2, "°": 2, "": 2, AT: 1, "%": 1, "°C": 1, "kA/m": 1, mT: 3, T: 3, mA: 3, A: 6, closures: 0,
};

/**
 * A number without its unit: four significant digits, of amperes without zeros at the end, of six and more in groups of three; a true minus sign, a dash
 * for none.
 * @param {number | null | undefined} value
 * @param {string} unit
 */
export function number(value, unit) {
  if (value === null || value === undefined || !Number.isFinite(value)) return "–";
  const whole = value === 0 ? 1 : Math.floor(Math.log10(Math.abs(value))) + 1;
  if (whole > 5 && whole < 16) {
    const last = 10 ** (whole - 4);
    const digits = (Math.round(Math.abs(value) / last) * last).toFixed(0).replace(/\B(?=(\d{3})+$)/g, "\u00a0");
    return value < 0 ? `−${digits}` : digits;
  }
  const decimals = Math.min(Math.max(4 - whole, 0), MOST[unit] ?? 4);
  const fixed = Math.abs(value).toFixed(decimals);
  const text = unit === "A" && decimals > 0 ? fixed.replace(/\.?0+$/, "") : fixed;
  return value < 0 && /[1-9]/.test(text) ? `−${text}` : text;
}

/** @param {number | null | undefined} value @param {string} unit */
export const withUnit = (value, unit) => before(number(value, unit), unit);

/** A number that lies there or beyond. @param {string} text @param {import("./types/wire.js").Bound | null} bound */
export const bounded = (text, bound) => (bound === null ? text : `${bound === "at_least" ? "≥" : "≤"}\u00a0${text}`);

/** A number already in words before its unit. @param {string} text @param {string} unit */
export function before(text, unit) {
  if (unit === "" || text === "–") return text;
  return unitLabel(unit) === "°" ? `${text}°` : `${text}\u00a0${unit}`;
}

/** A share of this many percent is far above what counts. */
export const FAR = 1000;

/** A share in percent, far above what counts no more than that. @param {number} value */
export const capped = (value) => (value > FAR ? `over\u00a0${FAR}` : number(value, "%"));

/** With its sign always shown. @param {number} value @param {string} unit */
export function signed(value, unit) {
  const text = number(value, unit);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** What is counted has no room: it is only told how often it happens. @param {string} unit */
export const counts = (unit) => unit === "closures";

/** The unit as a heading shows it. @param {string} unit */
export const unitLabel = (unit) => (unit === "deg" ? "°" : unit);

/** A share from 0 to 1 in per cent, never rounded up to a whole that is not. @param {number} share */
export function percent(share) {
  const text = (Math.floor(share * 1e4) / 100).toFixed(2).replace(/\.?0+$/, "");
  return `${text}\u00a0%`;
}

/** `23.12 .. 28.07 mm` @param {Band} band */
export function range(band) {
  return `${number(band.low, band.unit)} .. ${withUnit(band.high, band.unit)}`;
}
