// Puts the page together: one store, one connection, and the panes that show the one through the other.

import { AnswersPane } from "./answers/pane.js";
import { ApplicationPane, inSpace, kindOf } from "./application/pane.js";
import { Bar } from "./bar.js";
import { BesidePane } from "./choose/beside.js";
import { ChoosePane } from "./choose/pane.js";
import { Plan } from "./bench/plan.js";
import { Sweep } from "./bench/sweep.js";
import { DesignPane } from "./design/pane.js";
import { Divider } from "./divider.js";
import { say, tool } from "./dom.js";
import { showKeys } from "./keys.js";
import { askName } from "./name.js";
import { Notices } from "./notices.js";
import { SpreadPane } from "./spread/pane.js";
import { offers, Start } from "./start.js";
import { Store } from "./store.js";
import { Wire } from "./wire.js";

/** @param {string} id */
const host = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

const store = new Store();
const design = new DesignPane(host("design"), store);
const { editor } = design;
new Wire(
  store,
  (changes, why) => editor.patch(changes, why),
  (text, why) => (why === "opened" ? editor.begin(text) : editor.exchange(text, why)),
);

// Panes.
const sheet = host("sheet");
const folds = {
  design: new Divider(host("design-gutter"), sheet, { name: "--design-width", axis: "x", from: "start", least: 280, rest: 640, kept: "design-width", fold: "design-folded" }),
  answers: new Divider(host("answers-gutter"), sheet, { name: "--answers-width", axis: "x", from: "end", least: 264, rest: 640, kept: "answers-width", fold: "answers-folded" }),
};
new Divider(host("sweep-gutter"), host("bench"), { name: "--sweep-height", axis: "y", from: "end", least: 120, rest: 200, kept: "sweep-height" });
const views = /** @type {HTMLElement} */ (document.querySelector(".views"));
new Divider(host("space-gutter"), views, { name: "--space-width", axis: "x", from: "end", least: 160, rest: 240, kept: "space-width", fold: "space-folded" });
const narrow = matchMedia("(max-width: 1100px)");
const foldForWidth = () => folds.design.fold(narrow.matches);
narrow.addEventListener("change", foldForWidth);
foldForWidth();

new AnswersPane(host("answers"), store);
new Plan(host("plan"), store);
new Sweep(host("sweep"), store);
new SpreadPane(host("spread"), store);
new ChoosePane(host("choose"), store);
new BesidePane(host("beside"), store);
// The spread lies over plan and space; a choice above the plan, in the place of space and sweep.
store.watch(["spreading", "choosing"], ({ spreading, choosing }) => {
  host("spread").hidden = !spreading;
  host("choose").hidden = host("beside").hidden = !choosing;
  host("bench").classList.toggle("with-spread", spreading);
  host("bench").classList.toggle("with-choose", choosing);
});
// An application stands in the place of space, unless space is wanted.
new ApplicationPane(host("application"), store);
const toApplication = tool({ text: "Application", title: "The application in the place of space (a)", onclick: () => store.set({ inSpace: false }) });
host("space").querySelector(".tools")?.prepend(toApplication);
store.watch(["drawing", "form", "answer", "application", "inSpace"], (state) => {
  const kind = kindOf(state);
  toApplication.hidden = kind === null;
  if (kind) say(toApplication, kind);
  host("application").hidden = kind === null || inSpace(state);
  host("space").hidden = kind !== null && !inSpace(state);
});
// Three dimensions come with a large library: after the first picture.
requestAnimationFrame(() => setTimeout(async () => {
  const { Space } = await import("./bench/space.js");
  new Space(host("space"), store);
}));
new Notices(host("notices"), store, editor);

// Paper or board: as the system has it, unless chosen here.
const system = matchMedia("(prefers-color-scheme: dark)");
const showMode = () => {
  const chosen = localStorage.getItem("reedmace.mode");
  const dark = chosen === null ? system.matches : chosen === "dark";
  document.documentElement.dataset.theme = dark ? "dark" : "light";
  store.set({ dark });
};
system.addEventListener("change", showMode);
showMode();

const save = async () => {
  const { session, saved, file } = store.state;
  if (session === null || saved === "saving") return;
  if (file !== null) return store.save();
  const name = await askName(store.state.name);
  if (name) store.save({ as: name });
};

new Bar(host("bar"), store, design, {
  home: () => (location.hash = ""),
  foldDesign: () => folds.design.fold(),
  toggleMode: () => {
    localStorage.setItem("reedmace.mode", store.state.dark ? "light" : "dark");
    showMode();
  },
  save,
});

// What the page is about stands in its address, so that reload, back and bookmarks do what they say.
const start = new Start(host("start"), store);
const go = async () => {
  const what = Object.fromEntries(new URLSearchParams(location.hash.slice(1)));
  if (Object.keys(what).length > 0) return store.open(/** @type {{file: string}} */ (what));
  store.close();
  try {
    start.show(await offers());
  } catch (why) {
    start.fail(`${why}`);
  }
};
addEventListener("hashchange", go);
store.watch(["session", "file"], ({ session, file }) => {
  sheet.hidden = session === null;
  host("start").hidden = session !== null;
  if (session !== null && file !== null) history.replaceState(null, "", `#${new URLSearchParams({ file })}`);
});
if (location.hash.length > 1) go();
else {
  offers().then(
    (offer) => (offer.open === null ? start.show(offer) : store.open({ file: offer.open })),
    (why) => start.fail(`${why}`),
  );
}

// A picture of an older text is greyed.
store.watch(["faulty", "drawing"], ({ faulty, drawing }) => {
  for (const id of ["plan", "space", "application", "spread", "choose", "beside", "sweep", "answers"]) host(id).classList.toggle("stale", faulty && drawing !== null);
});

// Keys that mean the same everywhere.
const panes = () => {
  const { spreading, choosing } = store.state;
  return ["design", ...(choosing ? ["choose", "plan", "beside"] : [...(spreading ? ["spread"] : ["plan", host("space").hidden ? "application" : "space"]), "sweep"]), "answers"];
};
addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const typing = target.closest("input, textarea, select, [contenteditable]") !== null;
  const key = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && key === "s") {
    event.preventDefault();
    save();
  } else if ((event.ctrlKey || event.metaKey) && (key === "z" || key === "y") && !target.closest(".cm-editor")) {
    event.preventDefault();
    if (key === "y" || event.shiftKey) editor.redo();
    else editor.undo();
  } else if (event.key === "F6" && store.state.session !== null) {
    event.preventDefault();
    const all = panes();
    const at = all.findIndex((id) => host(id).contains(document.activeElement));
    const next = all[(at + (event.shiftKey ? all.length - 1 : 1) + (at < 0 && event.shiftKey ? 1 : 0)) % all.length];
    if (next === "design") folds.design.fold(false);
    const inside = /** @type {HTMLElement | null} */ (host(next).querySelector(".cm-content, .stage [tabindex], .stage, .tool:not([hidden])"));
    if (inside && inside.tabIndex < 0 && !inside.isContentEditable) inside.tabIndex = -1;
    inside?.focus();
  } else if (event.key === "?" && !typing && document.querySelector("dialog[open]") === null) {
    event.preventDefault();
    showKeys();
  } else if (key === "u" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey && store.state.session !== null) {
    event.preventDefault();
    store.showSpread(!store.state.spreading);
    if (store.state.spreading) /** @type {HTMLElement | null} */ (host("spread").querySelector("select"))?.focus();
  } else if (key === "c" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey && store.state.session !== null) {
    event.preventDefault();
    store.choice.show(!store.state.choosing);
    if (store.state.choosing) /** @type {HTMLElement | null} */ (host("choose").querySelector(".front-box, .act, .tool"))?.focus();
  } else if (key === "a" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey && kindOf(store.state)) {
    event.preventDefault();
    store.set({ inSpace: !inSpace(store.state) });
  } else if (event.key === "/" && !typing && store.state.session !== null) {
    event.preventDefault();
    design.find();
  }
});

addEventListener("beforeunload", (event) => {
  // The server keeps a journal, so only edits it has not heard of yet could be lost.
  if (store.state.link !== "open" && store.state.saved !== "saved") event.preventDefault();
});
