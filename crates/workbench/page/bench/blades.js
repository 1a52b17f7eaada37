// Blades of drawn contacts: open or closed as the sweep has it at the playhead, and for a moment between.

/** @import { State } from "../store.js" */

import { still } from "./frame.js";
import { contactState, contacts, range } from "./playhead.js";

/** How long blades take, ms. */
const SWING = 110;

/** Whether a contact is closed where the playhead stands; `null` while nothing is known of it. @param {State} state @param {string} name */
export function closedHere(state, name) {
  const ends = range(state);
  const contact = contacts(state).find((c) => c.name === name);
  if (!ends || !contact) return null;
  return contactState(contact, state.playhead ?? ends[0], state.pass, ends).closed;
}

export class Blades {
  /** @type {Map<string, {closed: boolean, since: number}>} */
  #seen = new Map();

  /** @param {() => void} again  asks for another picture while blades move */
  constructor(again) {
    this.again = again;
  }

  /** How far a contact's blades have closed, 0 to 1. @param {State} state @param {string} name */
  closed(state, name) {
    const closed = closedHere(state, name) ?? false;
    const now = performance.now();
    const seen = this.#seen.get(name);
    if (!seen) this.#seen.set(name, { closed, since: -Infinity });
    else if (seen.closed !== closed) this.#seen.set(name, { closed, since: now });
    const since = this.#seen.get(name)?.since ?? -Infinity;
    const gone = still.matches ? 1 : Math.min(1, (now - since) / SWING);
    if (gone < 1) this.again();
    return closed ? gone : 1 - gone;
  }

  /** The state in a word. @param {State} state @param {string} name */
  word(state, name) {
    const closed = closedHere(state, name);
    return closed === null ? "" : closed ? "closed" : "open";
  }
}
