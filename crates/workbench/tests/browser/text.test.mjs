// The design as text: what is typed is computed, and what is wrong with it told at its place.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, designs, eventsOf, field, settled, Stage, textOf, typeOver, until } from "./stage.mjs";

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

test("a design opened with a fault says what is wrong and leads to it", async () => {
  const lid = await readFile(join(designs, "hopper-lid.toml"), "utf8");
  await writeFile(join(stage.folder, "faulty.toml"), lid.replace('overlap = "1.0 mm"', 'overlap = "15.0 mm"'));
  const page = await stage.page("file=faulty.toml");
  await page.locator("#answers .teach", { hasText: "No answer yet" }).waitFor();
  await page.locator("#plan").getByRole("button", { name: "Show the first fault" }).click();
  assert.equal(await page.evaluate(() => getSelection().toString()), '"15.0 mm"');
  assert.equal(await page.locator(".stale").count(), 0, "there is no last good picture");
  await field(page, "contact[lid]", "overlap").fill("1.0 mm");
  await page.waitForSelector("#answers [data-event]");
  await settled(page);
  assert.equal(Object.keys(await eventsOf(page, "lid")).length, 2);
  assert.deepEqual(page.errors, []);
});

test("help on a key comes under the pointer, and below while the cursor is in its line", async () => {
  const page = await opened();
  await page.getByRole("button", { name: "Text", exact: true }).click();
  const key = page.locator(".cm-line", { hasText: "glass_length" }).locator("span").first();
  await key.hover();
  const card = page.locator(".cm-tooltip-hover");
  await card.waitFor();
  assert.match(await card.textContent(), /Length of the glass.*4 mm to 60 mm/s);
  await key.click();
  await until(async () => /glass length – Length of the glass/.test(await page.locator(".strip").textContent()), "help below");
  assert.deepEqual(page.errors, []);
});

test("completion offers the values of the key one is in", async () => {
  const page = await opened();
  await typeOver(page, 'grade = "NdFeB 240/80"', 'grade = "NdFeB 2');
  await page.keyboard.press("Control+Space");
  const offered = page.locator(".cm-tooltip-autocomplete li");
  await offered.first().waitFor();
  const words = await offered.allTextContents();
  assert.ok(words.includes("NdFeB 240/180") && words.every((word) => word.startsWith("NdFeB")), `${words}`);
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
