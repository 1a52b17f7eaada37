// One row of the form: a key, its value with unit and tolerance as the text has it, its source mark.

import { el, words } from "../dom.js";
import { step } from "./step.js";

/**
 * @import { Field, Mark } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** What stands for a source beside a value. @type {Record<string, string>} */
export const SOURCES = { measured: "M", supplier: "S", standard: "N", guess: "?" };

const OTHER = "another …";

/** `size x` and `size y` are both of `size`. @param {Field} field */
export const component = (field) => /^(.*)\[(\d)\]$/.exec(field.path);

/** A key as words. @param {string} key */
export const label = (key) => key.replace(/ [xyz]$/, "").replaceAll("_", " ");

/** One value: text, a choice, or TOML. */
class Value {
  /**
   * @param {Store} store
   * @param {Field} field
   * @param {(field: Field) => void} told  called when the user comes to it
   */
  constructor(store, field, told) {
    this.store = store;
    this.field = field;
    this.box = el("span.value");
    this.mark = el("span.source-mark");
    this.#make(this.#choosing());
    this.box.addEventListener("focusin", () => {
      this.#before = this.field.text;
      told(this.field);
    });
  }

  /** Typed, and not yet come back in a form. */
  #dirty = false;
  /** @type {string | null} text when the user came to it */
  #before = null;
  /** @type {HTMLInputElement | HTMLSelectElement} */
  input = el("input");

  #choosing() {
    const { choices, kind } = this.field;
    return choices !== null && choices.length > 0 && (kind === "choice" || kind === "text");
  }

  /** @param {boolean} choosing */
  #make(choosing) {
    this.input = choosing ? this.#select() : this.#text();
    this.box.replaceChildren(this.input, this.mark);
    this.#describe();
  }

  #select() {
    const { choices, text, kind, required } = this.field;
    const options = [...new Set([...(text === null ? [] : [text]), ...(choices ?? [])])];
    const select = el("select", {
      onchange: () => {
        if (select.value === OTHER) {
          this.#make(false);
          this.input.focus();
        } else this.#put(select.value);
      },
    });
    if (text === null) select.append(el("option", { value: "" }, required ? "" : (this.field.default ?? "")));
    for (const option of options) select.append(el("option", {}, option));
    if (kind === "text") select.append(el("option", {}, OTHER));
    select.value = text ?? "";
    return select;
  }

  #text() {
    const { field } = this;
    // A name is what everything else calls it: it is given when it is whole.
    const whole = field.key === "name" || field.kind === "list" || field.key === "title";
    const input = el("input", {
      type: "text", value: field.text ?? "", placeholder: field.default ?? "", spellcheck: false, autocomplete: "off",
      oninput: () => {
        this.#dirty = true;
        if (!whole) this.#put(input.value);
      },
      onchange: () => {
        if (whole && input.value !== (field.text ?? "")) this.#put(input.value);
      },
      onblur: () => {
        this.#dirty = false;
      },
      onkeydown: (/** @type {KeyboardEvent} */ event) => this.#key(event, input),
    });
    if (field.kind === "list") input.classList.add("toml");
    return input;
  }

  /** @param {KeyboardEvent} event @param {HTMLInputElement} input */
  #key(event, input) {
    const up = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    const { kind } = this.field;
    if (up !== undefined && (kind === "quantity" || kind === "number")) {
      const stepped = step(input.value || (this.field.default ?? ""), input.selectionStart ?? 0, event.shiftKey ? 10 * up : up);
      event.preventDefault();
      if (!stepped) return;
      input.value = stepped.text;
      input.setSelectionRange(stepped.caret, stepped.caret);
      this.#dirty = true;
      this.#put(input.value);
    } else if (event.key === "Escape" && input.value !== (this.#before ?? "")) {
      event.stopPropagation();
      input.value = this.#before ?? "";
      this.#put(input.value);
    } else if ((event.ctrlKey || event.metaKey) && /^[zy]$/i.test(event.key)) {
      // What undo brings is to be shown here too.
      this.#dirty = false;
    } else if (event.key === "Enter") {
      input.dispatchEvent(new Event("change"));
      input.select();
    }
  }

  /** @param {string} value */
  #put(value) {
    const { path, kind, required } = this.field;
    const gone = value.trim() === "" && !required && !component(this.field);
    this.store.put(path, gone ? null : value, kind === "list");
  }

  #describe() {
    const { field, input } = this;
    input.setAttribute("aria-label", `${field.key.replaceAll("_", " ")}: ${field.meaning}`);
    if (input instanceof HTMLInputElement) input.title = input.value;
    this.mark.textContent = field.source ? (SOURCES[field.source] ?? "") : "";
    this.mark.title = field.source ?? "";
  }

  /** @param {Field} field */
  show(field) {
    const before = this.field;
    this.field = field;
    const choicesChanged = String(before.choices) !== String(field.choices) || before.text !== field.text;
    if (this.input instanceof HTMLSelectElement) {
      if (choicesChanged) this.#remake();
      else this.input.value = field.text ?? "";
    } else if (this.#choosing() && document.activeElement !== this.input && field.text !== null) {
      this.#make(true);
    } else {
      const text = field.text ?? "";
      if (this.input.value === text) this.#dirty = false;
      else if (!this.#dirty || document.activeElement !== this.input) this.input.value = text;
      this.input.placeholder = field.default ?? "";
    }
    this.#describe();
  }

  #remake() {
    const focused = document.activeElement === this.input;
    this.#make(true);
    if (focused) this.input.focus();
  }
}

/** A key with its value, or with its three. */
export class Row {
  /**
   * @param {Store} store
   * @param {Field[]} fields  one, or one per axis
   * @param {(field: Field) => void} told
   */
  constructor(store, fields, told) {
    this.store = store;
    this.fields = fields;
    this.values = fields.map((field) => new Value(store, field, told));
    const named = label(fields[0].key);
    this.wrong = el("p.wrong", { hidden: true });
    this.drop = el("button.tool.drop", {
      type: "button", title: `Take ${named} out`, "aria-label": `Take ${named} out`,
      onclick: () => this.store.put(this.path, null),
    }, "×");
    this.box = el(
      "div.field", { role: "group", "aria-label": named },
      this.drop,
      el("span.key", { title: fields[0].meaning }, named),
      el("span.values", {}, ...this.values.map((value) => value.box)),
      this.wrong,
    );
    this.show(fields, []);
  }

  /** Of the key as a whole. */
  get path() {
    return component(this.fields[0])?.[1] ?? this.fields[0].path;
  }

  /** @param {Field[]} fields @param {Mark[]} marks */
  show(fields, marks) {
    this.fields = fields;
    this.values.forEach((value, k) => value.show(fields[k]));
    this.box.classList.toggle("triple", fields.length > 1);
    this.drop.hidden = fields[0].required;
    this.wrong.hidden = marks.length === 0;
    this.wrong.replaceChildren(...words(marks.map((mark) => [mark.message, mark.label].filter(Boolean).join(": ")).join("\n")));
    this.box.classList.toggle("at-fault", marks.some(({ severity }) => severity === "error"));
    for (const { input } of this.values) input.setAttribute("aria-invalid", String(marks.length > 0));
  }
}
