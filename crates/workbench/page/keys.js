// What the keys do, everywhere, on one sheet: opened by `?`.

import { el, sign } from "./dom.js";

/** Keys apart by two spaces, and what they do. @type {[string, [string, string][]][]} */
const KEYS = [
  ["Everywhere", [
    ["F6", "to the next pane, with Shift to the one before"], ["Ctrl S", "save"],
    ["Ctrl Z", "undo, with Shift redo: text, fields and what was dragged alike"], ["/", "find in the text"], ["u", "the spread of many units, and back"], ["c", "what to choose, and back"], ["?", "this sheet"],
  ]],
  ["Text", [["Ctrl Space", "what may stand here"], ["F8", "to the next fault"], ["Esc", "leave a list or the search"]]],
  ["Fields", [["↑  ↓", "step the number at the cursor by its last digit, with Shift by ten"], ["Esc", "the value as it was"]]],
  ["Plan", [
    ["n  p", "next, previous body"], ["← ↑ → ↓", "move what is selected by the step, with Shift by ten; else the cross-hair"],
    ["PgUp  PgDn", "move it towards or away from you"], ["[  ]", "turn it by 5°, with Shift by 1°"],
    ["Esc", "put back, select nothing"], ["Alt ← ↑ → ↓", "move the sheet"], ["+  −  0", "nearer, farther, everything"],
    ["1  2  3", "from the front, above, the end"],
  ]],
  ["Space", [
    ["← ↑ → ↓", "turn"], ["+  −  0", "nearer, farther, everything"], ["1  2  3  4", "from the corner, the front, above, the end"],
    ["s", "cut along the plan's plane"], ["r", "regions there or not"],
  ]],
  ["Tank, wheel, door", [["a", "there or space in its place"], ["← ↑ → ↓", "the level, the angle: the playhead goes along; with Shift ten times as far"], ["Home  End", "to the start, the end"]]],
  ["Along the sweep", [
    ["←  →", "move the playhead, with Shift ten times as far"], ["Home  End", "to the start, the end"],
    ["PgUp  PgDn", "to the event before, the next"], ["b", "the other way"], ["Space", "play, pause"],
  ]],
  ["Spread", [
    ["← →", "a tolerance tighter, wider by a twentieth: the yield follows"], ["Enter", "write it into the text; so does leaving it alone"],
    ["Esc", "the tolerance as it was"],
  ]],
  ["Choose", [
    ["← →", "along the front: each costs more and has more room"], ["↑ ↓", "through all that was tried, by cost"],
    ["Home  End", "to the first, the last of the front"], ["Enter", "show that design beside this one"], ["Esc", "put it away"],
  ]],
  ["Lines between panes", [["← ↑ → ↓", "move the line"], ["Enter", "fold what is beside it, and back"]]],
];

/** @type {HTMLDialogElement | null} */
let sheet = null;

function made() {
  const dialog = el(
    "dialog.keys-sheet", { "aria-labelledby": "keys-head" },
    el("div.keys-top", {}, el("h2", { id: "keys-head" }, "Keys"),
      el("button.tool", { type: "button", title: "Close (Esc)", "aria-label": "Close", onclick: () => dialog.close() }, sign("close"))),
    el("div.keys-parts", {}, ...KEYS.map(([head, keys]) => el("section", {}, el("h3", {}, head), el("dl", {}, ...keys.flatMap(([names, does]) => [
      el("dt", {}, ...names.split("  ").flatMap((key) => [el("kbd", {}, key), " "])), el("dd", {}, does),
    ]))))),
  );
  // A click beside the sheet closes it.
  dialog.addEventListener("click", (event) => event.target === dialog && dialog.close());
  document.body.append(dialog);
  return dialog;
}

/** Shows the sheet; Esc closes it, and the focus is where it was. */
export function showKeys() {
  sheet ??= made();
  if (!sheet.open) sheet.showModal();
}
