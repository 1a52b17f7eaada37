// Stepping a number inside a quantity's text: "5 ± 0.1 mm" and an arrow key.

/**
 * The text with the number at `caret` one step of its last digit further, and the caret where it was.
 * A unit goes up and down from what is written: 0.05 becomes 0.06, 12 becomes 13.
 * @param {string} text
 * @param {number} caret
 * @param {number} steps  negative goes down
 * @returns {{ text: string, caret: number } | null}  null where there is no number
 */
export function step(text, caret, steps) {
  const numbers = [...text.matchAll(/(?<![\w.])[-−+]?\d+(?:\.\d+)?|(?<=\.\.)[-−+]?\d+(?:\.\d+)?/g)];
  const near = numbers.find(({ 0: found, index }) => caret <= index + found.length) ?? numbers.at(-1);
  if (!near) return null;
  const [found] = near;
  const decimals = found.split(".")[1]?.length ?? 0;
  const value = Number(found.replace("−", "-"));
  // In whole last digits, so that no binary fraction shows.
  const digits = Math.round(value * 10 ** decimals) + steps;
  const size = (Math.abs(digits) / 10 ** decimals).toFixed(decimals);
  const minus = found.startsWith("−") ? "−" : "-";
  const plus = found.startsWith("+") ? "+" : "";
  const next = (digits < 0 ? minus : plus) + size;
  return {
    text: text.slice(0, near.index) + next + text.slice(near.index + found.length),
    caret: near.index + next.length,
  };
}
