// What stands round the plan: which plane, which contact, the step; the key; what the cross-hair reads.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Plan } from "./plan.js" */

import { choose, el, hide, say, tool } from "../dom.js";
import { AXIS, View } from "./geometry.js";
import { number } from "../number.js";
import { bodies } from "./playhead.js";

/** @type {[wire.Plane, string][]} */
const PLANES = [["xz", "x–z"], ["xy", "x–y"], ["yz", "y–z"]];
const STEPS = [0.1, 0.25, 0.5, 1, 2, 5];

const HINT = "n and p select a body; arrow keys move it, brackets turn it; with nothing selected arrow keys move a cross-hair that reads the map.";

export class PlanTools {
  /** @param {Plan} plan @param {HTMLElement} host @param {HTMLElement} stage */
  constructor(plan, host, stage) {
    this.plan = plan;
    const { store } = plan;
    this.plane = el("select.pick", { "aria-label": "Plane", title: "Plane (1 from the front, 2 from above, 3 from the end)", onchange: () => plan.turnTo(/** @type {wire.Plane} */ (this.plane.value)) },
      ...PLANES.map(([value, name]) => el("option", { value }, name)));
    this.axis = el("span.axis");
    this.offset = el("input.pick.offset", {
      inputMode: "decimal", autocomplete: "off", "aria-label": "Where the plane cuts, mm",
      title: "Where the plane cuts, mm; empty: through the place of the path nearest to the contact",
      onchange: () => this.#cut(this.offset.value), onblur: () => plan.repaint(), onkeydown: (/** @type {KeyboardEvent} */ event) => this.#stepCut(event),
    });
    this.contact = el("select.pick", { "aria-label": "Contact", onchange: () => store.look({ contact: Number(this.contact.value) }) });
    this.sizes = tool({ icon: "dimensions", title: "Dimensions", onclick: () => {
      plan.dimensions = !plan.dimensions;
      this.sizes.setAttribute("aria-pressed", String(plan.dimensions));
      plan.repaint();
    } });
    this.sizes.setAttribute("aria-pressed", "true");
    host.querySelector(".tools")?.append(
      this.contact, this.plane, el("label.cut", {}, this.axis, this.offset), this.sizes,
      tool({ icon: "fit", title: "Show everything (0)", onclick: () => plan.fit() }),
    );
    this.first = el("p.reading");
    this.second = el("p.reading");
    this.step = el("select.pick", { "aria-label": "Step, mm", onchange: () => store.set({ step: Number(this.step.value) }) },
      ...STEPS.map((s) => el("option", { value: String(s) }, `${s} mm`)));
    const swatch = (/** @type {string} */ kind, /** @type {string} */ word) =>
      el("li", {}, el("span", { className: `swatch ${kind}`, "aria-hidden": "true" }), word);
    this.key = el("ul.map-key", { "aria-label": "Regions" },
      swatch("closes", "closes"), swatch("holds", "holds"), swatch("open", "stays open"), swatch("no-room", "no room"));
    this.note = el("p.plan-note");
    this.teach = el("div.teach", { hidden: true }, el("strong", {}, "No magnet yet"),
      "A contact needs something that closes it. Add a magnet, then drag it here.",
      el("button.act", { type: "button", onclick: () => store.add("magnet") }, "Add a magnet"));
    this.none = el("div.teach.whole", { hidden: true }, el("strong", {}, "Nothing to draw yet"),
      "The text has faults. As soon as they are mended, the arrangement is drawn here.",
      el("button.act", { type: "button", onclick: () => store.revealFault() }, "Show the first fault"));
    this.heard = el("p.only-heard", { "aria-live": "polite" });
    plan.sheet.append(this.note, this.teach, this.none);
    stage.append(
      el("div.read-strip", {}, this.first, this.second, this.key, el("label.step", {}, "step", this.step)),
      this.heard, el("p.only-heard", { id: "plan-hint" }, HINT),
    );
  }

  /** @param {string} text */
  #cut(text) {
    const value = Number(text.replace(",", ".").replace("−", "-").replace(/\s*mm\s*$/, ""));
    const { plan } = this;
    plan.store.look({ plane: plan.view.plane, offset: text.trim() === "" || !Number.isFinite(value) ? null : value });
  }

  /** @param {KeyboardEvent} event */
  #stepCut(event) {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    const { state } = this.plan.store;
    const from = state.view.offset ?? state.cut ?? 0;
    const to = Math.round((from + way * state.step * (event.shiftKey ? 10 : 1)) * 1e6) / 1e6;
    this.offset.value = String(to);
    this.#cut(String(to));
  }

  /** @param {State} state @param {wire.Drawing | null} drawing */
  show(state, drawing) {
    const { plan } = this;
    const { view } = plan;
    choose(this.plane, view.plane);
    say(this.axis, `${AXIS[view.cut]} =`);
    const map = state.map?.header.plane === view.plane ? state.map : null;
    const shown = state.view.offset ?? map?.header.offset ?? state.cut ?? undefined;
    const cut = shown === undefined ? "" : number(shown, "mm");
    if (document.activeElement !== this.offset && this.offset.value !== cut) this.offset.value = cut;
    const names = drawing?.contacts.map((c) => c.name) ?? [];
    if (names.join("\n") !== [...this.contact.options].map((o) => o.text).join("\n")) {
      this.contact.replaceChildren(...names.map((name, k) => el("option", { value: String(k) }, name)));
    }
    this.#namePlanes(drawing?.contacts[state.view.contact]);
    hide(this.contact, names.length < 2);
    choose(this.contact, String(state.view.contact));
    choose(this.step, String(state.step));
    const turns = drawing?.path.some((p) => p.turned);
    const note = !drawing ? "" : drawing.path.length === 0 ? "Nothing moves: no regions to show."
      : turns && map ? `Regions: ${map.header.moves} turned as where the sweep starts.`
      : map && !map.header.coarse && map.header.across[2] < state.view.cells[0] ? `Regions of ${map.header.across[2]} × ${map.header.up[2]} places: steel that passes is solved anew at each.` : "";
    say(this.note, note);
    hide(this.none, drawing !== null || !state.faulty);
    hide(this.teach, !drawing || drawing.magnets.length + drawing.coils.length > 0);
    hide(this.key, !map);
  }

  /** Says of each plane how the contact lies in it. @param {wire.Contact | undefined} contact */
  #namePlanes(contact) {
    PLANES.forEach(([plane, name], k) => {
      const through = contact ? Math.abs(contact.pose.rows[new View(plane).cut][0]) : 0.5;
      const lies = through > 0.999 ? `, across ${contact?.name}` : through < 1e-3 ? `, along ${contact?.name}` : "";
      if (this.plane.options[k].text !== name + lies) this.plane.options[k].text = name + lies;
    });
  }

  /** The read-out. @param {State} state */
  tell(state) {
    let [first, second] = this.plan.reading(state);
    const chosen = this.plan.picture && bodies(this.plan.picture.drawing).find(({ path }) => path === state.selected);
    if (!first && chosen) {
      const at = chosen.body.pose.at.map((v, i) => `${AXIS[i]} ${number(v, "mm")}`).join(", ");
      first = `${chosen.body.name} at ${at} mm`;
      second = "Arrow keys move it, [ and ] turn it; n selects the next.";
    } else if (!first && state.selected?.startsWith("sweep.")) {
      first = state.selected === "sweep.from" ? "Start of the sweep" : "End of the sweep";
      second = "Arrow keys move it.";
    } else if (!first) {
      first = this.key.hidden ? "n selects a body; arrow keys move it." : "Point here, or use the arrow keys, to read the drive.";
    }
    say(this.first, first);
    say(this.second, second);
  }

  /** Says something to who listens to the page. @param {string} words */
  say(words) {
    this.heard.textContent = words;
  }
}
