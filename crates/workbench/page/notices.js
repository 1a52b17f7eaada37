// What must be said and answered: edits recovered, a file changed by somebody else, a lost connection.

import { el, tool } from "./dom.js";

/**
 * @import { Store } from "./store.js"
 * @import { Editor } from "./design/editor.js"
 */

export class Notices {
  /**
   * @param {HTMLElement} host
   * @param {Store} store
   * @param {Editor} editor
   */
  constructor(host, store, editor) {
    const lost = el("div.notice.grave", { hidden: true });
    const conflict = el("div.notice.grave", { hidden: true });
    const recovered = el("div.notice", { hidden: true });
    const passing = el("div.notice", { hidden: true });
    host.append(lost, conflict, recovered, passing);

    store.watch(["link"], ({ link, session }) => {
      lost.hidden = link !== "lost";
      lost.replaceChildren(session === null
        ? "No connection to Reedmace. Is it still running? Trying again."
        : "The connection to Reedmace is lost. Trying again; what you type stays here and is sent when it is back.");
    });

    store.watch(["conflict"], ({ conflict: found, file }) => {
      conflict.hidden = found === null;
      if (found === null) return;
      const name = file ?? "The file";
      const theirs = found.text;
      conflict.replaceChildren(
        el("span", {}, el("strong", {}, name), theirs === null
          ? " was removed outside. Your text is still here."
          : " was changed outside while you had edits of your own. Nothing is lost: take one, undo brings the other back."),
        theirs === null ? "" : el("button.act", {
          type: "button", onclick: () => {
            editor.exchange(theirs, "outside");
            store.set({ conflict: null });
          },
        }, "Take what the file holds"),
        el("button.act", { type: "button", onclick: () => store.save({ over: true }) }, "Save mine over it"),
        tool({ icon: "close", title: "Decide later", onclick: () => store.set({ conflict: null }) }),
      );
    });

    store.watch(["recovered", "savedText"], ({ recovered: on, savedText, file }) => {
      recovered.hidden = !on;
      recovered.replaceChildren(
        el("span", {}, el("strong", {}, "Edits recovered. "),
          `Reedmace was ended before these were saved${file ? ` to ${file}` : ""}. They are in the text.`),
        savedText === null ? "" : el("button.act", {
          type: "button", onclick: () => {
            editor.exchange(savedText, "saved");
            store.set({ recovered: false });
          },
        }, "Go back to the file"),
        el("button.act", { type: "button", onclick: () => store.set({ recovered: false }) }, "Keep the edits"),
      );
    });

    /** @type {ReturnType<typeof setTimeout> | undefined} */
    let timer;
    store.watch(["notice"], ({ notice }) => {
      passing.hidden = notice === null;
      if (notice === null) return;
      passing.replaceChildren(el("span", {}, notice), tool({ icon: "close", title: "Close", onclick: () => store.set({ notice: null }) }));
      clearTimeout(timer);
      timer = setTimeout(() => store.set({ notice: null }), 8000);
    });
  }
}
