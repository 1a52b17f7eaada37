// What to choose: the search and how far it is, what it has found as a plot and a table, what stands in the way
// where nothing is found, and what to write where nothing is free.

import { el, say, sign, tool } from "../dom.js";
import { outdated } from "../choice.js";
import { withUnit } from "../number.js";
import { Front, key } from "./front.js";
import { costText } from "./points.js";
import { Table } from "./table.js";

/**
 * @import { ChooseAnswer } from "../types/wire.js"
 * @import { State, Store } from "../store.js"
 * @import { Choice, Search } from "../choice.js"
 */

/** A time to wait, about. @param {number} seconds */
export const about = (seconds) =>
  seconds < 1.5 ? "a second" : seconds < 100 ? `${Math.ceil(seconds)} s` : seconds < 5400 ? `${Math.round(seconds / 60)} min` : `${Math.round(seconds / 3600)} h`;

/** How far a search is. @param {Search} search */
export function progress({ stands, ending }) {
  if (stands === null) return "Searching …";
  const { done, of, found, cheapest, left } = stands;
  const best = found === 0 ? "none found yet" : `${found} found, from ${withUnit(cheapest, "")}`;
  if (ending) return `Ending: ${done} of ${of} tried, ${best}`;
  return `${done} of ${of} tried, ${best}${left === null ? "" : `; about ${about(left)} left`}`;
}

/** What was searched. @param {ChooseAnswer} answer */
function searched({ combinations, tried, found, interrupted, provenance }) {
  const counted = `${combinations} combination${combinations === 1 ? "" : "s"}${interrupted ? `, ${tried} tried` : ""}`;
  return `${counted}, ${found} meet${found === 1 ? "s" : ""} all, seed ${provenance.seed}`;
}

export class ChoosePane {
  #status = el("p.small.choose-status");
  #heard = el("p.only-heard", { role: "status" });
  #progress = el("progress.progress", { max: 1, "aria-label": "The search goes on" });
  #none = el("div.teach.choose-none", { hidden: true });
  #told = el("div.choose-told", { hidden: true });

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.host = host;
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    this.front = new Front(store, (candidate) => this.table.mark(candidate));
    this.table = new Table(store, (candidate) => this.front.mark(candidate));
    this.run = el("button.tool", { type: "button", onclick: () => (store.state.search ? store.choice.end() : store.choice.begin()) });
    const close = tool({ icon: "close", title: "Back to plan, space and sweep (c)", onclick: () => store.choice.show(false) });
    /** @type {HTMLElement} */ (host.querySelector(".tools")).append(this.#status, this.run, close);
    this.body = el("div.choose-body", {},
      el("div.choose-part", {}, this.front.element),
      el("div.choose-part.choose-list", { tabIndex: 0, role: "region", "aria-label": "What was found" }, this.#told, this.table.element));
    stage.append(this.#progress, this.#none, this.body, this.#heard);
    host.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || store.state.beside === null) return;
      event.preventDefault();
      store.choice.putAway();
    });
    store.watch(["choosing", "choice", "beside", "text", "faulty", "search"], (state) => this.#show(state));
    store.watch(["search", "choice", "text", "faulty"], (state) => this.#tell(state));
    store.watch(["choice"], ({ choice }) => choice?.answer && say(this.#heard, `The search is done: ${searched(choice.answer)}`));
  }

  /** How far the search is, and the button that goes with it. @param {State} state */
  #tell(state) {
    const { search, choice, faulty } = state;
    const stale = outdated(state);
    const answer = choice?.answer ?? null;
    this.run.replaceChildren(sign(search ? "close" : "play"), search ? "Give up" : answer ? "Search anew" : "Search");
    this.run.title = search ? "Give the search up: what it has found is shown" : "Search the text as it is now";
    this.run.disabled = search ? search.ending : faulty;
    this.run.classList.toggle("wanted", stale && search === null);
    this.#progress.hidden = search === null;
    if (search?.stands) this.#progress.value = search.stands.done / Math.max(1, search.stands.of);
    else this.#progress.removeAttribute("value");
    say(this.#status, search ? progress(search) : answer === null ? "" : stale ? choice?.none ?? "of another text" : searched(answer));
    this.#status.title = answer?.models.at(-1)?.accuracy ?? "";
  }

  /** @param {State} state */
  #show(state) {
    if (!state.choosing) return;
    const { choice, beside, faulty } = state;
    const answer = choice?.answer ?? null;
    this.#none.hidden = answer !== null;
    this.body.hidden = answer === null;
    this.body.classList.toggle("outdated", outdated(state));
    if (answer === null) {
      this.#none.replaceChildren(...this.#empty(choice, faulty, state.search !== null));
      return;
    }
    const loaded = beside === null ? "" : key(beside.values);
    this.front.show(answer, loaded);
    this.table.show(answer, loaded);
    this.#told.hidden = answer.obstacle === null && !answer.interrupted;
    this.#told.replaceChildren(...this.#obstacle(answer));
  }

  /** What stands in the way, and what comes nearest. @param {ChooseAnswer} answer */
  #obstacle(answer) {
    const { obstacle, interrupted, tried, combinations } = answer;
    const parts = [];
    if (interrupted) parts.push(el("p.faded", {}, `Given up: ${tried} of ${combinations} combinations were tried.`));
    if (obstacle === null) return parts;
    const { said, nearest } = obstacle;
    parts.push(el("p.v-missed", {}, el("span.verdict", {}, sign("missed"), " Nothing meets every demand. "), said, "."));
    if (nearest) {
      const { values, cost } = nearest;
      parts.push(el("button.act", { type: "button", onclick: () => this.store.choice.load({ values, cost, name: "the nearest", why: said }) },
        `Show the nearest, ${answer.cost} ${costText(answer, cost)}, beside`));
    }
    return parts;
  }

  /** @param {Choice | null} choice @param {boolean} faulty @param {boolean} searching @returns {(Node | string)[]} */
  #empty(choice, faulty, searching) {
    const { store } = this;
    if (faulty) return ["The text has faults. As soon as they are mended, it can be searched."];
    if (choice === null || choice.none === null) return [searching ? "Trying the cheapest first …" : "Press Search."];
    if (choice.beginning !== null) {
      return [
        el("strong", {}, "Nothing to choose yet"),
        "Say in a table what may be changed, and what is to cost little: names of the catalogue or sizes in steps, and ranges of places. Every arrangement that meets all demands over its tolerances is found, the cheapest first.",
        el("pre", { tabIndex: 0 }, choice.beginning),
        el("button.act", { type: "button", onclick: () => store.choice.insert() }, "Add this to the text and search"),
      ];
    }
    const undemanding = store.state.answer?.answer.demands.length === 0;
    return [
      el("strong", {}, "No choice"), `${choice.none}.`,
      undemanding ? el("button.act", { type: "button", onclick: () => store.add("demand") }, "Add a demand") : "",
    ];
  }
}
