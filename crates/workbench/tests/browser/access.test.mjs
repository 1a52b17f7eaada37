// Accessible: no serious violation in any state, light and dark; everything by keyboard.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, textOf, typeOver, violations } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

const STATES = {
  "a design": async (page) => settled(page),
  "a fault": async (page) => {
    await settled(page);
    await typeOver(page, 'overlap = "1.0 mm"', 'overlap = "15.0 mm"');
    await page.waitForSelector("#answers.stale");
  },
  "the export menu": async (page) => {
    await settled(page);
    await page.getByRole("button", { name: "Export" }).click();
  },
};

for (const colorScheme of ["light", "dark"]) {
  for (const [name, reach] of Object.entries(STATES)) {
    test(`${name}, ${colorScheme}, has no serious violation`, async () => {
      const page = await stage.page("file=hopper-lid.toml", { colorScheme });
      await reach(page);
      assert.deepEqual(await violations(page), []);
      assert.deepEqual(page.errors, []);
    });
  }
}

test("the panes are reached by F6, each showing where the focus is", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  const seen = [];
  for (let k = 0; k < 5; k++) {
    await page.keyboard.press("F6");
    seen.push(await page.evaluate(() => document.activeElement.closest(".pane")?.id));
  }
  assert.deepEqual(seen, ["design", "plan", "space", "sweep", "answers"]);
  assert.deepEqual(page.errors, []);
});

test("slash finds", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  await page.locator("#answers .stage").focus();
  await page.keyboard.press("/");
  await page.keyboard.type("slug");
  await page.keyboard.press("Enter");
  assert.ok((await page.locator(".cm-searchMatch").count()) > 0);
  assert.deepEqual(page.errors, []);
});

for (const [width, height] of [[1280, 720], [1024, 768], [768, 1024]]) {
  test(`at ${width} x ${height} nothing runs out of the window`, async () => {
    const page = await stage.page("file=hopper-lid.toml", { viewport: { width, height } });
    await settled(page);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(wide <= 0, `${wide} px too wide`);
    for (const pane of ["plan", "sweep", "answers"]) {
      const box = await page.locator(`#${pane}`).boundingBox();
      assert.ok(box && box.width > 120 && box.height > 100 && box.x >= 0 && box.x + box.width <= width, `${pane} ${JSON.stringify(box)}`);
    }
    assert.deepEqual(page.errors, []);
  });
}

test("where it is narrow the design is a drawer", async () => {
  const page = await stage.page("file=hopper-lid.toml", { viewport: { width: 1024, height: 768 } });
  await settled(page);
  assert.equal(await page.locator("#design").isVisible(), false);
  await page.getByRole("button", { name: "Show or fold the design" }).click();
  await page.locator("#design .cm-content").click();
  assert.match(await textOf(page), /Tarn Hollow/);
  assert.deepEqual(page.errors, []);
});
