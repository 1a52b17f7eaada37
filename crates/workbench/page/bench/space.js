// Space: the arrangement to be turned about, with the closed region as a body of its own. What draws it is
// fetched when first seen, so that the rest of the page need not wait.

/** @import { Store } from "../store.js" */
/** @import { Scene } from "./scene.js" */

import { el, tool } from "../dom.js";
import { Blades } from "./blades.js";
import { Pen } from "./draw.js";
import { inFrame, watchLook, watchSize } from "./frame.js";

/** Where there is no graphics processor, pictures of space come so seldom while something moves, ms; while a
 * body is dragged, when the hand rests so long: the plan needs the time. */
const SELDOM = 250;
const REST = 200;
/** Keys turn the view by this, rad. */
const TURN = Math.PI / 24;

export class Space {
  /** @type {Scene | null} */
  #scene = null;
  #fetching = false;
  #seen = false;
  #fitted = "";
  /** Design that was first shown from the corner. */
  #begun = 0;
  #last = 0;
  #later = 0;
  #laboured = false;

  /** @param {HTMLElement} host @param {Store} store */
  constructor(host, store) {
    this.store = store;
    const stage = /** @type {HTMLElement} */ (host.querySelector(".stage"));
    this.canvas = el("canvas", { tabIndex: 0, role: "application", "aria-label": "The arrangement in space: arrow keys turn it, question mark lists the keys" });
    const above = el("canvas.above", { "aria-hidden": "true" });
    this.none = el("p.teach", { hidden: true });
    const sheet = el("div.space-sheet", {}, this.canvas, above, this.none);
    stage.append(sheet);
    this.above = new Pen(above);
    this.blades = new Blades(() => this.#repaint());
    const look = el("select.pick", { "aria-label": "Seen from", title: "Seen from", onchange: () => this.#lookFrom(look.value) }, ...["corner", "front", "above", "end"].map((value) => el("option", { value }, value)));
    this.look = look;
    this.cut = tool({ icon: "cut", title: "Section in the plan's plane (s)", onclick: () => this.#section() });
    this.cut.setAttribute("aria-pressed", "false");
    this.regions = tool({ icon: "region", title: "Where it closes and holds (r)", onclick: () => this.#showRegions() });
    this.regions.setAttribute("aria-pressed", "true");
    host.querySelector(".tools")?.append(look, this.regions, this.cut, tool({ icon: "fit", title: "Show everything (0)", onclick: () => this.#fit() }));
    watchSize(sheet, (width, height) => this.#resize(width, height));
    watchLook(() => this.#restyle());
    store.watch(["dark"], () => this.#restyle());
    store.watch(["drawing", "live", "answer", "drag", "playhead", "pass", "view", "map", "regions", "session", "design"], () => this.#repaint());
    this.canvas.addEventListener("keydown", (event) => {
      if (!event.ctrlKey && !event.metaKey && !event.altKey && this.#key(event.key)) event.preventDefault();
    });
  }

  /** @param {number} width @param {number} height */
  #resize(width, height) {
    this.above.resize(width, height);
    this.#seen = true;
    this.#scene?.resize(width, height);
    if (!this.#scene && !this.#fetching) {
      this.#fetching = true;
      import("./scene.js").then((module) => this.#begin(module), (why) => this.#fail(why));
    }
    if (!this.#scene?.touched) this.#fitted = "";
    this.#repaint();
  }

  /** @param {typeof import("./scene.js")} module */
  #begin({ Scene: Made }) {
    try {
      this.#scene = new Made(this.canvas, this.above, this.blades, () => this.#repaint());
    } catch (why) {
      this.#fail(why);
      return;
    }
    this.#laboured = this.#scene.laboured;
    this.#scene.resize(this.above.width, this.above.height);
    this.#restyle();
  }

  /** @param {unknown} why */
  #fail(why) {
    console.warn(why);
    this.canvas.hidden = true;
    this.none.hidden = false;
    this.none.replaceChildren(el("strong", {}, "No picture in space"), "This browser offers no WebGL. The plan shows the same in any plane.");
  }

  #restyle() {
    this.above.restyle();
    this.#scene?.restyle();
    this.#repaint();
  }

  #fit() {
    if (this.#scene) this.#scene.touched = false;
    this.#fitted = "";
    this.#repaint();
  }

  /** @param {string} from */
  #lookFrom(from) {
    this.#scene?.look(from);
    this.#fit();
  }

  #section() {
    if (!this.#scene) return;
    this.#scene.section = !this.#scene.section;
    this.cut.setAttribute("aria-pressed", String(this.#scene.section));
    this.#repaint();
  }

  #showRegions() {
    if (!this.#scene) return;
    this.#scene.wanted = !this.#scene.regions;
    this.#repaint();
  }

  #repaint() {
    if (this.#laboured && this.store.state.drag) {
      clearTimeout(this.#later);
      this.#later = setTimeout(() => inFrame(this, 4, () => this.#paint()), REST);
      return;
    }
    const wait = this.#laboured && this.#last > performance.now() - 60 ? this.#last + SELDOM - performance.now() : 0;
    if (wait <= 0) inFrame(this, 4, () => this.#paint());
    else this.#later ||= setTimeout(() => inFrame(this, 4, () => this.#paint()), wait);
  }

  #paint() {
    const scene = this.#scene;
    const { state } = this.store;
    clearTimeout(this.#later);
    this.#later = 0;
    if (!scene || !this.#seen || state.drawing === null) return;
    scene.take(state);
    this.regions.setAttribute("aria-pressed", String(scene.regions));
    if (state.opened !== this.#begun) {
      this.#begun = state.opened;
      scene.touched = false;
      scene.wanted = null;
      scene.look(this.look.value = "corner");
    }
    const key = `${state.opened} ${scene.whole} ${this.above.width} ${this.above.height}`;
    if (key !== this.#fitted && !scene.touched) {
      this.#fitted = key;
      scene.fit();
    }
    scene.paint();
    this.#last = performance.now();
  }

  /** @param {string} key */
  #key(key) {
    const scene = this.#scene;
    if (!scene) return false;
    const turn = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-TURN, 0], ArrowRight: [TURN, 0], ArrowUp: [0, TURN], ArrowDown: [0, -TURN] })[key];
    if (turn) scene.orbit(turn[0], turn[1]);
    else if (key === "+" || key === "=") scene.zoom(1.2);
    else if (key === "-") scene.zoom(1 / 1.2);
    else if (key === "0") this.#fit();
    else if (key === "s") this.#section();
    else if (key === "r") this.#showRegions();
    else if (["1", "2", "3", "4"].includes(key)) {
      this.look.selectedIndex = Number(key) - 1;
      this.#lookFrom(this.look.value);
    } else return false;
    this.#repaint();
    return true;
  }
}
