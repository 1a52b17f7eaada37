// What a study tells of: its events, the room of each demand, and whether that is met.

import { counts, number, withUnit } from "../number.js";

/** @import { DemandSpread, Distribution, DriverShare, EventSpread, HistogramAt, SpreadAnswer } from "../types/wire.js" */

/**
 * @typedef {object} Figure  Something that is spread over the units.
 * @property {string} key  names it, also in the study of another text
 * @property {string} name
 * @property {EventSpread | null} event
 * @property {DemandSpread | null} demand
 * @property {Distribution | null} at
 * @property {string} unit
 * @property {DriverShare[]} drivers
 */

/** @param {EventSpread} event */
export const eventKey = ({ contact, kind, direction, lobe }) => `${contact} ${kind} ${direction} ${lobe}`;

/** @param {SpreadAnswer} answer @returns {Figure[]} */
export function figures(answer) {
  const several = new Set([...answer.events, ...answer.demands].map(({ contact }) => contact)).size > 1;
  const lobes = new Set(answer.events.map(({ lobe }) => lobe)).size > 1;
  const of = (/** @type {string} */ contact) => (several ? `${contact} ` : "");
  return [
    ...answer.demands.map((demand, k) => ({
      key: `room ${k}`, name: `room of ${of(demand.contact)}${demand.text}`, event: null, demand, at: demand.room, unit: demand.unit, drivers: demand.drivers,
    })),
    ...answer.demands.flatMap((demand, k) => (demand.drivers_of_meeting.length === 0 ? [] : [{
      key: `met ${k}`, name: `${of(demand.contact)}${demand.text}, met or not`, event: null, demand, at: demand.room, unit: demand.unit,
      drivers: demand.drivers_of_meeting,
    }])),
    ...answer.events.map((event) => ({
      key: eventKey(event), name: `${of(event.contact)}${event.kind}, ${event.direction}${lobes ? `, lobe ${event.lobe}` : ""}`, event, demand: null,
      at: event.at, unit: event.worst_case.unit, drivers: event.drivers,
    })),
    ...answer.figures.filter(({ values }) => values !== null).map((figure) => ({
      key: `figure ${figure.name}`, name: figure.name, event: null, demand: null, at: figure.values, unit: figure.unit, drivers: figure.drivers,
    })),
  ];
}

/** What is shown while nobody has chosen: the demand that most units miss while some meet it, else the first event. @param {Figure[]} all */
export function first(all) {
  const share = (/** @type {Figure} */ { demand }) => (demand ? demand.share.met / demand.share.of : 1);
  const undecided = all.filter((figure) => figure.key.startsWith("room") && share(figure) > 0 && share(figure) < 1);
  return undecided.sort((a, b) => share(a) - share(b))[0] ?? all.find(({ event }) => event !== null) ?? all[0] ?? null;
}

/** @typedef {{low: number, high: number, units: number}} Bin */

/** About so many bins of a histogram, each of several of its own. @param {HistogramAt} histogram @param {number} count @returns {Bin[]} */
export function bins({ low, high, counts }, count) {
  const each = Math.max(1, Math.round(counts.length / count));
  const width = (high - low) / counts.length;
  const made = [];
  for (let k = 0; k < counts.length; k += each) {
    const part = counts.slice(k, k + each);
    made.push({ low: low + k * width, high: low + (k + part.length) * width, units: part.reduce((sum, n) => sum + n, 0) });
  }
  return made;
}

/** Which tone of voice: as the signs of verdicts. @param {DemandSpread} demand @returns {"met" | "at_risk" | "missed"} */
export const standing = ({ share }) => (share.met === share.of ? "met" : share.met === 0 ? "missed" : "at_risk");

/** A whole number in groups of three. @param {number} count */
export const grouped = (count) => String(count).replace(/\B(?=(\d{3})+$)/g, "\u00a0");

/** A share in per cent: as many digits as its misses are worth, never rounded up to a whole that is not. @param {number} share */
export function shareText(share) {
  if (share === 0 || share === 1) return `${100 * share}\u00a0%`;
  const rest = 100 * Math.min(share, 1 - share);
  const decimals = Math.min(6, Math.max(1, 1 - Math.floor(Math.log10(rest))));
  const scale = 10 ** decimals;
  const text = ((share > 0.5 ? Math.floor : Math.ceil)(share * 100 * scale) / scale).toFixed(decimals);
  return `${text.replace(/\.?0+$/, "")}\u00a0%`;
}

/** What a figure does, in a sentence. @param {Figure} figure */
export function said({ at, unit, event, demand }) {
  if (at === null) return event ? "No unit has it." : "No unit has an event to measure it to.";
  if (demand && counts(unit)) {
    const { value, unit: worst } = at.least;
    return value === 0 ? "As often as is demanded, in every unit." : `Off by ${number(Math.abs(value ?? NaN), unit)} in the worst unit, ${grouped(worst)}.`;
  }
  const quantile = (/** @type {number} */ share) => at.quantiles.find((q) => q.share === share)?.value ?? null;
  const middle = [quantile(0.00135), quantile(0.99865)];
  const deviation = `mean ${withUnit(at.mean, unit)}, deviation ${withUnit(at.deviation, unit)}`;
  const most = middle[0] === null ? "" : `; 99.73\u00a0% in ${number(middle[0], unit)} .. ${withUnit(middle[1], unit)}`;
  const absent = event && event.absent > 0 ? `; ${grouped(event.absent)} units do not have it` : "";
  const worst = demand?.worst_unit && demand.worst_unit.value !== null ? `; worst unit ${grouped(demand.worst_unit.unit)}: ${withUnit(demand.worst_unit.value, unit)}` : "";
  return `${deviation}${most}${worst}${absent}`;
}
