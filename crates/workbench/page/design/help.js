// Completion and hover help from the schema, and from what the form knows of names and families.

import { hoverTooltip } from "@codemirror/view";
import { el } from "../dom.js";
import { about, designSchema, isList, isTable, tableOf, words } from "./schema.js";
import { placeAt } from "./toml.js";

/**
 * @import { Completion, CompletionContext, CompletionResult } from "@codemirror/autocomplete"
 * @import { Store } from "../store.js"
 * @import { Schema } from "./schema.js"
 * @import { Place } from "./toml.js"
 */

/** What is known about a key: meaning, range, default, example. @param {string} key @param {Schema} schema */
function card(key, schema) {
  const { meaning, facts, example } = about(schema.description ?? "");
  return el(
    "div.help-card", {},
    el("div", {}, el("code", {}, key), " – ", meaning),
    facts.length > 0 && el("div.faded", {}, facts.join(". "), "."),
    example && el("code.example", {}, example),
  );
}

/**
 * Choices the form has for the key at a place: grades, families, names of this design.
 * @param {Store} store
 * @param {Place} place
 */
function choices(store, place) {
  const section = store.state.form?.find(({ line }) => (line ?? 0) === place.header);
  return section?.fields.find(({ key }) => key === place.key)?.choices ?? [];
}

/**
 * Headers of tables, where a line begins with a bracket.
 * @param {Schema} schema
 * @returns {Completion[]}
 */
function headers(schema) {
  return Object.entries(schema.properties ?? {})
    .filter(([, inner]) => isTable(inner))
    .map(([name, inner]) => ({
      label: isList(inner) ? `[[${name}]]` : `[${name}]`,
      type: "type",
      detail: about(inner.description ?? "").meaning,
    }));
}

/** @param {Schema} table @param {string} text of the table so far @param {boolean} inline @returns {Completion[]} */
function keys(table, text, inline) {
  return Object.entries(table.properties ?? {})
    .filter(([key, inner]) => !isTable(inner) && !new RegExp(`(^|[{,\\n])\\s*${key}\\s*=`).test(text))
    .map(([key, inner]) => {
      const { example } = about(inner.description ?? "");
      const given = example?.startsWith(`${key} = `) ? example : `${key} = `;
      return {
        label: key,
        type: "property",
        apply: inline || table.required?.includes(key) || words(inner).length > 0 ? `${key} = ` : given,
        boost: table.required?.includes(key) ? 1 : 0,
        info: () => card(key, inner),
      };
    });
}

/** @param {Store} store */
export function completions(store) {
  /** @param {CompletionContext} context @returns {Promise<CompletionResult | null>} */
  return async (context) => {
    const schema = await designSchema();
    const { state, pos } = context;
    const line = state.doc.lineAt(pos);
    const before = line.text.slice(0, pos - line.from);
    if (/^[^"]*#/.test(before)) return null;

    const header = /^\s*\[\[?\w*$/.exec(before);
    if (header) {
      const from = line.from + (header[0].length - header[0].trimStart().length);
      // A bracket that closed itself goes with the word.
      const to = pos + (/^\]*/.exec(line.text.slice(pos - line.from))?.[0].length ?? 0);
      return { from, to, options: headers(schema), filter: true };
    }

    const place = placeAt(state, pos);
    const table = tableOf(schema, place.table);
    if (!table) return null;
    const name = /[\w-]*$/.exec(before)?.[0] ?? "";
    const inline = before.includes("{");
    const atKey = place.key === null && /(^|[{,])\s*[\w-]*$/.test(before);
    if (atKey) {
      if (name === "" && !context.explicit) return null;
      const text = state.sliceDoc(place.header === 0 ? 0 : state.doc.line(place.header).to, extent(state, place.header));
      return { from: pos - name.length, options: keys(table, inline ? before : text, inline), validFor: /^[\w-]*$/ };
    }
    const inner = place.key === null ? undefined : table.properties?.[place.key];
    if (!inner) return null;
    const value = /"([^"]*)$/.exec(before);
    if (!value && !context.explicit && !/=\s*$/.test(before)) return null;
    const known = [...new Set([...words(inner), ...choices(store, place)])];
    const { example } = about(inner.description ?? "");
    const shown = example?.replace(/^[\w-]+\s*=\s*/, "");
    /** @type {Completion[]} */
    const options = value
      ? known.map((word) => ({ label: word, type: "constant" }))
      : known.map((word) => ({ label: `"${word}"`, type: "constant" }));
    if (!value && known.length === 0 && shown) options.push({ label: shown, type: "text", detail: "example" });
    return options.length === 0 ? null : { from: value ? pos - value[1].length : pos, options };
  };
}

/** @param {import("@codemirror/state").EditorState} state @param {number} header @returns {number} */
function extent(state, header) {
  for (let n = header + 1; n <= state.doc.lines; n++) {
    const line = state.doc.line(n);
    if (/^\s*\[/.test(line.text)) return line.from;
  }
  return state.doc.length;
}

/** Help on the key or the table under the pointer. */
export const hoverHelp = hoverTooltip(async (view, pos) => {
  const schema = await designSchema();
  const { state } = view;
  const line = state.doc.lineAt(pos);
  const header = /^(\s*\[\[?\s*)([\w.-]+)/.exec(line.text);
  if (header) {
    const inner = header[2].split(".").reduce((/** @type {Schema | undefined} */ at, key) => at?.properties?.[key], schema);
    if (!inner?.description) return null;
    const text = inner.description;
    return { pos: line.from, end: line.to, above: true, create: () => ({ dom: el("div.help-card", {}, text) }) };
  }
  const word = state.wordAt(pos);
  if (!word) return null;
  const place = placeAt(state, word.from);
  const key = state.sliceDoc(word.from, word.to);
  const inner = tableOf(schema, place.table)?.properties?.[key];
  const isKey = /^\s*=/.test(state.sliceDoc(word.to, line.to));
  if (!isKey || !inner?.description) return null;
  return { pos: word.from, end: word.to, above: true, create: () => ({ dom: card(key, inner) }) };
}, { hideOnChange: true });
