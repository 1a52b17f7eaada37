// The design as text and as fields: either follows the other, comments survive, undo spans both.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { closeBrowser, designs, eventsOf, field, settled, Stage, textOf, typeOver, until } from "./stage.mjs";

/** @type {Stage} */
let stage;
before(async () => {
  stage = await Stage.open();
});
after(async () => {
  await closeBrowser();
  await stage.close();
});

async function opened(hash = "file=hopper-lid.toml") {
  const page = await stage.page(hash);
  await settled(page);
  return page;
}

const comments = (text) => text.split("\n").flatMap((line) => line.match(/#.*/g) ?? []);

test("the start offers templates, the folder and the examples", async () => {
  const page = await stage.page();
  await page.waitForSelector("#start:not([hidden]) .card");
  for (const name of ["file=hopper-lid.toml", "template=approach", "example=hopper-lid"]) {
    await page.waitForSelector(`a.card[href="#${name}"]`);
  }
  const pictures = await page.locator(".card img").evaluateAll(async (images) => {
    images.forEach((image) => (image.loading = "eager"));
    await Promise.all(images.map((image) => image.decode().catch(() => {})));
    return images.map((image) => image.naturalWidth);
  });
  assert.ok(pictures.length >= 10 && pictures.every((width) => width > 0), `thumbnails: ${pictures}`);
  await page.click('a.card[href="#template=approach"]');
  await settled(page);
  assert.deepEqual(page.errors, []);
});

test("opening shows the text, the fields and the answer", async () => {
  const page = await opened();
  assert.equal(await textOf(page), await readFile(join(designs, "hopper-lid.toml"), "utf8"));
  assert.equal(await field(page, "magnet[slug]", "size", 1).inputValue(), "5 ± 0.1 mm");
  assert.equal(await page.locator("h1").textContent(), "Feed hopper lid");
  assert.equal(await page.locator(".stamp").getAttribute("data-verdict"), "met");
  assert.equal(await page.locator(".demand").count(), 2);
  assert.deepEqual(page.errors, []);
});

test("a field follows the text", async () => {
  const page = await opened();
  await typeOver(page, "5 ± 0.1 mm", "6 ± 0.2 mm");
  await until(async () => (await field(page, "magnet[slug]", "size", 1).inputValue()) === "6 ± 0.2 mm", "the field's new value");
  await settled(page);
  assert.deepEqual(page.errors, []);
});

test("the text follows a field, and every comment stays", async () => {
  const page = await opened();
  const before = await textOf(page);
  const events = await eventsOf(page, "lid");
  await field(page, "magnet[slug]", "size", 1).fill("7 ± 0.1 mm");
  const after = await until(async () => {
    const text = await textOf(page);
    return text !== before && text.includes("7 ± 0.1 mm") && text;
  }, "the text with the new value");
  assert.equal(after, before.replace("5 ± 0.1 mm", "7 ± 0.1 mm"));
  assert.deepEqual(comments(after), comments(before));
  await settled(page);
  assert.notDeepEqual(await eventsOf(page, "lid"), events);
  assert.deepEqual(page.errors, []);
});

test("arrow keys step the last digit at the cursor", async () => {
  const page = await opened();
  const input = field(page, "magnet[slug]", "size", 1);
  await input.focus();
  await input.press("Home");
  await input.press("ArrowUp");
  assert.equal(await input.inputValue(), "6 ± 0.1 mm");
  await input.press("End");
  await input.press("ArrowDown");
  assert.equal(await input.inputValue(), "6 ± 0.0 mm");
  await input.press("Shift+ArrowUp");
  assert.equal(await input.inputValue(), "6 ± 1.0 mm");
  await until(async () => (await textOf(page)).includes("6 ± 1.0 mm"), "the stepped value in the text");
  assert.deepEqual(page.errors, []);
});

test("undo takes back field and text edits in turn, redo brings them again", async () => {
  const page = await opened();
  const before = await textOf(page);
  await field(page, "magnet[slug]", "size", 0).fill("12 mm");
  await until(async () => (await textOf(page)).includes('"12 mm", "5 ± 0.1 mm"'), "the field's edit");
  const middle = await textOf(page);
  await typeOver(page, "Feed hopper lid", "Hopper");
  const last = await textOf(page);
  assert.notEqual(last, middle);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), middle);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  await until(async () => (await field(page, "magnet[slug]", "size", 0).inputValue()) === "10 mm", "the field as before");
  await page.click('[aria-label^="Redo"]');
  await page.click('[aria-label^="Redo"]');
  assert.equal(await textOf(page), last);
  assert.deepEqual(page.errors, []);
});

test("a table added and taken out again leaves the text as it was", async () => {
  const page = await opened();
  const before = await textOf(page);
  await page.locator(".add-row").getByRole("button", { name: "magnet" }).click();
  const added = await until(async () => {
    const text = await textOf(page);
    return text.split("[[magnet]]").length === 3 && text;
  }, "a second magnet");
  assert.deepEqual(comments(added), comments(before));
  await settled(page);
  assert.equal(await page.locator(".problem.error").count(), 0, "a magnet comes complete");
  await page.locator('.group[data-path^="magnet"]').nth(1).locator(".group-foot").getByRole("button").click();
  await until(async () => (await textOf(page)).split("[[magnet]]").length === 2, "one magnet");
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), added);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
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
  assert.match(await field(page, "contact[lid]", "overlap").evaluate((input) => input.closest(".field").textContent), /longer than the blade/);
  await page.keyboard.press("Control+z");
  await settled(page);
  assert.equal(await page.locator(".problem").count(), 0);
  assert.deepEqual(page.errors, []);
});

test("text that is no TOML keeps the fields, and says so", async () => {
  const page = await opened();
  await typeOver(page, "[sweep]", "[sweep");
  await page.waitForSelector(".problem.error");
  await page.waitForSelector(".form.stale");
  assert.equal(await field(page, "magnet[slug]", "size", 1).inputValue(), "5 ± 0.1 mm");
  assert.deepEqual(page.errors, []);
});

test("completion offers the keys of the table one is in", async () => {
  const page = await opened();
  await typeOver(page, 'grade = "NdFeB 240/80"', "rem");
  const offered = page.locator(".cm-tooltip-autocomplete li");
  await offered.first().waitFor();
  assert.deepEqual(await offered.allTextContents(), ["remanence"]);
  await page.keyboard.press("Enter");
  assert.match(await textOf(page), /^remanence = "1\.2 T/m);
  assert.deepEqual(page.errors, []);
});
