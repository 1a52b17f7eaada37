// TOML as the editor needs it: colouring by a tokenizer, and where in the file a place is.

import { StreamLanguage } from "@codemirror/language";

/** @import { EditorState } from "@codemirror/state" */

/**
 * @typedef {object} Reading
 * @property {"start" | "value"} at
 * @property {number} depth  of open brackets
 * @property {string | null} quote  a string still open
 */

const NUMBER = /^[+\-−]?(\d[\d_]*)(\.\d+)?([eE][+-]?\d+)?/;

/** Colouring: names, numbers and units inside quantities, words, comments. */
export const toml = StreamLanguage.define(
  /** @type {import("@codemirror/language").StreamParser<Reading>} */ ({
    name: "toml",
    startState: () => ({ at: "start", depth: 0, quote: null }),
    token(stream, state) {
      if (state.quote !== null) return inString(stream, state);
      if (stream.sol() && state.depth === 0) state.at = "start";
      if (stream.eatSpace()) return null;
      if (stream.match(/^#.*/)) return "comment";
      if (state.at === "start" && state.depth === 0 && stream.match(/^\[\[?[^\]#]*\]?\]?/)) return "heading";
      if (stream.match(/^("""|'''|"|')/)) {
        state.quote = stream.current();
        return "string";
      }
      if (state.at === "start" || (state.depth > 0 && stream.match(/^[\w-]+(?=\s*=)/, false))) {
        if (stream.match(/^[\w.-]+/)) return "propertyName";
      }
      if (stream.match(/^=/)) {
        state.at = "value";
        return "operator";
      }
      if (stream.match(/^[[{]/)) {
        state.depth += 1;
        return "bracket";
      }
      if (stream.match(/^[\]}]/)) {
        state.depth = Math.max(0, state.depth - 1);
        return "bracket";
      }
      if (stream.match(/^(true|false)\b/)) return "bool";
      if (stream.match(NUMBER)) return "number";
      stream.next();
      return null;
    },
    languageData: { commentTokens: { line: "#" }, closeBrackets: { brackets: ["[", "{", '"'] } },
  }),
);

/**
 * @param {import("@codemirror/language").StringStream} stream
 * @param {Reading} state
 */
function inString(stream, state) {
  const quote = /** @type {string} */ (state.quote);
  if (stream.match(quote)) {
    state.quote = null;
    return "string";
  }
  if (stream.match(NUMBER)) return "number";
  if (stream.match(/^(±|\.\.|[<>≤≥]=?)/)) return "operator";
  stream.next();
  stream.eatWhile((/** @type {string} */ c) => !/[\d±.<>≤≥+\-−]/.test(c) && c !== quote[0]);
  if (stream.eol() && quote.length === 1) state.quote = null;
  return "string";
}

/**
 * @typedef {object} Place
 * @property {string[]} table  `[]` the file itself, `["magnet"]`, `["contact", "coil"]` in an inline table
 * @property {number} header  line of the table's header, 0 for the file itself
 * @property {string | null} key  key of the value the place is in
 */

const HEADER = /^\s*\[\[?\s*([\w.-]+)/;

/**
 * Which table and which key's value a place is in.
 * @param {EditorState} state
 * @param {number} pos
 * @returns {Place}
 */
export function placeAt(state, pos) {
  const line = state.doc.lineAt(pos);
  /** @type {string[]} */
  let table = [];
  let header = 0;
  for (let n = line.number; n >= 1 && header === 0; n--) {
    const found = HEADER.exec(state.doc.line(n).text);
    if (found && !(n === line.number && pos === line.from)) {
      table = found[1].split(".");
      header = n;
    }
  }
  let before = line.text.slice(0, pos - line.from);
  let key = /^\s*([\w-]+)\s*=/.exec(before)?.[1] ?? null;
  // A list that goes over several lines: its key stands further up.
  for (let n = line.number - 1; key === null && n > header && /^\s*(["[{\]\d]|$)/.test(line.text); n--) {
    const text = state.doc.line(n).text;
    key = /^\s*([\w-]+)\s*=/.exec(text)?.[1] ?? null;
    if (key !== null && !/[[{][^\]}]*$/.test(text)) return { table, header, key: null };
  }
  const open = before.lastIndexOf("{");
  if (key !== null && open > before.lastIndexOf("}")) {
    table = [...table, key];
    before = before.slice(open);
    key = /(?:^|[{,])\s*([\w-]+)\s*=[^,{}]*$/.exec(before)?.[1] ?? null;
  }
  return { table, header, key };
}

/**
 * The lines of the table whose header is on `line`: from it to before the next header.
 * @param {EditorState} state
 * @param {number} line
 */
export function extentOfTable(state, line) {
  let last = line;
  for (let n = line + 1; n <= state.doc.lines; n++) {
    const { text } = state.doc.line(n);
    if (HEADER.test(text)) break;
    if (text.trim() !== "" && !text.trim().startsWith("#")) last = n;
  }
  return { from: state.doc.line(line).from, to: state.doc.line(last).to };
}
