// One animation frame for all views: whoever has something new to paint asks, and is called once, those
// asked for first being painted first; a full frame leaves the last ranks to the next one. Nothing is
// drawn while nothing changes.

/** @type {Map<object, {rank: number, paint: () => void, put: boolean}>} `put` off once already */
const waiting = new Map();
let asked = false;
/** From this rank on a picture may wait a frame when those before it took so long, ms. */
const PATIENT = 2;
const FULL = 5;

/**
 * Calls `paint` in the next animation frame; asking twice is asking once.
 * @param {object} who  whose picture it is
 * @param {number} rank  the lower, the earlier in the frame
 * @param {() => void} paint
 */
export function inFrame(who, rank, paint) {
  waiting.set(who, { rank, paint, put: waiting.get(who)?.put ?? false });
  ask();
}

/** Those painted ahead of the frame that is to show them. @type {Set<object>} */
const ahead = new Set();

/**
 * Calls `paint` at once, ahead of the animation frame, which then has the less to do; but not twice before
 * one frame.
 * @param {object} who  whose picture it is
 * @param {() => void} paint
 */
export function aheadOfFrame(who, paint) {
  if (ahead.has(who)) inFrame(who, 0, paint);
  else {
    ahead.add(who);
    waiting.delete(who);
    paint();
    ask();
  }
}

function ask() {
  if (asked) return;
  asked = true;
  requestAnimationFrame(() => {
    asked = false;
    ahead.clear();
    const begun = performance.now();
    const now = [...waiting].sort((a, b) => a[1].rank - b[1].rank);
    waiting.clear();
    for (const [who, picture] of now) {
      const late = picture.rank >= PATIENT && !picture.put && performance.now() - begun > FULL;
      if (late) waiting.set(who, { ...picture, put: true });
      else picture.paint();
    }
    if (waiting.size > 0) ask();
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
