// The share of units that meets each demand, on a strip whose ends are opened out: what matters lies between
// 99 % and all.

import { el, sign } from "../dom.js";
import { figures, grouped, shareText, standing } from "./figures.js";
import { at, drawing, svg, whenWide } from "./svg.js";

/**
 * @import { DemandSpread, SpreadAnswer } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** Shares beyond one in a million, and those but one, are at the end of the strip. */
const END = Math.log(1e6);
const MARKS = [0.0001, 0.01, 0.5, 0.99, 0.9999];
/** Those named where there is little room, px. */
const FEW = [0.0001, 0.5, 0.9999];
const NARROW = 250;
const HEIGHT = 30;
const MARGIN = 8;

/** @param {DemandSpread} demand */
function counted({ share: { met, of, low, high } }) {
  const units = met === of ? "all" : met === 0 ? "none" : grouped(met);
  return `${units} of ${grouped(of)} units (${shareText(low)} .. ${shareText(high)})`;
}

/** Where a share lies, 0 to 1: by its odds. @param {number} share */
export const place = (share) =>
  share <= 0 ? 0 : share >= 1 ? 1 : Math.min(1, Math.max(0, 0.5 + Math.log(share / (1 - share)) / (2 * END)));

/** @param {number} width @param {DemandSpread} demand @param {DemandSpread | null} before  as the text has it, while a tolerance is held */
function strip(width, { share }, before) {
  const x = (/** @type {number} */ s) => at(MARGIN + place(s) * (width - 2 * MARGIN));
  const here = x(share.met / share.of);
  const [low, high] = [x(share.low), x(share.high)];
  const was = before ? x(before.share.met / before.share.of) : null;
  return drawing(
    "odds", width, HEIGHT,
    svg("path.scale", { d: `M${MARGIN} 11.5H${width - MARGIN}${MARKS.map((mark) => `M${x(mark)} 8v7`).join("")}` }),
    ...(width < NARROW ? FEW : MARKS).map((mark) => svg("text.tick", { x: x(mark), y: 27, "text-anchor": "middle" }, `${+(100 * mark).toFixed(2)}\u00a0%`)),
    svg("rect.interval", { x: low, y: 8, width: Math.max(1, high - low), height: 7 }),
    was !== null && svg("path.before", { d: `M${was} 1v15M${was - 4} 1h8` }),
    svg("path.here", { d: `M${here} 11.5l-5 -9.5h10z` }),
  );
}

/** A demand, its strip below its words. */
class Yield {
  #strip = el("div.strip-box");
  #head = el("span");
  #share = el("strong.share");
  #interval = el("div.faded.counted");
  #before = el("span.faded");
  #width = 0;
  /** @type {[DemandSpread, DemandSpread | null] | null} */
  #shown = null;

  /** @param {number} index @param {(key: string) => void} choose @param {Store} store */
  constructor(index, choose, store) {
    this.index = index;
    this.pick = el("button.yield", { type: "button", onclick: () => choose(`room ${this.index}`) });
    this.line = el("button.link.small", { type: "button", onclick: () => this.#shown && store.revealLine(this.#shown[0].line) });
    this.pick.append(el("div.yield-head", {}, this.#head, el("span.yields", {}, this.#before, this.#share)), this.#strip, this.#interval);
    this.box = el("li", {}, this.pick, this.line);
    whenWide(this.#strip, (width) => {
      this.#width = width;
      this.#draw();
    });
  }

  /** @param {DemandSpread} demand @param {DemandSpread | null} before @param {boolean} chosen */
  show(demand, before, chosen) {
    this.#shown = [demand, before];
    const { share } = demand;
    const stands = standing(demand);
    this.box.className = `v-${stands}`;
    this.pick.setAttribute("aria-pressed", String(chosen));
    this.#head.replaceChildren(el("span.verdict", {}, sign(stands)), el("strong", {}, ` ${demand.contact}`), ` ${demand.text.replaceAll(" ", "\u00a0")}`);
    this.#before.textContent = before ? `${shareText(before.share.met / before.share.of)} → ` : "";
    this.#share.textContent = shareText(share.met / share.of);
    this.#share.dataset.met = String(share.met);
    this.#share.dataset.of = String(share.of);
    this.#interval.textContent = counted(demand);
    this.#interval.title = ["in brackets the share of all units that meet it, 95\u00a0% sure", demand.too_few].filter(Boolean).join("; ");
    this.line.textContent = `line ${demand.line}`;
    this.line.title = `Show line ${demand.line}`;
    this.#draw();
  }

  #draw() {
    if (this.#shown && this.#width > 0) this.#strip.replaceChildren(strip(this.#width, ...this.#shown));
  }
}

export class Yields {
  /** @type {Yield[]} */
  #all = [];
  #list = el("ul.yields-list");
  element = el("section.part", {}, el("h3", {}, "Units that meet each demand"), this.#list);

  /** @param {Store} store @param {(key: string) => void} choose */
  constructor(store, choose) {
    this.store = store;
    this.choose = choose;
  }

  /** @param {SpreadAnswer} answer @param {SpreadAnswer | null} before  of the text, while a tolerance is held @param {string | null} chosen */
  show(answer, before, chosen) {
    if (this.#all.length !== answer.demands.length) {
      this.#all = answer.demands.map((_, k) => new Yield(k, this.choose, this.store));
      this.#list.replaceChildren(...this.#all.map(({ box }) => box));
    }
    const known = before && before.demands.length === answer.demands.length ? before : null;
    const key = figures(answer).find((figure) => figure.key === chosen)?.key ?? "";
    answer.demands.forEach((demand, k) => this.#all[k].show(demand, known?.demands[k] ?? null, key === `room ${k}` || key === `met ${k}`));
    this.element.hidden = answer.demands.length === 0;
  }
}
