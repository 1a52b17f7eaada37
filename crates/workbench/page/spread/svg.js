// Elements of a drawing among the text.

const NS = "http://www.w3.org/2000/svg";

/**
 * @param {string} what  `path.worst`: a tag and its class
 * @param {Record<string, string | number>} [attributes]
 * @param {...(Node | string | null | false)} children
 * @returns {SVGElement}
 */
export function svg(what, attributes = {}, ...children) {
  const [tag, ...classes] = what.split(".");
  const made = /** @type {SVGElement} */ (document.createElementNS(NS, tag));
  if (classes.length > 0) made.setAttribute("class", classes.join(" "));
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
  made.append(...children.filter((child) => child !== null && child !== false));
  return made;
}

/** A drawing so large, px. @param {string} kind @param {number} width @param {number} height @param {...(Node | null | false)} children */
export const drawing = (kind, width, height, ...children) =>
  svg(`svg.${kind}`, { width, height, viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" }, ...children);

/** Whole pixels look sharp. @param {number} value */
export const at = (value) => Math.round(value * 10) / 10;

/** Calls back with the width of a box, now and whenever it changes. @param {HTMLElement} box @param {(width: number) => void} show */
export function whenWide(box, show) {
  let last = -1;
  new ResizeObserver(([entry]) => {
    const width = Math.floor(entry.contentRect.width);
    if (width !== last && width > 0) show((last = width));
  }).observe(box);
}
