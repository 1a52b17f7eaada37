// A report as it is printed: a browser that finds it too wide makes all of it smaller, scales of drawings as well.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { promisify } from "node:util";
import { closeBrowser, designs, reedmace, theBrowser } from "./stage.mjs";

/** What the style sheet leaves of A4 between its margins, CSS pixels. */
const PAGE = { width: Math.floor((186 / 25.4) * 96), height: Math.floor((274 / 25.4) * 96) };
/** Width of every figure on paper, and of its view box: 180 mm are 800 units. */
const UNIT = ((180 / 25.4) * 96) / 800;

/** @type {string} */
let folder;
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "reedmace-"));
});
after(async () => {
  await rm(folder, { recursive: true });
  await closeBrowser();
});

for (const name of ["store-door", "nutrient-tank", "paddle-wheel", "probe-multiplexer"]) {
  test(`the report of ${name} is printed true to scale, its sheet on one page`, async () => {
    const file = join(folder, `${name}.html`);
    await promisify(execFile)(reedmace, ["report", join(designs, `${name}.toml`), "-o", file]);
    const page = await (await theBrowser()).newPage({ viewport: PAGE });
    await page.emulateMedia({ media: "print" });
    await page.goto(`file://${file}`);
    const found = await page.evaluate(() => ({
      width: document.documentElement.scrollWidth,
      sheet: document.querySelector(".sheet").getBoundingClientRect().height,
      figure: document.querySelector(".sheet .figure").getBoundingClientRect().width,
    }));
    await page.close();
    assert.ok(found.width <= PAGE.width, `as wide as ${found.width} pixels`);
    assert.ok(found.sheet <= PAGE.height, `as high as ${found.sheet} pixels`);
    assert.ok(Math.abs(found.figure - 800 * UNIT) < 0.5, `a figure ${found.figure} pixels wide`);
  });
}
