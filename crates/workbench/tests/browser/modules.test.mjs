// Modules of the page that need no browser: numbers as the report prints them, steps of a last digit,
// where in a text one is.

import assert from "node:assert/strict";
import { test } from "node:test";
import { packages } from "./stage.mjs";
import { number, percent, signed, withUnit } from "../../page/number.js";
import { about } from "../../page/design/schema.js";
import { step } from "../../page/design/step.js";
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
