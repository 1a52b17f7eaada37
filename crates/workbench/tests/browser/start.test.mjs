// The starting page.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, violations } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

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

for (const colorScheme of ["light", "dark"]) {
  test(`the start, ${colorScheme}, has no serious violation`, async () => {
    const page = await stage.page("", { colorScheme });
    await page.waitForSelector(".card");
    assert.deepEqual(await violations(page), []);
    assert.deepEqual(page.errors, []);
  });
}
