// The design as fields: one group per table, the keys it states, and those it might.

import { el, sign } from "../dom.js";
import { component, label, Row } from "./field.js";

/**
 * @import { Field, Mark, Section } from "../types/wire.js"
 * @import { Store } from "../store.js"
 * @import { Strip } from "./strip.js"
 */

/** Tables a design may have more of, and what each is for. @type {[string, string][]} */
const ADDABLE = [
  ["contact", "a reed contact"], ["magnet", "a permanent magnet"], ["coil", "a coil"], ["steel", "a body of steel"],
  ["conductor", "a conductor near by"], ["motor", "a motor near by"], ["latch", "that the contacts remember"], ["relay", "that the coil is a relay's"],
  ["rotor", "that a contact counts a wheel"], ["door", "that what moves is a door"], ["target", "that the steel that moves is seen"],
  ["tank", "the tank that the level is of"], ["slosh", "what shakes the tank"], ["ladder", "resistors that the contacts tap"],
  ["load", "what a contact switches"], ["life", "a test of how long contacts live"], ["demand", "what is demanded"],
];

/** Tables of which there is one. */
const ONCE = new Set(["latch", "relay", "rotor", "door", "target", "tank", "slosh", "ladder", "life"]);

/**
 * Whether a table is offered: one of which there is one, once; a latch where something may hold and something else
 * set, a relay where there is a coil, and what tells more of a sweep where the sweep is of that kind.
 * @param {string} table @param {Section[]} form
 */
function offered(table, form) {
  const all = (/** @type {string} */ one) => form.filter((section) => section.table === one);
  const sweep = (/** @type {string} */ key) =>
    all("sweep")[0]?.fields.find(({ path }) => path === `sweep.${key}`)?.text ?? "";
  if (ONCE.has(table) && all(table).length > 0) return false;
  switch (table) {
    case "latch": return all("magnet").length + all("coil").length > 1;
    case "relay": return all("coil").length > 0;
    case "rotor": return sweep("kind") === "spin";
    case "door": return sweep("kind") === "line" || sweep("kind") === "arc";
    case "target": return sweep("kind") === "line" && all("steel").some(({ name }) => sweep("moves").replace(/^\W+/, "").startsWith(name ?? "\0"));
    case "tank": case "ladder": return sweep("kind") === "level";
    case "slosh": return all("tank").length > 0;
    default: return true;
  }
}

/** Fields of one key together: `size` is three. @param {Field[]} fields @returns {Field[][]} */
function byKey(fields) {
  /** @type {Map<string, Field[]>} */
  const keys = new Map();
  for (const field of fields) {
    const key = component(field)?.[1] ?? field.path;
    keys.set(key, [...(keys.get(key) ?? []), field]);
  }
  return [...keys.values()];
}

/** What a key begins with when it is added. @param {Field[]} fields @returns {[string, boolean]} value, TOML or not */
function beginning(fields) {
  const [first] = fields;
  const value = (/** @type {Field} */ field) => field.default ?? field.example;
  if (fields.length > 1 || component(first)) {
    const parts = fields.map((field) => (field.kind === "quantity" ? JSON.stringify(value(field)) : value(field)));
    return [`[${parts.join(", ")}]`, true];
  }
  return [first.choices?.[0] ?? value(first), first.kind === "list"];
}

/** One table as a group of rows. */
class Group {
  /**
   * @param {Store} store
   * @param {Section} section
   * @param {(field: Field) => void} told
   */
  constructor(store, section, told) {
    this.store = store;
    this.section = section;
    this.told = told;
    /** @type {Map<string, Row>} */
    this.rows = new Map();
    this.title = el("summary", { onclick: (/** @type {MouseEvent} */ event) => this.#choose(event) });
    this.body = el("div.rows");
    this.more = el("select.pick.more", { "aria-label": "Add a key", onchange: () => this.#addKey() });
    this.out = el("button.tool", {
      type: "button", onclick: () => store.remove(this.section.path),
    }, sign("remove"));
    this.box = el("details.group", { open: true }, this.title, this.body, el("div.group-foot", {}, this.more, this.out));
    this.show(section, []);
  }

  /** The first click chooses the table and keeps it open; from then on clicks fold it. @param {MouseEvent} event */
  #choose(event) {
    if (this.store.state.selected === this.section.path) return;
    event.preventDefault();
    this.box.open = true;
    this.store.select(this.section.path);
  }

  #addKey() {
    const fields = byKey(this.section.fields).find(([first]) => label(first.key) === this.more.value);
    this.more.value = "";
    if (!fields) return;
    const path = component(fields[0])?.[1] ?? fields[0].path;
    const [value, raw] = beginning(fields);
    this.store.put(path, value, raw);
    this.fresh = path;
  }

  /** @type {string | null} key just added: gets the focus when it comes */
  fresh = null;

  /** @param {Section} section @param {Mark[]} marks */
  show(section, marks) {
    this.section = section;
    const { table, name, path } = section;
    this.title.replaceChildren(el("span.table", {}, table), name === null ? "" : el("strong", {}, name));
    this.title.title = section.summary;
    this.box.dataset.path = path;
    this.out.hidden = !section.removable;
    this.out.title = `Take ${table} ${name ?? ""} out`;
    this.out.setAttribute("aria-label", this.out.title);

    const keys = byKey(section.fields);
    const shown = keys.filter((fields) => fields.some((field) => field.text !== null || field.required));
    /** @type {Map<string, Row>} */
    const rows = new Map();
    for (const fields of shown) {
      const id = `${fields.length} ${fields[0].key}`;
      const row = this.rows.get(id) ?? new Row(this.store, fields, this.told);
      row.show(fields, marks.filter(({ line }) => fields.some((field) => field.line === line)));
      rows.set(id, row);
    }
    for (const [id, row] of this.rows) if (!rows.has(id)) row.box.remove();
    this.rows = rows;
    [...rows.values()].forEach((row, k) => {
      if (this.body.children[k] !== row.box) this.body.insertBefore(row.box, this.body.children[k] ?? null);
      if (this.fresh !== null && row.path === this.fresh) {
        this.fresh = null;
        queueMicrotask(() => row.values[0].input.focus());
      }
    });

    const absent = keys.filter((fields) => !shown.includes(fields));
    const options = absent.map(([first]) => label(first.key));
    if (String(options) !== this.more.dataset.options) {
      this.more.dataset.options = String(options);
      this.more.replaceChildren(
        el("option", { value: "" }, "add a key …"),
        ...absent.map(([first]) => el("option", { value: label(first.key), title: first.meaning }, label(first.key))),
      );
    }
    this.more.hidden = absent.length === 0;
  }
}

export class Form {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   * @param {Strip} strip
   */
  constructor(host, store, strip) {
    this.store = store;
    this.strip = strip;
    /** @type {Map<string, Group>} */
    this.groups = new Map();
    this.list = el("div.form", { tabIndex: -1 });
    this.lack = el("div.form-lack");
    host.append(this.list);
    store.watch(["form", "design"], () => this.#show());
    store.watch(["selected"], ({ selected }) => this.#select(selected));
  }

  #show() {
    const { form, design } = this.store.state;
    // Without TOML there is nothing a field could be written into.
    this.list.inert = design !== null && design.form === null;
    this.list.classList.toggle("stale", this.list.inert);
    // What is missing has no place of its own, and belongs to no field.
    const marks = this.list.inert ? [] : (design?.diagnostics ?? []).filter(({ from, to }) => to > from);
    /** @type {Map<string, Group>} */
    const groups = new Map();
    /** @type {Map<string, number>} */
    const count = new Map();
    for (const section of form ?? []) {
      const nth = (count.get(section.table) ?? 0) + 1;
      count.set(section.table, nth);
      const id = `${section.table} ${nth}`;
      const group = this.groups.get(id) ?? new Group(this.store, section, (field) => this.strip.show(field));
      group.show(section, marks);
      groups.set(id, group);
    }
    for (const [id, group] of this.groups) if (!groups.has(id)) group.box.remove();
    this.groups = groups;
    [...groups.values()].forEach((group, k) => {
      if (this.list.children[k] !== group.box) this.list.insertBefore(group.box, this.list.children[k] ?? null);
    });
    this.#showLack(form ?? []);
    this.list.append(this.lack);
    this.strip.refresh(form ?? []);
  }

  /** What the design still lacks, and what more it may have. @param {Section[]} form */
  #showLack(form) {
    const count = new Set(form.map(({ table }) => table));
    const add = (/** @type {string} */ table, /** @type {string} */ words) =>
      el("button.act", { type: "button", onclick: () => this.store.add(table) }, words);
    const lacks = [];
    if (this.store.state.form !== null) {
      if (!count.has("contact")) lacks.push(teach("No contact yet", "Nothing is there to operate.", add("contact", "Add a contact")));
      if (!count.has("magnet") && !count.has("coil")) {
        lacks.push(teach("No magnet yet", "Nothing makes field, so the contact has nothing to close for.", add("magnet", "Add a magnet"), add("coil", "Add a coil")));
      }
      if (!count.has("demand")) {
        lacks.push(teach("No demand yet", "Say where the contact must be closed or open, and it is judged.", add("demand", "Add a demand")));
      }
      lacks.push(el(
        "div.add-row", { role: "group", "aria-label": "Add to the design" }, sign("add"),
        ...ADDABLE.filter(([table]) => offered(table, form)).map(([table, what]) => el("button.tool", {
          type: "button", title: `Add ${what}`, onclick: () => this.store.add(table),
        }, table)),
      ));
    }
    this.lack.replaceChildren(...lacks);
  }

  /** @param {string | null} selected */
  #select(selected) {
    for (const group of this.groups.values()) {
      const on = group.section.path === selected && selected !== null;
      group.box.classList.toggle("chosen", on);
      if (!on || group.box.contains(document.activeElement)) continue;
      group.box.open = true;
      this.list.scrollTo({ top: group.box.offsetTop - 4 });
    }
  }
}

/** @param {string} head @param {string} text @param {...HTMLElement} offers */
function teach(head, text, ...offers) {
  return el("div.teach", {}, el("strong", {}, head), text, el("div", {}, ...offers));
}
