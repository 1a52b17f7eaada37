// What was tried, as the views of a choice name and write it.

import { number, withUnit } from "../number.js";
import { pathInWords } from "../answers/drivers.js";

/** @import { Candidate, ChooseAnswer, ChosenValue, FrontPoint } from "../types/wire.js" */

/**
 * @typedef {object} Tried  A design that was tried and has a room.
 * @property {FrontPoint} point
 * @property {boolean} front  none is both cheaper and better
 */

/** What one calls one of the best. @param {number} candidate  from 0 */
export const called = (candidate) => `no. ${candidate + 1}`;

/** All that has a room, by rising cost. @param {ChooseAnswer} answer @returns {Tried[]} */
export function tried(answer) {
  const all = [...answer.front.map((point) => ({ point, front: true })), ...answer.others.map((point) => ({ point, front: false }))];
  return all.sort((a, b) => a.point.cost - b.point.cost || b.point.margin - a.point.margin);
}

/** A cost with its unit. @param {ChooseAnswer} answer @param {number | null} cost */
export const costText = (answer, cost) => withUnit(cost, answer.cost_unit);

/** `price` or `mass, g`, as an axis or a column is headed. @param {ChooseAnswer} answer */
export const costHead = (answer) => (answer.cost_unit === "" ? answer.cost : `${answer.cost} ${answer.cost_unit}`);

/** What was chosen, in a line. @param {ChosenValue[]} values */
export const valuesText = (values) => values.map(({ text }) => text).join(", ");

/** One that was tried, in a sentence. @param {ChooseAnswer} answer @param {Tried} one */
export function said(answer, { point, front }) {
  const name = point.candidate === null ? "" : `${called(point.candidate)}${front ? ", none cheaper has more room" : ""}: `;
  const room = point.margin < 0 ? `${withUnit(-point.margin, answer.margin_unit)} short` : `room ${withUnit(point.margin, answer.margin_unit)}`;
  const why = point.why === null ? "" : `. ${capital(point.why)}`;
  return `${name}${answer.cost} ${costText(answer, point.cost)}, ${room}${why}. ${capital(valuesText(point.values))}`;
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** What is to be shown beside the text's own design. @param {FrontPoint} point */
export const loadable = ({ values, cost, candidate, why }) =>
  ({ values, cost, why, name: candidate === null ? "a loser" : called(candidate) });

/** @param {Candidate} candidate @param {number} k */
export const loadableCandidate = ({ values, cost }, k) => ({ values, cost, why: null, name: called(k) });

/**
 * A column of the table for each thing that may be chosen; what all its values end in stands in its head.
 * @param {ChooseAnswer} answer
 * @returns {{path: string, head: string, tail: string, texts: string[]}[]}
 */
export function columns(answer) {
  return answer.free.map(({ path }, k) => {
    const texts = answer.candidates.map(({ values }) => values[k]?.text ?? "");
    // Of quantities alone: a wire of "0.071 mm grade 1" has no unit at its end.
    const ends = texts.map((text) => /^-?[\d.]+(?: [^\d\s]\S*)?( [±+].*| [^\d\s]\S*)$/.exec(text)?.[1] ?? "");
    const tail = ends.every((end) => end === ends[0]) ? ends[0] ?? "" : "";
    return { path, head: pathInWords(path).replace(/ (?=\S$)/, "\u00a0"), tail: tail.trim(), texts: texts.map((text) => text.slice(0, text.length - tail.length).replace(/^-/, "−")) };
  });
}

/** A room as a table shows it. @param {number | null} margin @param {string} unit */
export const roomText = (margin, unit) => (margin === null ? "any" : number(margin, unit));
