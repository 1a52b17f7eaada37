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

test("a design is first shown in the plane of its path, cut where that comes nearest the contact", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  const [plane, cut] = [page.getByLabel("Plane", { exact: true }), page.getByLabel("Where the plane cuts, mm")];
  assert.equal(await plane.inputValue(), "xz");
  await plane.selectOption("xy");
  await until(async () => (await cut.inputValue()) === "5.00", "the end of the approach");
  await cut.fill("12");
  await cut.press("Tab");
  await until(async () => (await cut.inputValue()) === "12.00", "the cut asked for");
  await page.evaluate(() => (location.hash = "#template=wheel"));
  await until(async () => (await plane.inputValue()) === "xy" && (await cut.inputValue()) === "0.00", "the wheel from above, in its own plane");
  assert.match(await plane.locator("option:checked").textContent(), /across/);
  assert.deepEqual(page.errors, []);
});

test("in space the regions come and go, and the section cuts", async () => {
  const page = await opened();
  const canvas = page.locator("#space canvas").first();
  const look = async () => {
    await page.waitForTimeout(400);
    return canvas.evaluate((shown) => new Promise((done) => requestAnimationFrame(() => done(shown.toDataURL()))));
  };
  await canvas.focus();
  const shown = page.getByRole("button", { name: "Where it closes and holds" });
  assert.equal(await shown.getAttribute("aria-pressed"), "true");
  await page.keyboard.press("r");
  await until(async () => (await shown.getAttribute("aria-pressed")) === "false", "the regions gone");
  const cut = page.getByRole("button", { name: "Section in the plan" });
  await page.keyboard.press("s");
  await until(async () => (await cut.getAttribute("aria-pressed")) === "true", "the section cutting");
  assert.ok((await look()).length > 1000);
  assert.deepEqual(page.errors, []);
});
