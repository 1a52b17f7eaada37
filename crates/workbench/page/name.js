// Asks for a file name.

import { el } from "./dom.js";

/**
 * @param {string} proposed
 * @returns {Promise<string | null>} null when given up
 */
export function askName(proposed) {
  const input = el("input", { type: "text", value: proposed.replace(/\.toml$/, ""), spellcheck: false, required: true, pattern: "[^\\/\\\\]+", title: "A name without slashes" });
  const form = el("form", { method: "dialog" },
    el("label", {}, "Save in the folder as ", input, el("span.faded", {}, ".toml")),
    el("div.dialog-foot", {},
      el("button.act", { type: "button", onclick: () => dialog.close() }, "Cancel"),
      el("button.act", { type: "submit", value: "save" }, "Save")));
  const dialog = el("dialog", { "aria-label": "Save the design" }, form);
  document.body.append(dialog);
  dialog.showModal();
  input.select();
  return new Promise((done) => {
    dialog.addEventListener("close", () => {
      const name = input.value.trim().replace(/\.toml$/, "");
      done(dialog.returnValue === "save" && name !== "" ? `${name}.toml` : null);
      dialog.remove();
    });
  });
}
