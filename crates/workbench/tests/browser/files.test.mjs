// Files: saving, somebody else's save, conflicts, and what a killed server leaves.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, textOf, typeOver, until } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

const file = () => join(stage.folder, "hopper-lid.toml");

async function opened() {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  return page;
}

test("saving writes the text", async () => {
  const page = await opened();
  await typeOver(page, "Feed hopper lid", "Hopper, mended");
  await page.waitForSelector('.saved[data-state="edited"]');
  await page.keyboard.press("Control+s");
  await page.waitForSelector('.saved[data-state="saved"]');
  assert.equal(await readFile(file(), "utf8"), await textOf(page));
  assert.deepEqual(page.errors, []);
});

test("an example is saved under a name", async () => {
  const page = await stage.page("example=hopper-lid");
  await settled(page);
  await page.locator(".saved").click();
  await page.locator("dialog input").fill("second-lid");
  await page.keyboard.press("Enter");
  await until(() => page.evaluate(() => location.hash === "#file=second-lid.toml"), "the address of the file");
  assert.equal(await readFile(join(stage.folder, "second-lid.toml"), "utf8"), await textOf(page));
  assert.deepEqual(page.errors, []);
});

test("what another program saves appears, and can be undone", async () => {
  const page = await opened();
  const before = await textOf(page);
  const theirs = before.replace('"5 ± 0.1 mm"', '"8 ± 0.1 mm"');
  await writeFile(file(), theirs);
  await until(async () => (await textOf(page)) === theirs, "the other program's text");
  await settled(page);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  assert.deepEqual(page.errors, []);
});

test("a conflict is shown, and neither side is lost", async () => {
  const page = await opened();
  await typeOver(page, "Feed hopper lid", "Mine");
  const mine = await textOf(page);
  const theirs = mine.replace("Mine", "Theirs");
  await writeFile(file(), theirs);
  const notice = page.locator(".notice", { hasText: "changed outside" });
  await notice.waitFor();
  await notice.getByRole("button", { name: "Take what the file holds" }).click();
  assert.equal(await textOf(page), theirs);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), mine);
  assert.equal(await readFile(file(), "utf8"), theirs);
  assert.deepEqual(page.errors, []);
});

test("saving over the other's change asks first", async () => {
  const page = await opened();
  await typeOver(page, "Feed hopper lid", "Mine");
  const mine = await textOf(page);
  await writeFile(file(), mine.replace("Mine", "Theirs"));
  const notice = page.locator(".notice", { hasText: "changed outside" });
  await notice.waitFor();
  await notice.getByRole("button", { name: "Save mine over it" }).click();
  await page.waitForSelector('.saved[data-state="saved"]');
  assert.equal(await readFile(file(), "utf8"), mine);
  assert.deepEqual(page.errors, []);
});

test("after kill -9 the edit is back, and the page says so", async () => {
  const page = await opened();
  await typeOver(page, "Feed hopper lid", "Not yet saved");
  const edited = await textOf(page);
  // At most a second of edits may be lost.
  await new Promise((done) => setTimeout(done, 1200));
  await stage.kill();
  await page.waitForSelector(".notice.grave:not([hidden])");
  await stage.start();
  const again = await stage.page("file=hopper-lid.toml");
  await settled(again);
  assert.equal(await textOf(again), edited);
  await again.locator(".notice", { hasText: "Edits recovered" }).waitFor();
  assert.notEqual(await readFile(file(), "utf8"), edited);
  await again.getByRole("button", { name: "Go back to the file" }).click();
  assert.equal(await textOf(again), await readFile(file(), "utf8"));
  assert.deepEqual(again.errors, []);
  // The page that lived through it finds the server again by itself.
  await page.waitForSelector('.saved:not([data-state="lost"])');
  assert.equal(await textOf(page), edited);
});

test("a design never saved lives through a restart of the server, with its history", async () => {
  const page = await stage.page("template=approach");
  await settled(page);
  const before = await textOf(page);
  await typeOver(page, "approach", "attempt");
  const edited = await textOf(page);
  await stage.kill();
  await page.waitForSelector(".notice.grave:not([hidden])");
  await stage.start();
  await page.waitForSelector('.saved:not([data-state="lost"])');
  await settled(page);
  assert.equal(await textOf(page), edited);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  await settled(page);
});
