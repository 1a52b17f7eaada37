// What a user may want of a choice: a search, a design beside the text's own, and that design taken.
//
// A result holds for the text it was searched for, and for each that something of it was taken into.

/**
 * @import * as wire from "./types/wire.js"
 * @import { MapPicture, Store } from "./store.js"
 */

/**
 * @typedef {object} Search  One that runs.
 * @property {number} rev
 * @property {string} text
 * @property {wire.Said<"searching"> | null} stands
 * @property {boolean} ending  given up: what it has found is on its way
 */

/**
 * @typedef {object} Choice  What the newest search has found.
 * @property {wire.ChooseAnswer | null} answer
 * @property {string | null} none  why there is no answer, or why it holds no more
 * @property {string | null} beginning  the table that a design could begin with
 * @property {Map<string, number | null>} costs  texts it holds for, each with what that design costs
 */

/**
 * @typedef {object} Beside  A design beside the text's own.
 * @property {number} seq  answers carry it back
 * @property {wire.ChosenValue[]} values  what stands otherwise
 * @property {string} name  what it is called: "no. 3"
 * @property {number} cost
 * @property {string | null} why  why it is none of the best
 * @property {number} rev  the text it was made of
 * @property {wire.Glance | null} glance
 * @property {wire.Answer | null} answer
 * @property {MapPicture | null} map
 * @property {string | null} none  why it cannot be shown
 */

/** Whether what was found is no longer of the text. @param {import("./store.js").State} state */
export const outdated = ({ choice, text }) => choice?.answer != null && !choice.costs.has(text);

export class Choosing {
  #seq = 0;
  /** What is being taken, until the text has it. @type {Beside | null} */
  #taken = null;

  /** @param {Store} store */
  constructor(store) {
    this.store = store;
  }

  /** Opens the view of the choice, or folds it: a search goes on. @param {boolean} open */
  show(open) {
    const { store } = this;
    if (open && store.state.spreading) store.showSpread(false);
    store.set({ choosing: open });
    if (open) this.look();
    else this.putAway();
  }

  /** Searches if nothing was searched yet. */
  look() {
    const { choosing, choice, search } = this.store.state;
    if (choosing && search === null && choice === null) this.begin();
  }

  /** Searches the text as it is. */
  begin() {
    const { rev, text } = this.store.state;
    this.store.set({ search: { rev, text, stands: null, ending: false } });
    this.store.send({ say: "choose", rev, go: true });
  }

  /** Gives the search up: what it has found is told. */
  end() {
    const { search } = this.store.state;
    if (search === null || search.ending) return;
    this.store.set({ search: { ...search, ending: true } });
    this.store.send({ say: "choose", rev: search.rev, go: false });
  }

  /** Puts the table that is offered into the text, and searches. */
  insert() {
    this.store.add("choose");
  }

  /** @param {wire.Said<"searching">} stands */
  searching(stands) {
    const { search } = this.store.state;
    if (search?.rev === stands.rev) this.store.set({ search: { ...search, stands } });
  }

  /** @param {wire.Said<"chosen">} told */
  chosen({ rev, answer, none, beginning }) {
    const { search, choice, text } = this.store.state;
    if (search?.rev !== rev) {
      // A file that the design names has changed.
      if (search === null && choice !== null && answer === null) this.store.set({ choice: { ...choice, none, costs: new Map() } });
      return;
    }
    if (answer !== null) {
      const costs = new Map([[search.text, answer.own_cost]]);
      this.store.set({ search: null, choice: { answer, none: null, beginning: null, costs } });
    } else if (text !== search.text) this.store.set({ search: null });
    else if (choice?.answer) this.store.set({ search: null, choice: { ...choice, none, costs: new Map() } });
    else this.store.set({ search: null, choice: { answer: null, none, beginning, costs: new Map() } });
  }

  /** Shows a design beside the text's own. @param {{values: wire.ChosenValue[], cost: number, name: string, why: string | null}} what */
  load({ values, cost, name, why }) {
    const seq = ++this.#seq;
    const { rev } = this.store.state;
    this.store.set({ beside: { seq, values, name, cost, why, rev, glance: null, answer: null, map: null, none: null } });
    this.store.send({ say: "beside", seq, values });
  }

  /** Away with it. */
  putAway() {
    if (this.store.state.beside === null) return;
    this.store.set({ beside: null });
    this.store.send({ say: "beside", seq: ++this.#seq, values: null });
  }

  /** Writes its values into the text. */
  take() {
    const { beside } = this.store.state;
    if (beside === null || this.#taken !== null) return;
    this.#taken = beside;
    this.store.take(beside.values);
  }

  /** @param {wire.Said<"beside">} told */
  besideTold({ rev, seq, glance, answer, none }) {
    const { beside } = this.store.state;
    if (beside?.seq !== seq) return;
    if (answer !== null) this.store.set({ beside: { ...beside, rev, answer } });
    else this.store.set({ beside: { ...beside, rev, none, glance: glance ?? beside.glance, answer: null } });
  }

  /** @param {MapPicture} map */
  mapped(map) {
    const { beside } = this.store.state;
    if (beside?.seq === map.header.beside) this.store.set({ beside: { ...beside, map } });
  }

  /** The text has what was asked for. @param {string} why */
  patched(why) {
    const { choice, text, choosing } = this.store.state;
    if (why === "add" && choosing && choice?.beginning) this.begin();
    if (why !== "take" || this.#taken === null) return;
    if (choice !== null) {
      const costs = new Map(choice.costs).set(text, this.#taken.cost);
      this.store.set({ choice: { ...choice, costs } });
    }
    this.#taken = null;
    this.putAway();
  }

  /** What was asked of the server will not come. */
  forget() {
    this.#taken = null;
  }
}
