// Lines between panes that can be dragged, stepped with the arrow keys, and folded by a double click.

/**
 * @typedef {object} How
 * @property {string} name  custom property of the host that holds the size
 * @property {"x" | "y"} axis
 * @property {"start" | "end"} from  which side of the line has the size
 * @property {number} least  of that side, px
 * @property {number} rest  least of the other side, px
 * @property {string} kept  name under which the size is kept
 * @property {string} [fold]  class of the host while that side is folded away
 */

export class Divider {
  /**
   * @param {HTMLElement} line
   * @param {HTMLElement} host  whose space is divided
   * @param {How} how
   */
  constructor(line, host, how) {
    this.line = line;
    this.host = host;
    this.how = how;
    const kept = localStorage.getItem(this.#key);
    if (kept) host.style.setProperty(how.name, kept);
    line.addEventListener("pointerdown", (event) => this.#grab(event));
    line.addEventListener("dblclick", () => this.fold());
    line.addEventListener("keydown", (event) => this.#step(event));
    this.#say();
  }

  get #key() {
    return `reedmace.${this.how.kept}`;
  }

  get folded() {
    return this.how.fold !== undefined && this.host.classList.contains(this.how.fold);
  }

  /** @param {boolean} [on] */
  fold(on = !this.folded) {
    if (this.how.fold) this.host.classList.toggle(this.how.fold, on);
    this.#say();
  }

  /** Size of the side now, and of the whole, px. */
  #measure() {
    const { host, line } = this;
    const box = host.getBoundingClientRect();
    const at = line.getBoundingClientRect();
    const [whole, before, thick] = this.how.axis === "x"
      ? [host.clientWidth, at.left - box.left - host.clientLeft, at.width]
      : [host.clientHeight, at.top - box.top - host.clientTop, at.height];
    return { whole, size: this.how.from === "start" ? before : whole - before - thick };
  }

  /** @param {number} size px */
  #set(size) {
    const { whole } = this.#measure();
    const held = Math.max(this.how.least, Math.min(size, whole - this.how.rest));
    const text = `${Math.round(held)}px`;
    this.fold(false);
    this.host.style.setProperty(this.how.name, text);
    localStorage.setItem(this.#key, text);
    this.#say();
  }

  #say() {
    const { whole, size } = this.#measure();
    const now = whole > 0 ? Math.round((100 * size) / whole) : 0;
    this.line.setAttribute("aria-valuenow", String(Math.max(0, Math.min(100, now))));
    this.line.setAttribute("aria-valuemin", "0");
    this.line.setAttribute("aria-valuemax", "100");
  }

  /** @param {PointerEvent} event */
  #grab(event) {
    event.preventDefault();
    this.line.setPointerCapture(event.pointerId);
    const place = (/** @type {PointerEvent} */ e) => (this.how.axis === "x" ? e.clientX : e.clientY);
    const { size } = this.#measure();
    const begin = place(event);
    const sense = this.how.from === "start" ? 1 : -1;
    const move = (/** @type {PointerEvent} */ e) => this.#set(size + sense * (place(e) - begin));
    const end = () => {
      this.line.removeEventListener("pointermove", move);
      this.line.removeEventListener("lostpointercapture", end);
    };
    this.line.addEventListener("pointermove", move);
    this.line.addEventListener("lostpointercapture", end);
  }

  /** @param {KeyboardEvent} event */
  #step(event) {
    const [on, back] = this.how.axis === "x" ? ["ArrowRight", "ArrowLeft"] : ["ArrowDown", "ArrowUp"];
    const step = { [on]: 1, [back]: -1 }[event.key];
    if (step !== undefined) {
      event.preventDefault();
      const sense = this.how.from === "start" ? 1 : -1;
      this.#set(this.#measure().size + sense * step * (event.shiftKey ? 80 : 16));
    } else if (event.key === "Enter") this.fold();
  }
}
