// The pane of answers, in the order of the terminal and the report; the title block stays in sight.

import { el, renew, tool } from "../dom.js";
import { copy, table } from "./copy.js";
import { demands } from "./demands.js";
import { door } from "./door.js";
import { drivers } from "./drivers.js";
import { events } from "./events.js";
import { figures } from "./figures.js";
import { loads } from "./load.js";
import { conversions, magnets, steel, strongest, warnings } from "./notes.js";
import { Said } from "./said.js";
import { titleBlock } from "./title-block.js";

/** @import { Store } from "../store.js" */

/** There is no answer yet, and none will come of this text. @param {Store} store */
const nothing = (store) => el(
  "div.teach", {}, el("strong", {}, "No answer yet"), "The text has faults. As soon as they are mended, it is computed.",
  el("button.act", { type: "button", onclick: () => store.revealFault() }, "Show the first fault"),
);

export class AnswersPane {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   */
  constructor(host, store) {
    const find = (/** @type {string} */ what) => /** @type {HTMLElement} */ (host.querySelector(what));
    const stage = find(".stage");
    stage.tabIndex = 0;
    const progress = el("progress.progress", { max: 1, "aria-label": "Working out the answer" });
    const found = el("div");
    const judged = el("div");
    const rest = el("div");
    const said = new Said(store);
    stage.append(progress, el("div.parts", {}, found, judged, rest));

    const copied = tool({ icon: "copy", text: "Copy", title: "Copy as a table", onclick: async () => {
      const { answer } = store.state;
      if (!answer) return;
      await copy(table(answer.answer)).then(
        () => store.set({ notice: "Events, demands and conversions are on the clipboard, with tabs between." }),
        (why) => store.set({ notice: `Nothing copied: ${why.message}` }),
      );
    } });
    find(".tools").append(copied);

    /** @type {string | null} */
    let chosen = null;
    const showRest = () => {
      const answer = store.state.answer?.answer;
      copied.disabled = !answer;
      if (!answer) return rest.replaceChildren();
      const parts = [
        warnings(answer), figures(answer), door(answer), loads(answer), conversions(answer), said.element,
        drivers(answer, store, chosen, (title) => {
          chosen = title;
          showRest();
          rest.querySelector("select")?.focus();
        }),
        strongest(answer), steel(answer), magnets(answer),
      ];
      rest.replaceChildren(...parts.filter((part) => part !== null));
    };
    store.watch(["live", "answer", "dragging", "rev", "faulty"], ({ live, answer, faulty }) => {
      if (faulty && live === null && answer === null) found.replaceChildren(nothing(store));
      else renew(found, events(store));
    });
    store.watch(["answer"], () => {
      judged.replaceChildren(store.state.answer ? demands(store) : "");
      showRest();
    });
    store.watch(["answer", "design", "form"], () => find(".title-block").replaceChildren(titleBlock(store)));

    store.watch(["answer", "rev", "dragging", "faulty", "progress"], ({ answer, rev, dragging, faulty, progress: how }) => {
      const late = answer === null || answer.rev !== rev || dragging;
      host.classList.toggle("late", late && !faulty);
      progress.hidden = !late || faulty;
      if (how) progress.value = how.of > 0 ? how.done / how.of : 0;
      else progress.removeAttribute("value");
    });
  }
}
