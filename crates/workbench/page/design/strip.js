// What the field one is at means, its range, and where its value is from.

import { el } from "../dom.js";
import { SOURCES } from "./field.js";

/**
 * @import { Field, Section } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

export class Strip {
  /** @param {Store} store */
  constructor(store) {
    this.store = store;
    this.meaning = el("div");
    this.facts = el("div.faded");
    this.source = el("select.pick", {
      "aria-label": "Where the value is from",
      onchange: () => this.field && store.put(`${this.field.path}.source`, this.source.value || null),
    }, el("option", { value: "" }, "not said"), ...Object.keys(SOURCES).map((word) => el("option", {}, word)));
    this.note = el("input", {
      type: "text", placeholder: "a note on it", "aria-label": "Note on the value",
      onchange: () => this.field && store.put(`${this.field.path}.note`, this.note.value.trim() || null),
    });
    this.origin = el("div.origin", {}, el("span.faded", {}, "from"), this.source, this.note);
    this.box = el("div.strip", {}, this.meaning, this.facts, this.origin);
    /** @type {Field | null} */
    this.field = null;
    this.show(null);
    store.watch(["line"], ({ line, form }) => {
      const field = line === null ? undefined : form?.flatMap(({ fields }) => fields).find((other) => other.line === line);
      if (field) this.show(field);
    });
  }

  /** @param {Field | null} field */
  show(field) {
    this.field = field;
    this.meaning.replaceChildren(...(field ? [el("strong", {}, field.key.replaceAll("_", " ")), ` – ${field.meaning}`] : []));
    if (!field) this.meaning.textContent = "A value is written with its unit and tolerance: 8 ± 0.3 mm, 20..25 AT, 1.2 T ± 5 %.";
    this.facts.textContent = field
      ? [
          field.limits && `${field.limits[0]} to ${field.limits[1]}`,
          field.default !== null && `${field.default} if absent`,
          field.example && `e.g. ${field.example}`,
        ].filter(Boolean).join(" · ")
      : "Arrow up and down step the number at the cursor by its last digit.";
    this.origin.hidden = field === null || field.text === null || (field.kind !== "quantity");
    this.source.value = field?.source ?? "";
    if (document.activeElement !== this.note) this.note.value = field?.note ?? "";
  }

  /** @param {Section[]} form */
  refresh(form) {
    const path = this.field?.path;
    const field = path && form.flatMap(({ fields }) => fields).find((other) => other.path === path);
    if (field) this.show(field);
  }
}
