// A design beside the text's own: what differs, and whether it is taken.

import { el, sign, tool, words } from "../dom.js";
import { pathInWords } from "../answers/drivers.js";
import { WORDS } from "../answers/demands.js";
import { number, unitLabel, withUnit } from "../number.js";
import { costText } from "./points.js";

/**
 * @import { Answer, Band, DemandAnswer } from "../types/wire.js"
 * @import { State, Store } from "../store.js"
 * @import { Beside } from "../choice.js"
 */

/** @typedef {Node | string} Cell */
/** @typedef {{name: Cell[], now: Cell[], then: Cell[], differs: boolean}} Row */

/** A nominal value above its band. @param {Band | undefined} band @returns {Cell[]} */
const banded = (band) => (band ? [el("strong", {}, number(band.value, band.unit)), el("div.faded", {}, `${number(band.low, band.unit)} .. ${number(band.high, band.unit)}`)] : ["–"]);

/** @param {Answer | null} answer @returns {Map<string, {name: Cell[], at: Band}>} */
function events(answer) {
  const several = (answer?.contacts.length ?? 0) > 1;
  return new Map((answer?.contacts ?? []).flatMap(({ name, events: all }) => all.map((event) => {
    const lobe = event.main_lobe ? "" : `, lobe ${event.lobe}`;
    const words = `${several ? `${name} ` : ""}${event.kind} ${event.direction}${lobe}`;
    return [`${name} ${event.kind} ${event.direction} ${event.lobe}`, { name: [el(`span.${event.direction}`, {}, sign(event.kind)), ` ${words}`], at: event.at }];
  })));
}

/** How a demand stands. @param {DemandAnswer | undefined} demand @returns {Cell[]} */
function standing(demand) {
  if (!demand) return ["–"];
  const { verdict, margin_worst: worst, unit } = demand;
  return [
    el(`span.v-${verdict}`, {}, el("span.verdict", {}, sign(verdict), ` ${WORDS[verdict]}`)),
    el("div.faded", {}, worst === null ? "" : `room ${withUnit(worst, unit)}`),
  ];
}

export class BesidePane {
  #body = el("div.parts", { tabIndex: 0, role: "region", "aria-label": "What differs" });

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.store = store;
    /** @type {HTMLElement} */ (host.querySelector(".stage")).append(this.#body);
    this.head = /** @type {HTMLElement} */ (host.querySelector("h2"));
    this.takes = el("button.tool.wanted", { type: "button", title: "Write what was chosen into the text", onclick: () => store.choice.take() }, sign("met"), "Take it");
    this.away = tool({ icon: "close", text: "Put away", title: "Put away: back to the design as it is (Esc)", onclick: () => store.choice.putAway() });
    /** @type {HTMLElement} */ (host.querySelector(".tools")).append(this.takes, this.away);
    host.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || store.state.beside === null) return;
      event.preventDefault();
      store.choice.putAway();
    });
    store.watch(["choosing", "beside", "answer", "rev", "choice", "form", "faulty"], (state) => this.#show(state));
  }

  /** @param {State} state */
  #show(state) {
    if (!state.choosing) return;
    const { beside, choice } = state;
    this.takes.hidden = this.away.hidden = beside === null;
    this.head.textContent = beside === null ? "Beside" : `Beside: ${beside.name}`;
    if (beside === null) {
      const ready = choice?.answer != null;
      this.#body.replaceChildren(el("div.teach", {}, ready
        ? "Click a point of the plot, or press Enter on a row of the table: that design is drawn dashed in the plan, and what differs stands here."
        : "What is found can be shown here beside the design as it is."));
      return;
    }
    this.takes.disabled = state.faulty || beside.none !== null;
    if (beside.none !== null) {
      this.#body.replaceChildren(el("div.teach", {}, el("strong", {}, "It cannot be shown"), `${beside.none}.`));
      return;
    }
    const rows = [...this.#chosen(state, beside), ...this.#figures(state, beside)];
    this.#body.replaceChildren(
      ...(beside.why === null ? [] : [el("p.small.faded", {}, `Not among the best: ${beside.why}.`)]),
      el("table.differs", {},
        el("caption.only-heard", {}, `The design as it is, and ${beside.name}`),
        el("thead", {}, el("tr", {}, el("th", { scope: "col" }, el("span.only-heard", {}, "what")),
          el("th", { scope: "col" }, el("span.line.own", { "aria-hidden": "true" }), "as it is"),
          el("th", { scope: "col" }, el("span.line.other", { "aria-hidden": "true" }), beside.name))),
        el("tbody", {}, ...rows.map(({ name, now, then, differs }) =>
          el(differs ? "tr.other" : "tr", {}, el("th", { scope: "row" }, ...name), el("td", {}, ...now), el("td", {}, ...then))))),
      ...(beside.answer === null ? [el("p.small.faded", {}, "Working out its answer …")] : this.#warnings(beside.answer)),
    );
  }

  /** Cost and what was chosen. @param {State} state @param {Beside} beside @returns {Row[]} */
  #chosen({ choice, text, form }, { values, cost }) {
    const answer = choice?.answer;
    const own = choice?.costs.get(text) ?? null;
    const fields = new Map(form?.flatMap((section) => section.fields).map((field) => [field.path, field.text ?? field.default]) ?? []);
    const rows = values.map(({ path, text: then }) => {
      const now = fields.get(path) ?? "–";
      return { name: [el("span", { title: path }, pathInWords(path))], now: [now], then: [then], differs: now !== then };
    });
    if (!answer) return rows;
    return [{ name: [answer.cost], now: [costText(answer, own)], then: [el("strong", {}, costText(answer, cost))], differs: own !== cost }, ...rows];
  }

  /** Events and demands. @param {State} state @param {Beside} beside @returns {Row[]} */
  #figures({ answer: full, rev }, { answer: other }) {
    const own = full?.rev === rev ? full.answer : null;
    const [now, then] = [events(own), events(other)];
    const unit = unitLabel((own ?? other)?.sweep.unit ?? "");
    const met = [...new Set([...now.keys(), ...then.keys()])].map((id) => {
      const [a, b] = [now.get(id), then.get(id)];
      return { name: [...(a ?? b)?.name ?? [], el("span.faded", {}, ` ${unit}`)], now: own ? banded(a?.at) : ["…"], then: other ? banded(b?.at) : ["…"], differs: a?.at.value !== b?.at.value };
    });
    const demands = (own ?? other)?.demands.map((demand, k) => {
      const [a, b] = [own?.demands[k], other?.demands[k]];
      return { name: [el("strong", {}, demand.contact), ` ${demand.text}`], now: own ? standing(a) : ["…"], then: other ? standing(b) : ["…"], differs: a?.verdict !== b?.verdict };
    }) ?? [];
    return [...demands, ...met];
  }

  /** @param {Answer} answer */
  #warnings({ warnings }) {
    return warnings.map(({ code, message }) => el("p.small", {}, el("span.v-at_risk", {}, el("span.verdict", {}, sign("at_risk"), ` ${code} `)), ...words(message)));
  }
}
