// One animation frame for all views: whoever has something new to paint asks, and is called once, those
// asked for first being painted first. Nothing is drawn while nothing changes.

/** @type {Map<object, {rank: number, paint: () => void}>} */
const waiting = new Map();
let asked = false;

/**
 * Calls `paint` in the next animation frame; asking twice is asking once.
 * @param {object} who  whose picture it is
 * @param {number} rank  the lower, the earlier in the frame
 * @param {() => void} paint
 */
export function inFrame(who, rank, paint) {
  waiting.set(who, { rank, paint });
  if (asked) return;
  asked = true;
  requestAnimationFrame(() => {
    asked = false;
    const now = [...waiting.values()].sort((a, b) => a.rank - b.rank);
    waiting.clear();
    for (const { paint: draw } of now) draw();
  });
}

/** Calls `tell` with the size of an element, now and whenever it changes. @param {Element} element @param {(width: number, height: number) => void} tell */
export function watchSize(element, tell) {
  new ResizeObserver((entries) => {
    const { width, height } = entries[entries.length - 1].contentRect;
    if (width > 0 && height > 0) tell(width, height);
  }).observe(element);
}

/** Calls `tell` when the page turns from paper to board or back, when the screen's resolution changes, and when its typefaces are there. @param {() => void} tell */
export function watchLook(tell) {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", tell);
  document.fonts.ready.then(tell);
  const again = () => {
    const query = matchMedia(`(resolution: ${devicePixelRatio}dppx)`);
    query.addEventListener("change", () => { tell(); again(); }, { once: true });
  };
  again();
}

/** Whether the reader wants things to keep still. */
export const still = matchMedia("(prefers-reduced-motion: reduce)");
