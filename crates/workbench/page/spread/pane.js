// The spread over many units: what share meets each demand, where events lie, what drives them; and what a
// tolerance held wider or tighter would do, at once.

import { el, sign, tool } from "../dom.js";
import { LEFT, RIGHT } from "../bench/chart.js";
import { range } from "../bench/playhead.js";
import { Drivers, driversOf, gains } from "./drivers.js";
import { figures, first, grouped, said, shareText } from "./figures.js";
import { histogram, lanes } from "./histogram.js";
import { whenWide } from "./svg.js";
import { Yields } from "./yields.js";

/**
 * @import { SpreadAnswer } from "../types/wire.js"
 * @import { State, Store } from "../store.js"
 * @import { Figure } from "./figures.js"
 */

/** How many units may be asked for. */
const UNITS = [10_000, 30_000, 100_000, 300_000, 1_000_000];
/** Height of the large histogram, px: in a low window all must keep in sight. */
const HIGH = { roomy: 150, low: 92 };
const room = () => (innerHeight < 800 ? "low" : "roomy");

export class SpreadPane {
  /** Key of the figure chosen. @type {string | null} */
  #chosen = null;
  #wide = 0;
  #whole = 0;
  #plot = el("div.plot");
  #lanes = el("div.lanes-box");
  #said = el("p.small.faded");
  #gains = el("p.small");
  #status = el("p.small.spread-status");
  #heard = el("p.only-heard", { role: "status" });
  #progress = el("progress.progress", { max: 1, "aria-label": "The study grows" });
  #none = el("div.teach", { hidden: true });

  /**
   * @param {HTMLElement} host
   * @param {Store} store
   */
  constructor(host, store) {
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    const choose = (/** @type {string} */ key) => {
      this.#chosen = key;
      this.#show();
    };
    this.choose = choose;
    this.yields = new Yields(store, choose);
    this.drivers = new Drivers(store);
    this.figure = el("select.pick", { "aria-label": "Of what", onchange: () => choose(this.figure.value) });
    this.units = el("select.pick", { "aria-label": "Units of the study", onchange: () => store.studyOf(Number(this.units.value)) },
      ...UNITS.map((count) => el("option", { value: String(count) }, `${grouped(count)} units`)));
    this.run = tool({ icon: "pause", title: "", onclick: () => store.goOn(!store.state.studying) });
    const close = tool({ icon: "close", title: "Back to plan and space (u)", onclick: () => store.showSpread(false) });
    /** @type {HTMLElement} */ (host.querySelector(".tools")).append(this.#status, this.units, this.run, close);
    this.body = el("div.spread-body", {},
      el("div.spread-part", { tabIndex: 0, role: "region", "aria-label": "Units that meet each demand" }, this.yields.element, this.#gains),
      el("div.spread-part", { tabIndex: 0, role: "region", "aria-label": "One figure and what drives it" },
        el("div.figure-head", {}, el("h3", {}, "Over the units"), this.figure), this.#plot, this.#said, this.drivers.element),
    );
    stage.append(this.#progress, this.#none, this.body, this.#lanes, this.#heard);
    whenWide(this.#plot, (width) => {
      this.#wide = width;
      this.#show();
    });
    whenWide(this.#lanes, (width) => {
      this.#whole = width;
      this.#show();
    });
    store.watch(["spreading", "study", "tried", "held", "causes", "form", "answer", "rev", "faulty"], () => this.#show());
    store.watch(["units", "studying", "study", "rev", "faulty"], (state) => this.#tell(state));
    store.watch(["opened"], () => (this.#chosen = null));
    store.watch(["tried"], ({ tried }) => this.#say(tried?.answer ?? null, tried?.tolerance ?? null));
  }

  /** How far the study is, and the buttons that go with it. @param {State} state */
  #tell({ units, studying, study, rev, faulty }) {
    this.units.value = String(units);
    const fresh = study !== null && study.rev === rev;
    const answer = study?.answer ?? null;
    const done = fresh && study.done && (answer === null || answer.of === units);
    this.run.replaceChildren(sign(studying && !done ? "pause" : "play"));
    this.run.title = done ? "The study is done" : studying ? "Stop the study where it is" : "Go on with the study";
    this.run.setAttribute("aria-label", this.run.title);
    this.run.disabled = done;
    this.#progress.hidden = done || !studying || faulty;
    if (fresh && answer) this.#progress.value = answer.units / answer.of;
    else this.#progress.removeAttribute("value");
    const words = answer === null ? "" : !fresh ? "of the text before this one"
      : study.done ? `${grouped(answer.units)} units, seed ${answer.provenance.seed}` : `${grouped(answer.units)} of ${grouped(answer.of)} units`;
    this.#status.textContent = words;
    this.#status.title = answer?.evaluation.said ?? "";
  }

  /** Said aloud while a tolerance is held. @param {SpreadAnswer | null} answer @param {string | null} tolerance */
  #say(answer, tolerance) {
    if (answer === null || tolerance === null) return;
    const shares = answer.demands.map(({ contact, text, share }) => `${contact} ${text}: ${shareText(share.met / share.of)}`);
    this.#heard.textContent = `${tolerance}: ${shares.join(", ")}`;
  }

  #show() {
    const { state } = this.store;
    if (!state.spreading) return;
    const { study, tried, causes } = state;
    const now = tried?.answer ?? study?.answer ?? null;
    const why = study?.answer === null && tried === null ? study.none : null;
    this.#none.hidden = now !== null;
    this.body.hidden = this.#lanes.hidden = now === null;
    this.#none.replaceChildren(...(why === null
      ? [state.faulty ? "The text has faults. As soon as they are mended, its units are studied." : "Studying the first units …"]
      : [el("strong", {}, "No study"), why, ". Give the quantities that scatter their tolerances, as in ", el("code", {}, "5 ± 0.1 mm"), "."]));
    if (now === null) return;
    const all = figures(now);
    const chosen = all.find(({ key }) => key === this.#chosen) ?? first(all);
    // What is worked on stays in sight, whatever comes of it.
    if (state.held && chosen) this.#chosen = chosen.key;
    const before = tried ? study?.answer ?? null : null;
    this.yields.show(now, before, chosen?.key ?? null);
    this.#choices(all, chosen);
    const drawn = chosen && this.#wide > 0 ? histogram(chosen, this.#nominal(chosen, now), this.#wide, HIGH[room()]) : null;
    this.#plot.replaceChildren(...(drawn ? [drawn] : []));
    this.#said.textContent = chosen ? said(chosen) : "";
    const key = chosen?.key ?? "";
    this.drivers.show(driversOf(causes, key, causes ? figures(causes) : []));
    this.#gains.replaceChildren(...(causes ? gains(causes.tighter, this.store) : []));
    this.#gains.hidden = this.#gains.childNodes.length === 0;
    const ends = range(state);
    const right = Math.max(LEFT + 40, this.#whole - RIGHT);
    this.#lanes.replaceChildren(...(ends && this.#whole > 0 ? [lanes(now, { from: ends[0], to: ends[1], left: LEFT, right }, room(), this.#whole, key, this.choose)] : []));
  }

  /** The nominal unit's, if the answer shown is of the same text. @param {Figure} figure @param {SpreadAnswer} now */
  #nominal({ event, demand }, now) {
    if (event) return event.worst_case.value;
    const full = this.store.state.answer;
    const index = demand ? now.demands.indexOf(demand) : -1;
    return full?.answer.demands[index]?.margin_nominal ?? null;
  }

  /** @param {Figure[]} all @param {Figure | null} chosen */
  #choices(all, chosen) {
    const same = this.figure.options.length === all.length && all.every(({ key, name }, k) => this.figure.options[k].value === key && this.figure.options[k].text === name);
    if (!same) this.figure.replaceChildren(...all.map(({ key, name }) => el("option", { value: key }, name)));
    if (chosen) this.figure.value = chosen.key;
  }
}
