// Modules of the page that need no browser: numbers as the report prints them, steps of a last digit,
// where in a text one is.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { test } from "node:test";
import { packages } from "./stage.mjs";
import { number, percent, signed, withUnit } from "../../page/number.js";
import { pathInWords } from "../../page/answers/drivers.js";
import { about } from "../../page/design/schema.js";
import { step } from "../../page/design/step.js";
import { bins, grouped, shareText } from "../../page/spread/figures.js";
import { place } from "../../page/spread/yields.js";
import { extentOfTable, placeAt } from "../../page/design/toml.js";

const { EditorState } = packages("@codemirror/state");

test("numbers are printed as in the report", () => {
  assert.equal(number(8.1249, "mm"), "8.12");
  assert.equal(number(-0.001, "mm"), "0.00");
  assert.equal(number(-12.5, "mm"), "−12.50");
  assert.equal(number(1234.56, "mm"), "1235");
  assert.equal(number(0.753368602024, "mT"), "0.753");
  assert.equal(number(NaN, "mm"), "–");
  assert.equal(number(null, "mm"), "–");
  assert.equal(withUnit(30, "deg"), "30.00°");
  assert.equal(withUnit(22.5, "AT"), "22.5\u00a0AT");
  assert.equal(signed(0.306, "mm"), "+0.31");
  assert.equal(signed(0.001, "mm"), "0.00");
  assert.equal(percent(0.999999), "99.99\u00a0%");
  assert.equal(percent(1), "100\u00a0%");
});

test("a share has as many digits as its misses are worth, and is whole only if it is", () => {
  const shown = [0, 1e-7, 0.0126, 0.5, 0.91234, 0.99, 0.996141, 0.99999, 1].map((share) => shareText(share).replace("\u00a0", " "));
  assert.deepEqual(shown, ["0 %", "0.00001 %", "1.3 %", "50 %", "91.2 %", "99 %", "99.61 %", "99.999 %", "100 %"]);
  assert.equal(grouped(1234567), "1\u00a0234\u00a0567");
});

test("bins put together hold every unit, and the strip of shares rises from end to end", () => {
  const counts = Array.from({ length: 500 }, (_, k) => k % 7);
  const made = bins({ low: -1, high: 4, below: 0, above: 0, counts }, 120);
  assert.equal(made.reduce((sum, { units }) => sum + units, 0), counts.reduce((sum, n) => sum + n, 0));
  assert.ok(made.every(({ high }, k) => k + 1 === made.length ? Math.abs(high - 4) < 1e-12 : high === made[k + 1].low), "no gap");
  const places = [0, 1e-9, 0.001, 0.5, 0.9, 0.999, 1 - 1e-9, 1].map(place);
  assert.deepEqual([places[0], places[3], places.at(-1)], [0, 0.5, 1]);
  assert.ok(places.every((p, k) => k === 0 || p >= places[k - 1]));
});

test("every colour can be read on every surface, on paper and on the board", async () => {
  const tokens = await readFile(new URL("../../page/style/tokens.css", import.meta.url), "utf8");
  const colours = Object.fromEntries([...tokens.matchAll(/--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)/g)].map(([, name, ...modes]) => [name, modes]));
  const light = (colour) => {
    const [r, g, b] = [1, 3, 5].map((k) => parseInt(colour.slice(k, k + 2), 16) / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a, b) => (Math.max(light(a), light(b)) + 0.05) / (Math.min(light(a), light(b)) + 0.05);
  for (const text of ["ink", "faded", "met", "at-risk", "missed", "drive"]) {
    for (const surface of ["paper", "table", "wash", "press"]) {
      for (const mode of [0, 1]) {
        const found = contrast(colours[text][mode], colours[surface][mode]);
        // On what is pressed in only ink and faded stand as text; the others are signs there.
        assert.ok(found >= (surface === "press" && !["ink", "faded"].includes(text) ? 3 : 4.5), `${text} on ${surface}: ${found.toFixed(2)}`);
      }
    }
  }
});

test("a path is said in words", () => {
  assert.equal(pathInWords("magnet[slug].size[1]"), "slug size y");
  assert.equal(pathInWords("surroundings.temperature"), "temperature");
  assert.equal(pathInWords("sweep.to[0]"), "sweep to x");
  assert.equal(pathInWords("contact[lid].coil.mean_diameter"), "lid coil mean diameter");
});

test("a step changes the last digit of the number at the cursor and nothing else", () => {
  const stepped = (text, caret, by) => step(text, caret, by)?.text;
  assert.equal(stepped("5 ± 0.1 mm", 0, 1), "6 ± 0.1 mm");
  assert.equal(stepped("5 ± 0.1 mm", 7, 1), "5 ± 0.2 mm");
  assert.equal(stepped("20..25 AT", 1, -1), "19..25 AT");
  assert.equal(stepped("20..25 AT", 6, 10), "20..35 AT");
  assert.equal(stepped("-20..70 °C", 0, 1), "-19..70 °C");
  assert.equal(stepped("0.05 mm", 2, -10), "-0.05 mm");
  assert.equal(stepped("0.29 mm", 2, 1), "0.30 mm");
  assert.equal(stepped("8 +0.5 -0.2 mm", 12, 1), "8 +0.5 -0.1 mm");
  assert.equal(stepped("9 mm", 99, 1), "10 mm");
  assert.equal(stepped("cuboid", 2, 1), undefined);
  assert.deepEqual(step("9.9 mm", 3, 1), { text: "10.0 mm", caret: 4 });
});

test("a place in the text is known by its table and key", () => {
  const text = 'title = "x"\n\n[[contact]]\nname = "lid"\ncoil = { length = "25 mm", mean_ }\n\n[sweep]\nfrom = [\n  "0 mm",\n]\n# end\n';
  const state = EditorState.create({ doc: text });
  const at = (mark) => placeAt(state, text.indexOf(mark) + mark.length);
  assert.deepEqual(at("title = "), { table: [], header: 0, key: "title" });
  assert.deepEqual(at('name = "li'), { table: ["contact"], header: 3, key: "name" });
  assert.deepEqual(at('length = "2'), { table: ["contact", "coil"], header: 3, key: "length" });
  assert.deepEqual(at("mean_"), { table: ["contact", "coil"], header: 3, key: null });
  assert.deepEqual(at('  "0'), { table: ["sweep"], header: 7, key: "from" });
  const extent = extentOfTable(state, 3);
  assert.equal(text.slice(extent.from, extent.to), '[[contact]]\nname = "lid"\ncoil = { length = "25 mm", mean_ }');
});

test("a description is taken apart", () => {
  assert.deepEqual(about("Gap between the blades. Range 0.001 mm to 2 mm. Default 5 µm. Example: gap = \"0.05 mm\""), {
    meaning: "Gap between the blades.",
    facts: ["Range 0.001 mm to 2 mm", "Default 5 µm"],
    example: 'gap = "0.05 mm"',
  });
});
