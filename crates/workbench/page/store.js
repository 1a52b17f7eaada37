// What the page knows, and who wants to hear of it.
//
// One object of state, changed by `set` alone; `watch` names the keys a pane shows and is called at
// once and after each change of one of them, once per batch of changes. Panes never talk to each other
// or to the server: they call the intents below, and see what comes of it in the state.

import { Choosing } from "./choice.js";

/** @import * as wire from "./types/wire.js" */

/** @typedef {Extract<wire.FromPage, { say: "set" | "add" | "remove" | "drop" | "tolerance" | "take" }>} Request  answered by a patch */

/**
 * @typedef {object} Drag  A body being moved: its place is not in the text yet.
 * @property {string} body  path of its table, `magnet[slug]`
 * @property {number} seq  grows with each move; answers carry it back
 * @property {wire.Triple} at  where its `at` point is, mm
 * @property {wire.Triple} turn  degrees added about world x, y, z
 * @property {boolean} dropped  let go; waiting for the text to follow
 */

/**
 * @typedef {object} MapPicture  A map: drives of the open and of the closed contact, mT, and room, mm;
 *   row by row from the bottom.
 * @property {wire.MapHeader} header
 * @property {Float32Array} driveOpen
 * @property {Float32Array} driveClosed
 * @property {Float32Array} room
 */

/**
 * @typedef {object} Held  A tolerance held wider or tighter than the text has it.
 * @property {string} path  of its quantity, `magnet[slug].size[1]`
 * @property {number} times  how many times as wide
 * @property {number} seq  grows as it moves; answers carry it back
 * @property {boolean} dropped  let go; waiting for the text to follow
 */

/** @typedef {{points: Float32Array, corners: Uint32Array}} Surface  x, y, z of its points, mm; three corners to each triangle */

/**
 * @typedef {object} Region  Where what moves closes a contact, and where it holds it closed, in space.
 * @property {wire.RegionHeader} header
 * @property {Surface} closes
 * @property {Surface} holds
 */

/**
 * @typedef {object} State
 * @property {"connecting" | "open" | "lost" | "refused"} link  the connection to the server
 * @property {string | null} session  id for exports; null on the starting page
 * @property {number} opened  how many designs were opened; one found again after a lost connection is the same
 * @property {string | null} file  name in the folder; null while never saved
 * @property {string} name  what answers call the design
 * @property {boolean} recovered  the text holds edits that were never saved
 * @property {string | null} title  of the newest text that has one
 * @property {string | null} savedText  what the file holds, where the text are recovered edits
 * @property {number} rev  revision of the text in the editor; grows with each edit
 * @property {string} text  the design, as the editor holds it
 * @property {"saved" | "edited" | "saving"} saved
 * @property {{text: string | null} | null} conflict  what the file holds since somebody else changed or
 *   removed (null) it, while we have edits of our own
 * @property {wire.Said<"design"> | null} design  newest word on the text: its diagnostics, form and drawing
 * @property {wire.Section[] | null} form  form of the newest text that could be read as TOML
 * @property {wire.Drawing | null} drawing  arrangement of the newest text without faults, mm
 * @property {{rev: number, seq: number | null, glance: wire.Glance} | null} live  newest nominal events
 * @property {{rev: number, answer: wire.Answer} | null} answer  newest full answer
 * @property {MapPicture | null} map  newest map
 * @property {Region[]} regions  newest regions in space, one for each contact
 * @property {{what: string, done: number, of: number} | null} progress
 * @property {boolean} faulty  the text has faults: what is drawn is the last good picture
 * @property {wire.View} view  the plane the map is drawn in
 * @property {number | null} cut  where that plane cuts while `view` leaves it open, mm
 * @property {string | null} selected  path of the body or other table selected, `magnet[slug]`
 * @property {Drag | null} drag
 * @property {boolean} dragging  there is a drag: for who does not care where to; `set` keeps it
 * @property {number} step  what moves snap to, mm
 * @property {number | null} playhead  coordinate of the sweep the bodies are shown at; null: where it starts
 * @property {"forward" | "back"} pass  which way the playhead runs
 * @property {boolean | null} inSpace  space is shown where an application could be; null until it is picked
 * @property {string | null} application  the one picked of several; null: the first
 * @property {boolean} dark  the board rather than paper
 * @property {number | null} line  line of the text the cursor is in
 * @property {{from: number, to: number} | null} reveal  place in the text somebody wants shown
 * @property {boolean} canUndo
 * @property {boolean} canRedo
 * @property {boolean} spreading  the view of the spread is open
 * @property {boolean} studying  a study is wanted: it grows unless the view is folded
 * @property {number} units  how many units it is to have
 * @property {wire.Said<"spread"> | null} study  how the newest study stands
 * @property {wire.SpreadAnswer | null} causes  the newest answer that tells what drives it
 * @property {Held | null} held
 * @property {wire.Said<"spread"> | null} tried  what the tolerance held does, until the text that has it is studied
 * @property {boolean} choosing  the view of the choice is open
 * @property {import("./choice.js").Search | null} search  one that runs
 * @property {import("./choice.js").Choice | null} choice  what the newest search has found
 * @property {import("./choice.js").Beside | null} beside  a design beside the text's own
 * @property {string | null} notice  one sentence about what just happened
 */

/** Which units a study has: those that `reedmace spread` takes too. */
const SEED = 1;

/** @returns {State} */
function initial() {
  return {
    link: "connecting", session: null, opened: 0, file: null, name: "", recovered: false, savedText: null, title: null,
    rev: 0, text: "", saved: "saved", conflict: null,
    design: null, form: null, drawing: null, live: null, answer: null, map: null, regions: [], progress: null, faulty: false,
    view: { plane: "xz", offset: null, extent: null, cells: [200, 120], contact: 0, map: true }, cut: null,
    selected: null, drag: null, dragging: false, step: 0.5, playhead: null, pass: "forward", inSpace: null, application: null,
    dark: false, line: null, reveal: null, canUndo: false, canRedo: false,
    spreading: false, studying: true, units: 100_000, study: null, causes: null, held: null, tried: null,
    choosing: false, search: null, choice: null, beside: null, notice: null,
  };
}

export class Store {
  /** Read it freely; change it through `set`. */
  state = initial();

  /** @type {(message: wire.FromPage) => void} Set by the connection. */
  send = () => {};

  /** @type {Set<{keys: (keyof State)[], show: (state: State) => void}>} */
  #watchers = new Set();
  /** @type {Set<keyof State>} */
  #changed = new Set();
  #seq = 0;

  /** What is wanted of a choice. */
  choice = new Choosing(this);

  /** @param {Partial<State>} changes */
  set(changes) {
    const idle = this.#changed.size === 0;
    if (changes.drag !== undefined) changes = { ...changes, dragging: changes.drag !== null };
    for (const key of /** @type {(keyof State)[]} */ (Object.keys(changes))) {
      if (this.state[key] !== changes[key]) this.#changed.add(key);
    }
    Object.assign(this.state, changes);
    if (idle && this.#changed.size > 0) queueMicrotask(() => this.#tell());
  }

  #tell() {
    const changed = this.#changed;
    this.#changed = new Set();
    for (const watcher of [...this.#watchers]) {
      if (watcher.keys.some((key) => changed.has(key))) watcher.show(this.state);
    }
  }

  /**
   * Calls `show` now and whenever one of `keys` has changed.
   * @param {(keyof State)[]} keys
   * @param {(state: State) => void} show
   * @returns {() => void} stops it
   */
  watch(keys, show) {
    const watcher = { keys, show };
    this.#watchers.add(watcher);
    show(this.state);
    return () => this.#watchers.delete(watcher);
  }

  // What a user may want.

  /** @param {{file: string} | {template: string} | {example: string} | {unsaved: string}} what */
  open(what) {
    this.what = what;
    this.send({ say: "open", ...what });
  }

  /** What was opened last. @type {Parameters<Store["open"]>[0] | null} */
  what = null;

  /** Back to the starting page. */
  close() {
    const { link, dark, step, opened } = this.state;
    this.set({ ...initial(), link, dark, step, opened });
  }

  /** The editor's text after a transaction of it. @param {string} text */
  edited(text) {
    const rev = this.state.rev + 1;
    const drag = this.state.drag?.dropped ? null : this.state.drag;
    this.set({ rev, text, drag, held: null, saved: "edited" });
    this.send({ say: "text", rev, text });
  }

  /**
   * Writes a value into the text where `path` says; the server answers with a patch.
   * @param {string} path  `magnet[slug].size[1]`
   * @param {string | null} value  null takes the key out
   * @param {boolean} [raw]  the value is TOML, not the words of a string
   */
  put(path, value, raw) {
    this.#ask({ say: "set", rev: 0, path, value, ...(raw ? { raw } : {}) });
  }

  /** @param {string} table */
  add(table) {
    this.#ask({ say: "add", rev: 0, table });
  }

  /** @param {string} path */
  remove(path) {
    this.#ask({ say: "remove", rev: 0, path });
  }

  /** Values a choice has found. @param {wire.ChosenValue[]} values */
  take(values) {
    this.#ask({ say: "take", rev: 0, values });
  }

  // A patch counts its places in one text, so requests for one go out one at a time, each about the
  // text that the one before has left.

  /** @type {Request[]} the first is on its way */
  #asked = [];

  /** @param {Request} request */
  #ask(request) {
    const last = this.#asked.at(-1);
    const replaces = this.#asked.length > 1 && request.say === "set" && last?.say === "set" && last.path === request.path;
    if (replaces) this.#asked.pop();
    this.#asked.push(request);
    if (this.#asked.length === 1) this.#askFirst();
  }

  #askFirst() {
    const request = this.#asked[0];
    if (request) this.send({ ...request, rev: this.state.rev });
  }

  /**
   * The answer to the request on its way: done, or about a text that is no longer; then it is asked again.
   * @param {boolean} done
   */
  answered(done) {
    if (done) this.#asked.shift();
    this.#askFirst();
  }

  /** Nothing that was asked will be answered any more. */
  forget() {
    this.#asked = [];
    this.choice.forget();
  }

  /** @param {string | null} path */
  select(path) {
    this.set({ selected: path });
  }

  /** Shows the first fault of the text in the editor. */
  revealFault() {
    const mark = this.state.design?.diagnostics.find(({ severity }) => severity === "error");
    if (mark) this.set({ reveal: { from: mark.from, to: mark.to } });
  }

  /** Shows a line of the text in the editor. @param {number} line  from 1 */
  revealLine(line) {
    const lines = this.state.text.split("\n");
    const from = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0);
    this.set({ reveal: { from, to: from + (lines[line - 1]?.length ?? 0) } });
  }

  /**
   * Moves a body without touching the text; call it as often as the pointer moves.
   * @param {string} body
   * @param {wire.Triple} at
   * @param {wire.Triple} [turn]
   */
  drag(body, at, turn = [0, 0, 0]) {
    const seq = ++this.#seq;
    this.set({ drag: { body, seq, at, turn, dropped: false } });
    this.send({ say: "drag", rev: this.state.rev, seq, body, at, turn });
  }

  /** Lets go: the place goes into the text. */
  drop() {
    const drag = this.state.drag;
    if (!drag || drag.dropped) return;
    this.set({ drag: { ...drag, dropped: true } });
    this.#ask({ say: "drop", rev: 0, body: drag.body, at: drag.at, turn: drag.turn });
  }

  /** Puts the body back where the text has it. */
  cancelDrag() {
    if (!this.state.drag) return;
    const rev = this.state.rev + 1;
    this.set({ drag: null, rev });
    this.send({ say: "text", rev, text: this.state.text });
  }

  /** Opens the view of the spread, or folds it: folded it costs nothing. @param {boolean} open */
  showSpread(open) {
    this.letBe();
    if (open && this.state.choosing) this.choice.show(false);
    this.set({ spreading: open });
    this.askStudy();
  }

  /** @param {number} units  how many are wanted from now on */
  studyOf(units) {
    this.set({ units, studying: true });
    this.askStudy();
  }

  /** @param {boolean} on  false: the study stands still where it is */
  goOn(on) {
    this.set({ studying: on });
    this.askStudy();
  }

  /** Tells the server which study is wanted. */
  askStudy() {
    const { spreading, studying, units } = this.state;
    this.send({ say: "spread", units: spreading && studying ? units : null, seed: SEED });
  }

  /**
   * Holds a tolerance elsewhere without touching the text; call it as often as the hand moves.
   * @param {string} path
   * @param {number} times  as wide as the text has it
   */
  hold(path, times) {
    const seq = ++this.#seq;
    this.set({ held: { path, times, seq, dropped: false } });
    // What is held is studied even where the study stands still.
    if (!this.state.studying) this.goOn(true);
    this.send({ say: "hold", rev: this.state.rev, seq, path, times });
  }

  /** Lets go of the tolerance: it goes into the text. */
  keepHeld() {
    const { held } = this.state;
    if (!held || held.dropped) return;
    if (held.times === 1) return this.letBe();
    this.set({ held: { ...held, dropped: true } });
    this.#ask({ say: "tolerance", rev: 0, path: held.path, times: held.times });
  }

  /** Puts the tolerance back where the text has it. */
  letBe() {
    const { held, rev } = this.state;
    if (!held) return;
    this.set({ held: null, tried: null });
    this.send({ say: "hold", rev, seq: held.seq, path: held.path, times: null });
  }

  /** A study has grown, or a tolerance held was studied. @param {wire.Said<"spread">} told */
  studied(told) {
    const { rev, study, held, tried } = this.state;
    if (told.seq !== null) {
      if (held && told.rev === rev && told.seq > (tried?.seq ?? 0)) this.set({ tried: told });
      return;
    }
    if (told.rev < (study?.rev ?? 0)) return;
    const caused = told.answer?.events.some(({ drivers }) => drivers.length > 0);
    // A first look has fewer units than what is shown of the tolerance just let go.
    const enough = told.done || (told.answer?.units ?? 0) >= (tried?.answer?.units ?? 0);
    const settled = told.rev === rev && held === null && enough;
    this.set({ study: told, ...(caused ? { causes: told.answer } : {}), ...(settled ? { tried: null } : {}) });
  }

  /** @param {Partial<wire.View>} changes */
  look(changes) {
    const view = { ...this.state.view, ...changes };
    this.set({ view });
    this.send({ say: "view", ...view, offset: view.offset ?? this.state.cut });
  }

  /**
   * @param {object} [how]
   * @param {boolean} [how.over]  write over what somebody else changed
   * @param {string} [how.as]  save under this name from now on
   */
  save(how = {}) {
    this.set({ saved: "saving" });
    this.send({ say: "save", rev: this.state.rev, ...how });
  }
}

/**
 * Where the exports of the session are: relative to the page.
 * @param {State} state
 * @param {string} what  `report`, `map.svg`, ...
 */
export function exportAddress(state, what) {
  return `api/export/${what}?session=${encodeURIComponent(state.session ?? "")}`;
}
