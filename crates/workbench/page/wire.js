// The connection: one WebSocket, found again when lost; the newest message of a kind wins both ways.

/** @import * as wire from "./types/wire.js" */
/** @import { MapPicture, Store } from "./store.js" */

/** Waits between attempts to connect again, ms; the last one repeats. */
const WAITS = [100, 250, 500, 1000, 2000];

/** Kinds of which only the newest waiting one is worth sending. */
const NEWEST = new Set(["text", "drag", "view", "spread", "hold", "choose", "beside"]);

/** @param {ArrayBuffer} frame @param {number} start @param {[number, number]} counts  of points and triangles */
function surface(frame, start, [points, triangles]) {
  return { points: new Float32Array(frame, start, 3 * points), corners: new Uint32Array(frame, start + 12 * points, 3 * triangles) };
}

/** The title as the text states it, faults elsewhere or not. @param {wire.Section[] | null} form */
const titleOf = (form) =>
  form?.flatMap(({ fields }) => fields).find(({ path }) => path === "title")?.text || null;

export class Wire {
  /** @type {WebSocket | null} */
  #socket = null;
  /** @type {wire.FromPage[]} */
  #waiting = [];
  #attempts = 0;
  #flushing = false;

  /**
   * @param {Store} store
   * @param {(changes: wire.Change[], why: string) => void} patch  applies changes to the editor
   * @param {(text: string, why: "opened" | "outside") => void} replace  puts another text into it
   */
  constructor(store, patch, replace) {
    this.store = store;
    this.patch = patch;
    this.replace = replace;
    store.send = (message) => this.#send(message);
    this.#connect();
  }

  #connect() {
    const address = new URL("api/live", document.baseURI);
    address.protocol = address.protocol.replace("http", "ws");
    const socket = new WebSocket(address);
    socket.binaryType = "arraybuffer";
    this.#socket = socket;
    socket.onopen = () => this.#opened();
    socket.onmessage = ({ data }) =>
      typeof data === "string" ? this.#receive(JSON.parse(data)) : this.#receiveFrame(data);
    socket.onclose = () => {
      this.#socket = null;
      this.store.set({ link: "lost" });
      const wait = WAITS[Math.min(this.#attempts++, WAITS.length - 1)];
      setTimeout(() => this.#connect(), wait);
    };
  }

  /** After a lost connection the server, which may be a new one, is asked for the same design again. */
  #opened() {
    const { state, what } = this.store;
    this.#attempts = 0;
    this.store.set({ link: "open" });
    if (state.session !== null && what !== null) {
      this.#again = true;
      this.#waiting = [];
      this.#send({ say: "open", ...(state.file === null ? what : { file: state.file }) });
    }
    this.#flush();
  }

  /** The design is opened again after a lost connection: the editor keeps its text and history. */
  #again = false;

  /** @param {wire.FromPage} message */
  #send(message) {
    if (NEWEST.has(message.say)) {
      this.#waiting = this.#waiting.filter((other) => other.say !== message.say);
    }
    this.#waiting.push(message);
    this.#flush();
  }

  /** Sends while the line takes it; what cannot go waits here, where the newest replaces the older. */
  #flush() {
    const socket = this.#socket;
    if (socket?.readyState !== WebSocket.OPEN) return;
    while (this.#waiting.length > 0 && socket.bufferedAmount === 0) {
      socket.send(JSON.stringify(this.#waiting.shift()));
    }
    if (this.#waiting.length > 0 && !this.#flushing) {
      this.#flushing = true;
      requestAnimationFrame(() => {
        this.#flushing = false;
        this.#flush();
      });
    }
  }

  /** @param {Extract<wire.ToPage, { say: "opened" }>} message */
  #begin(message) {
    const { store } = this;
    const again = this.#again;
    const { text: mine, saved } = store.state;
    this.#again = false;
    store.forget();
    store.set({
      session: message.session, file: message.file, name: message.name, recovered: message.recovered && !again,
      savedText: message.saved, title: null, conflict: null,
      rev: 0, text: message.text, saved: message.recovered ? "edited" : "saved",
      design: null, form: null, drawing: null, live: null, answer: null, map: null, regions: [], faulty: false,
      selected: null, drag: null, playhead: null, study: null, causes: null, held: null, tried: null, search: null, beside: null,
      ...(again ? {} : { choice: null, view: { ...store.state.view, offset: null, contact: 0 }, cut: null, opened: store.state.opened + 1 }),
    });
    if (!again) this.replace(message.text, "opened");
    else if (mine !== message.text && saved === "saved") this.replace(message.text, "outside");
    else if (mine !== message.text) store.edited(mine);
    store.look({});
    store.askStudy();
    store.choice.look();
  }

  /** @param {wire.ToPage} message */
  #receive(message) {
    const { store } = this;
    const { state } = store;
    // Back on the starting page, what the server still says about the design left is of no interest.
    if (state.session === null && message.say !== "opened" && message.say !== "fault") return;
    switch (message.say) {
      case "opened":
        this.#begin(message);
        break;
      case "patch": {
        const fits = message.rev === state.rev;
        if (fits) {
          this.patch(message.changes, message.why);
          // A drop that changes nothing makes no new text that would end the drag.
          if (message.why === "drop" && state.drag?.dropped) store.set({ drag: null });
          if (message.why === "tolerance" && state.held?.dropped) store.letBe();
          store.choice.patched(message.why);
        }
        store.answered(fits);
        break;
      }
      case "design":
        if (message.rev < (state.design?.rev ?? 0)) break;
        store.set({
          design: message,
          title: titleOf(message.form) ?? message.title ?? state.title,
          form: message.form ?? state.form,
          drawing: message.drawing ?? state.drawing,
          faulty: message.diagnostics.some((mark) => mark.severity === "error"),
        });
        break;
      case "live":
        if (!this.#fresh(message, state.live)) break;
        store.set({ live: message, ...(message.seq === null ? { drawing: message.glance.drawing } : {}) });
        break;
      case "map_stands":
        if (this.#map) this.#showMap({ ...this.#map, header: { ...this.#map.header, rev: message.rev, seq: message.seq } });
        break;
      case "answer":
        if (message.rev >= (state.answer?.rev ?? 0)) store.set({ answer: message, progress: null });
        break;
      case "spread":
        store.studied(message);
        break;
      case "searching":
        store.choice.searching(message);
        break;
      case "chosen":
        store.choice.chosen(message);
        break;
      case "beside":
        store.choice.besideTold(message);
        break;
      case "progress":
        if (message.rev === state.rev) {
          store.set({ progress: message.done < message.of ? message : null });
        }
        break;
      case "saved":
        store.set({
          file: message.file, saved: message.rev === state.rev ? "saved" : "edited", conflict: null, recovered: false,
        });
        break;
      case "conflict":
        store.set({ conflict: message, saved: "edited" });
        break;
      case "outside":
        if (message.text === null) {
          store.set({ conflict: message, saved: "edited" });
        } else {
          this.replace(message.text, "outside");
          store.set({ saved: "saved", notice: "The file was changed outside; this is what it holds now." });
        }
        break;
      case "fault":
        if (state.drag?.dropped) store.cancelDrag();
        if (state.held?.dropped) store.letBe();
        store.choice.forget();
        if (message.rev !== null) store.answered(message.rev === state.rev);
        store.set({ notice: message.message, saved: state.saved === "saving" ? "edited" : state.saved });
        break;
    }
  }

  /**
   * Whether a picture is at least as new as the one shown. While a body is dragged, only pictures of the
   * drag count; afterwards only those of the text that holds its new place, or of a later one.
   * @param {{rev: number, seq: number | null}} found
   * @param {{rev: number, seq: number | null} | null | undefined} shown
   */
  #fresh(found, shown) {
    const dragging = this.store.state.drag !== null;
    if (dragging) return found.seq !== null && found.seq >= (shown?.seq ?? 0);
    if (!shown) return true;
    if (found.rev !== shown.rev) return found.rev > shown.rev;
    return shown.seq === null ? found.seq === null : found.seq !== null && found.seq >= shown.seq;
  }

  /**
   * A JSON header with its length before it, padding to 8 bytes, then numbers: the three grids of a map, or
   * the two surfaces of a region.
   * @param {ArrayBuffer} frame
   */
  #receiveFrame(frame) {
    const length = new DataView(frame).getUint32(0, true);
    /** @type {wire.MapHeader | wire.RegionHeader} */
    const header = JSON.parse(new TextDecoder().decode(new Uint8Array(frame, 4, length)));
    const start = Math.ceil((4 + length) / 8) * 8;
    const { state } = this.store;
    if (state.session === null) return;
    if (header.say === "region") {
      const known = state.regions.filter((other) => other.header.rev === header.rev && other.header.contact !== header.contact);
      const held = start + 12 * (header.closes[0] + header.closes[1]);
      this.store.set({ regions: [...known, { header, closes: surface(frame, start, header.closes), holds: surface(frame, held, header.holds) }] });
      return;
    }
    // A map of an older text that has taken longer than the newer one.
    if (header.rev < (state.design?.rev ?? 0)) return;
    const cells = header.across[2] * header.up[2];
    const grid = (/** @type {number} */ k) => new Float32Array(frame, start + 4 * cells * k, cells);
    const map = { header, driveOpen: grid(0), driveClosed: grid(1), room: grid(2) };
    if (header.beside !== null) return this.store.choice.mapped(map);
    this.#map = map;
    this.#showMap(map);
  }

  /** The map that came last, shown or not. @type {MapPicture | null} */
  #map = null;

  /** @param {MapPicture} map */
  #showMap(map) {
    if (this.#fresh(map.header, this.store.state.map?.header)) this.store.set({ map });
  }
}
