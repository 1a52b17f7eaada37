// The plan, the space and the sweep show what there is.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, until } from "./stage.mjs";

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

const canvas = (page) => page.locator("#plan canvas").first();

test("the cross-hair reads drive and margin", async () => {
  const page = await opened();
  const box = await canvas(page).boundingBox();
  await page.mouse.move(box.x + box.width * 0.8, box.y + box.height * 0.3);
  await until(async () => /mT/.test(await page.locator("#plan .stage").innerText()), "a reading in mT");
  assert.deepEqual(page.errors, []);
});

test("the playhead tells the contact's state", async () => {
  const page = await opened();
  const told = page.locator("#sweep");
  assert.match(await told.innerText(), /lid open/);
  await page.getByRole("slider", { name: "Place along the sweep" }).press("End");
  await until(async () => /lid closed/.test(await told.innerText()), "the contact closed with the lid shut");
  assert.deepEqual(page.errors, []);
});

test("space draws something", async () => {
  const page = await opened();
  const shot = await page.locator("#space canvas").first().screenshot();
  // A blank canvas of this size compresses to next to nothing.
  assert.ok(shot.length > 3000, `${shot.length} bytes`);
  assert.deepEqual(page.errors, []);
});
