// Puts the page together: one store, one connection, and the panes that show the one through the other.

import { Store } from "./store.js";
import { Wire } from "./wire.js";

const store = new Store();
new Wire(store, () => {}, () => {});

/** @param {string} id */
const host = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

store.watch(["session"], ({ session }) => {
  host("sheet").hidden = session === null;
  host("start").hidden = session !== null;
});
store.open({ example: "hopper-lid" });

for (const [id, name] of [["plan", "Plan"], ["space", "Space"], ["sweep", "Sweep"]]) {
  import(`./bench/${id}.js`).then(
    (module) => new module[name](host(id), store),
    (why) => console.error(why),
  );
}
