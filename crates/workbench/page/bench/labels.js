// Ticks, and labels that keep out of each other's way.

/** Multiples of 1, 2 or 5 times a power of ten, about `count` of them. @param {number} low @param {number} high @param {number} count */
export function ticks(low, high, count) {
  const rough = (high - low) / Math.max(1, count);
  if (!(rough > 0)) return { step: 1, at: [low] };
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((m) => m * power >= rough * 0.999) ?? 10);
  const at = [];
  for (let i = Math.ceil(low / step - 1e-9) || 0; i <= Math.floor(high / step + 1e-9); i += 1) at.push(i * step);
  return { step, at };
}

/** No more digits than the step between ticks needs, with a true minus. @param {number} value @param {number} step */
export function tickText(value, step) {
  const decimals = Math.min(6, Math.max(0, -Math.floor(Math.log10(Math.abs(step) || 1e-12) + 1e-9)));
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && /[1-9]/.test(text) ? `−${text}` : text;
}

/**
 * Moves labels apart along one axis, each as little as the crowd allows: `wanted` are the middles, `sizes`
 * the room each takes; the order stays, and they keep within `from` and `to` if they fit.
 * @param {number[]} wanted @param {number[]} sizes @param {number} from @param {number} to
 */
export function spread(wanted, sizes, from, to) {
  const clamp = (/** @type {number} */ start, /** @type {number} */ size) =>
    Math.min(Math.max(start, from), Math.max(to - size, from));
  /** @type {{labels: number[], start: number, size: number}[]} blocks of touching labels */
  const blocks = [];
  for (const label of wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b])) {
    const size = sizes[label];
    let block = { labels: [label], start: clamp(wanted[label] - size / 2, size), size };
    for (let before = blocks.at(-1); before && before.start + before.size > block.start; before = blocks.at(-1)) {
      blocks.pop();
      const labels = before.labels.concat(block.labels);
      let [inside, offset] = [0, 0];
      for (const each of labels) {
        offset += wanted[each] - (inside + sizes[each] / 2);
        inside += sizes[each];
      }
      block = { labels, start: clamp(offset / labels.length, inside), size: inside };
    }
    blocks.push(block);
  }
  const out = wanted.map(() => 0);
  for (const block of blocks) {
    let at = block.start;
    for (const label of block.labels) {
      out[label] = at + sizes[label] / 2;
      at += sizes[label];
    }
  }
  return out;
}
