// The design as text: what is typed is computed, and what is wrong with it told at its place.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, designs, eventsOf, settled, Stage, textOf, typeOver } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

async function opened() {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  return page;
}

test("opening shows the text and the answer", async () => {
  const page = await opened();
  assert.equal(await textOf(page), await readFile(join(designs, "hopper-lid.toml"), "utf8"));
  assert.equal(await page.locator("h1").textContent(), "Feed hopper lid");
  assert.equal(await page.locator(".stamp").getAttribute("data-verdict"), "met");
  assert.equal(await page.locator(".demand").count(), 2);
  assert.deepEqual(page.errors, []);
});

test("a bad value is told at its place, and the last good picture stays", async () => {
  const page = await opened();
  const events = await eventsOf(page, "lid");
  await typeOver(page, 'overlap = "1.0 mm"', 'overlap = "15.0 mm"');
  await page.waitForSelector(".problem.error");
  const problem = page.locator(".problem.error").first();
  assert.match(await problem.textContent(), /line 16/);
  assert.match(await problem.textContent(), /overlap is longer than the blade/);
  assert.equal(await page.locator(".cm-lintRange-error").first().textContent(), '"15.0 mm"');
  assert.deepEqual(await eventsOf(page, "lid"), events);
  for (const pane of ["plan", "space", "sweep", "answers"]) await page.waitForSelector(`#${pane}.stale`);
  await page.keyboard.press("Control+z");
  await settled(page);
  assert.equal(await page.locator(".problem").count(), 0);
  assert.deepEqual(page.errors, []);
});

test("completion offers the keys of the table one is in", async () => {
  const page = await opened();
  await typeOver(page, 'grade = "NdFeB 240/80"', "rem");
  const offered = page.locator(".cm-tooltip-autocomplete li");
  await offered.first().waitFor();
  assert.deepEqual(await offered.allTextContents(), ["remanence"]);
  // A list that has only just come takes no Enter, so that none is caught by surprise.
  await page.waitForTimeout(200);
  await page.keyboard.press("Enter");
  assert.match(await textOf(page), /^remanence = "1\.2 T/m);
  assert.deepEqual(page.errors, []);
});
