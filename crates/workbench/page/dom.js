// Making elements, and the few signs drawn as lines.

/**
 * An element: `el("td.number", { title: "..." }, "12")`. Functions become listeners, `class`, `aria-...`,
 * `data-...` and `role` attributes, everything else properties.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T | `${T}.${string}`} what
 * @param {Record<string, any>} [props]
 * @param {...(Node | string | null | false)} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function el(what, props = {}, ...children) {
  const [tag, ...classes] = what.split(".");
  const made = /** @type {any} */ (document.createElement(tag));
  if (classes.length > 0) made.className = classes.join(" ");
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === "function") made.addEventListener(name.replace(/^on/, ""), value);
    else if (/^(aria-|data-)|^(role|scope|colspan|list|for)$/.test(name)) {
      if (value !== null && value !== undefined) made.setAttribute(name, String(value));
    } else made[name] = value;
  }
  made.append(...children.filter((child) => child !== null && child !== false));
  return made;
}

/** A sentence with what stands between backticks set as code. @param {string} text @returns {(Node | string)[]} */
export const words = (text) => text.split("`").map((part, k) => (k % 2 === 1 ? el("code", {}, part) : part));

/** Drawn in a square of 16. @type {Record<string, string>} */
const SIGNS = {
  operate: "M3 2.5L13.5 8L3 13.5Z!",
  release: "M3 2.5L13.5 8L3 13.5Z",
  met: "M8 1a7 7 0 1 0 0 14a7 7 0 1 0 0-14ZM4.5 8.2l2.4 2.5L11.5 5.4",
  at_risk: "M8 1.5L15.2 14.5H.8ZM8 6v4.4M8 12v1",
  missed: "M1.5 1.5H14.5V14.5H1.5ZM4.6 4.6l6.8 6.8M11.4 4.6l-6.8 6.8",
  undo: "M6 3L2.5 6.5 6 10M3 6.5h6.5a4 4 0 010 8H7",
  redo: "M10 3l3.5 3.5L10 10M13 6.5H6.5a4 4 0 000 8H9",
  find: "M7 12A5 5 0 107 2a5 5 0 000 10zM10.5 10.5L14.5 14.5",
  out: "M8 2v8M4.5 7L8 10.5 11.5 7M2.5 12v2h11v-2",
  mode: "M8 2a6 6 0 100 12zM8 2a6 6 0 010 12!",
  add: "M8 3v10M3 8h10",
  remove: "M3.5 4.5h9M6 4V2.5h4V4M4.5 4.5l.7 9h5.6l.7-9M7 7v4M9 7v4",
  open: "M5 6l3 4 3-4",
  sheet: "M2.5 2.5h11v11h-11zM6 2.5v11",
  home: "M2.5 7.5L8 3l5.5 4.5M4 7v6.5h8V7",
  close: "M4 4l8 8M12 4l-8 8",
  play: "M5 3.5v9l7-4.5z",
  pause: "M5.5 3.5v9M10.5 3.5v9",
  earlier: "M4 3.5v9M12 3.5v9l-6-4.5z",
  later: "M12 3.5v9M4 3.5v9l6-4.5z",
  dimensions: "M2.5 3v10M13.5 3v10M2.5 8h11M5 6L2.5 8 5 10M11 6l2.5 2L11 10",
  fit: "M2.5 6V2.5H6M10 2.5h3.5V6M13.5 10v3.5H10M6 13.5H2.5V10",
  keys: "M1.5 4.5h13v7.5h-13zM4 7h1M7.5 7h1M11 7h1M5 9.7h6",
  cut: "M2.5 8.5h11M4 8.5V4h8v4.5M5.5 12l1.5-1.5M9 12l1.5-1.5",
  region: "M8 2.5c3.5 0 6 2.2 6 5.5s-2.5 5.5-6 5.5S2 11.3 2 8s2.5-5.5 6-5.5zM4 11l7-7M6.5 12.5l6-6",
  spread: "M1.5 13.5h13M3 13.5V11M5.5 13.5V7.5M8 13.5V3M10.5 13.5V6.5M13 13.5v-3",
  choose: "M1.5 13.5h13M2.5 11.5h3v-3h3.5v-3h3.5v-3h2M5.5 13.5v.1M12 9.5l1 1 2-2.5",
  copy: "M5.5 5.5h8v8h-8zM10.5 5.5v-3h-8v8h3",
};

/**
 * @param {keyof typeof SIGNS} name
 * @param {string} [label]  said aloud; without one it is only an ornament
 */
export function sign(name, label) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("class", `sign sign-${name}`);
  if (label) {
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", label);
  } else svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(svg.namespaceURI ?? "", "path");
  const drawn = SIGNS[name];
  path.setAttribute("d", drawn.replaceAll("!", ""));
  if (drawn.endsWith("!")) path.setAttribute("class", "solid");
  svg.append(path);
  return svg;
}

/**
 * A flat button with a sign, a word or both.
 * @param {{ icon?: keyof typeof SIGNS, text?: string, title: string, onclick: (event: MouseEvent) => void }} how
 */
export function tool({ icon, text, title, onclick }) {
  return el(
    "button.tool", { type: "button", title, "aria-label": title, onclick },
    icon ? sign(icon) : null, text ?? null,
  );
}

/** What an element says; what it says already is not set again, which would lay the page out anew. @param {HTMLElement} element @param {string} text */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Hides an element or shows it, where that is a change. @param {HTMLElement} element @param {boolean} hidden */
export function hide(element, hidden) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

/** A choice in a list, set where it is another. @param {HTMLSelectElement} list @param {string} value */
export function choose(list, value) {
  if (list.value !== value) list.value = value;
}

/**
 * Gives an element these children. Those of the same build as before stay and take over words and
 * attributes that differ, so that a changed number costs the page no more than that number.
 * @param {Element} host
 * @param {Iterable<Node>} children
 */
export function renew(host, children) {
  const made = [...children];
  const kept = [...host.childNodes];
  made.forEach((child, k) => {
    const old = kept[k];
    if (!old) host.append(child);
    else if (!alike(old, child)) old.replaceWith(child);
    else if (child instanceof Text) {
      if (old.nodeValue !== child.nodeValue) old.nodeValue = child.nodeValue;
    } else take(/** @type {Element} */ (old), /** @type {Element} */ (child));
  });
  for (const old of kept.slice(made.length)) old.remove();
}

/** Whether one may become the other; a button never, as its listener would stay. @param {Node} old @param {Node} made */
const alike = (old, made) => old.nodeName === made.nodeName && old.nodeName !== "BUTTON";

/** @param {Element} old @param {Element} made */
function take(old, made) {
  for (const { name } of [...old.attributes]) if (!made.hasAttribute(name)) old.removeAttribute(name);
  for (const { name, value } of [...made.attributes]) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  renew(old, made.childNodes);
}
