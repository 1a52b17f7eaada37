// The design as text. Its history is the only one: form, drags and additions come in as its transactions.

import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, isolateHistory, redo, redoDepth, undo, undoDepth } from "@codemirror/commands";
import { bracketMatching, HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { lintGutter, lintKeymap, setDiagnostics } from "@codemirror/lint";
import { openSearchPanel, search, searchKeymap } from "@codemirror/search";
import { Compartment, EditorState, StateEffect, StateField } from "@codemirror/state";
import { Decoration, drawSelection, EditorView, highlightActiveLine, keymap, lineNumbers } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import { completions, hoverHelp } from "./help.js";
import { extentOfTable, placeAt, toml } from "./toml.js";

/**
 * @import { Change, Mark } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

const colours = HighlightStyle.define([
  { tag: tags.heading, class: "tok-heading" },
  { tag: tags.propertyName, class: "tok-key" },
  { tag: tags.string, class: "tok-string" },
  { tag: [tags.number, tags.bool], class: "tok-number" },
  { tag: tags.operator, class: "tok-operator" },
  { tag: tags.comment, class: "tok-comment" },
]);

const theme = EditorView.theme({
  "&": { height: "100%", fontSize: "13px", backgroundColor: "transparent", color: "inherit" },
  "&.cm-focused": { outline: "none" },
  ".cm-scroller": { fontFamily: "var(--mono)", lineHeight: "20px", overflow: "auto" },
  ".cm-content": { caretColor: "var(--ink)", padding: "4px 0 24px" },
  ".cm-line": { padding: "0 8px 0 4px" },
  ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
  ".cm-gutters": { backgroundColor: "transparent", color: "var(--faded)", border: "none", fontSize: "12px" },
  ".cm-lineNumbers .cm-gutterElement": { padding: "0 4px 0 8px", minWidth: "24px" },
  ".cm-gutter-lint": { width: "12px" },
  ".cm-gutter-lint .cm-gutterElement": { padding: "0" },
  ".cm-activeLine": { backgroundColor: "color-mix(in srgb, var(--ink) 5%, transparent)" },
  "&.cm-focused .cm-selectionBackground, .cm-selectionBackground": {
    backgroundColor: "color-mix(in srgb, var(--drive) 28%, transparent) !important",
  },
  ".cm-panels": { backgroundColor: "var(--wash)", color: "inherit", borderColor: "var(--hairline)" },
});

/** Lines of the body that is selected. @type {import("@codemirror/state").StateEffectType<{from: number, to: number} | null>} */
const chosen = StateEffect.define();

const chosenLines = StateField.define({
  create: () => Decoration.none,
  update(lines, transaction) {
    lines = lines.map(transaction.changes);
    for (const effect of transaction.effects) {
      if (!effect.is(chosen)) continue;
      const range = effect.value;
      if (range === null) return Decoration.none;
      const { doc } = transaction.state;
      const marks = [];
      for (let n = doc.lineAt(range.from).number; n <= doc.lineAt(range.to).number; n++) {
        marks.push(Decoration.line({ class: "cm-chosen" }).range(doc.line(n).from));
      }
      return Decoration.set(marks);
    }
    return lines;
  },
  provide: (field) => EditorView.decorations.from(field),
});

const nonce = document.querySelector('meta[name="style-nonce"]')?.getAttribute("content") ?? "";

export class Editor {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   */
  constructor(host, store) {
    this.store = store;
    this.readOnly = new Compartment();
    this.extensions = [
      EditorView.cspNonce.of(nonce),
      lineNumbers(), lintGutter(), history(), drawSelection(), highlightActiveLine(), bracketMatching(), closeBrackets(),
      toml, syntaxHighlighting(colours), theme, EditorView.lineWrapping, chosenLines,
      autocompletion({ override: [completions(store)], icons: false }), hoverHelp, search({ top: true }),
      EditorView.contentAttributes.of({ "aria-label": "Text of the design", spellcheck: "false", tabindex: "0" }),
      keymap.of([
        ...closeBracketsKeymap, ...completionKeymap, ...historyKeymap, ...searchKeymap, ...lintKeymap, ...defaultKeymap,
      ]),
      EditorView.updateListener.of((update) => {
        if (update.docChanged && !this.#quiet) store.edited(update.state.doc.toString());
        if (update.docChanged || update.transactions.length > 0) {
          store.set({ canUndo: undoDepth(update.state) > 0, canRedo: redoDepth(update.state) > 0 });
        }
        const at = update.state.doc.lineAt(update.state.selection.main.head).number;
        if ((update.selectionSet || update.docChanged) && update.view.hasFocus) store.set({ line: at });
        if (update.selectionSet && update.transactions.some((t) => t.isUserEvent("select"))) this.#selectBody();
      }),
    ];
    this.view = new EditorView({ parent: host, state: EditorState.create({ extensions: this.extensions }) });

    store.watch(["design"], ({ design }) => {
      if (design && design.rev === store.state.rev) this.#mark(design.diagnostics);
    });
    store.watch(["reveal"], ({ reveal }) => {
      if (reveal) this.#reveal(reveal.from, reveal.to);
    });
    store.watch(["selected", "form"], () => this.#showSelected());
  }

  /** While another text is put in from outside, nobody has edited. */
  #quiet = false;
  /** @type {string | null} body whose lines are marked */
  #shown = null;

  /** A new design: with it the history begins anew. @param {string} text */
  begin(text) {
    this.#quiet = true;
    this.view.setState(EditorState.create({ doc: text, extensions: this.extensions }));
    this.#quiet = false;
    this.#shown = null;
    this.store.set({ canUndo: false, canRedo: false });
  }

  /**
   * Another text in the place of this one, as one step that can be undone; only what differs changes, so
   * that the cursor stays.
   * @param {string} text
   * @param {string} why
   */
  exchange(text, why) {
    const old = this.view.state.doc.toString();
    if (old === text) return;
    let from = 0;
    while (from < Math.min(old.length, text.length) && old[from] === text[from]) from++;
    let to = 0;
    while (to < Math.min(old.length, text.length) - from && old.at(-1 - to) === text.at(-1 - to)) to++;
    this.patch([{ from, to: old.length - to, insert: text.slice(from, text.length - to) }], why);
  }

  /**
   * Changes from the form, a drag or the server: one step of the history, joined with the one before
   * while a number is being stepped or typed in one field.
   * @param {Change[]} changes
   * @param {string} why
   */
  patch(changes, why) {
    const joins = why === "set";
    this.view.dispatch({
      changes,
      userEvent: joins ? "input.type.field" : `input.${why}`,
      annotations: joins ? [] : [isolateHistory.of("full")],
    });
  }

  undo() {
    undo(this.view);
  }

  redo() {
    redo(this.view);
  }

  find() {
    openSearchPanel(this.view);
  }

  /** @param {Mark[]} marks */
  #mark(marks) {
    const { length } = this.view.state.doc;
    this.view.dispatch(setDiagnostics(this.view.state, marks.map((mark) => ({
      // Something must be underlined even where the place is empty.
      from: Math.min(mark.from, Math.max(0, length - 1)),
      to: Math.min(Math.max(mark.to, mark.from + 1), length),
      severity: mark.severity,
      source: mark.code,
      message: [mark.message, mark.label, mark.help].filter(Boolean).join("\n"),
    }))));
  }

  /** @param {number} from @param {number} to */
  #reveal(from, to) {
    const { length } = this.view.state.doc;
    const range = { anchor: Math.min(from, length), head: Math.min(to, length) };
    this.view.dispatch({ selection: range, effects: EditorView.scrollIntoView(range.anchor, { y: "center" }) });
    this.view.focus();
    this.store.set({ reveal: null });
  }

  /** The body whose table the cursor is in becomes the selected one. */
  #selectBody() {
    const { state } = this.view;
    const { header } = placeAt(state, state.selection.main.head);
    const section = this.store.state.form?.find(({ line }) => line === header && header > 0);
    this.#shown = section?.path ?? null;
    if (section) this.store.select(section.path);
  }

  #showSelected() {
    const { selected, form } = this.store.state;
    const line = form?.find(({ path }) => path === selected)?.line ?? null;
    const { state } = this.view;
    if (selected === null || line === null || line > state.doc.lines) {
      this.view.dispatch({ effects: chosen.of(null) });
      return;
    }
    const extent = extentOfTable(state, line);
    /** @type {StateEffect<unknown>[]} */
    const effects = [chosen.of(extent)];
    // Chosen elsewhere: bring it into sight, without taking the focus.
    if (this.#shown !== selected) effects.push(EditorView.scrollIntoView(extent.from, { y: "start", yMargin: 24 }));
    this.#shown = selected;
    this.view.dispatch({ effects });
  }
}
