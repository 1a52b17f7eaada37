// The starting page.

import assert from "node:assert/strict";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, textOf, typeOver, violations } from "./stage.mjs";

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

test("every template opens with an answer", async () => {
  const { templates } = await (await fetch(`${stage.address}api/start`)).json();
  assert.ok(templates.length >= 4);
  for (const { name } of templates) {
    const page = await stage.page(`template=${name}`);
    await settled(page);
    assert.ok((await page.locator("#answers [data-event]").count()) > 0, name);
    assert.deepEqual(page.errors, []);
    await page.context().close();
  }
});

test("edits never saved wait at the start, until they are forgotten", async () => {
  const page = await stage.page("template=approach");
  await settled(page);
  await typeOver(page, "title = \"", "title = \"Begun: ");
  const edited = await textOf(page);
  await page.waitForTimeout(1200);
  await page.evaluate(() => (location.hash = ""));
  const card = page.locator("li", { has: page.locator('a[href^="#unsaved="]') });
  await card.waitFor();
  await card.locator("a").click();
  await settled(page);
  assert.equal(await textOf(page), edited);
  await page.evaluate(() => (location.hash = ""));
  await card.getByRole("button", { name: "Forget these edits" }).click();
  await page.reload();
  await page.waitForSelector(".card");
  assert.equal(await card.count(), 0);
  assert.deepEqual(page.errors, []);
});

test("a file with a fault is told by it, with no picture", async () => {
  await writeFile(join(stage.folder, "faulty.toml"), "title = \n");
  const page = await stage.page();
  const card = page.locator('a.card[href="#file=faulty.toml"]');
  await card.waitFor();
  assert.match(await card.textContent(), /no picture.*faulty\.toml.*Has a fault/s);
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
