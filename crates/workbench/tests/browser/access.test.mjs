// Accessible: no serious violation in any state, light and dark; nothing runs out of a small window.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
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

/** What the page can look like, one after the other; each state is left as it was found. */
const STATES = {
  "a design": async () => {},
  "text alone": async (page) => page.getByRole("button", { name: "Text", exact: true }).click(),
  "fields alone": async (page) => page.getByRole("button", { name: "Fields", exact: true }).click(),
  "a body selected": async (page) => {
    await page.getByRole("button", { name: "Both", exact: true }).click();
    await page.locator('.group[data-path="magnet[slug]"] summary').click();
  },
  "the export menu": async (page) => page.getByRole("button", { name: "Export" }).click(),
  "the keys": async (page) => {
    await page.keyboard.press("Escape");
    await page.getByRole("button", { name: "What the keys do" }).click();
  },
  "finding": async (page) => {
    await page.keyboard.press("Escape");
    await page.getByRole("button", { name: "Find in the design" }).click();
  },
  "a fault": async (page) => {
    await page.keyboard.press("Escape");
    await typeOver(page, 'overlap = "1.0 mm"', 'overlap = "15.0 mm"');
    await page.waitForSelector("#answers.stale");
  },
  "a conflict": async (page) => {
    await writeFile(join(stage.folder, "hopper-lid.toml"), "title = \"Theirs\"\n");
    await page.locator(".notice", { hasText: "changed outside" }).waitFor();
  },
};

for (const colorScheme of ["light", "dark"]) {
  test(`a design in each of its states, ${colorScheme}, has no serious violation`, async () => {
    const page = await stage.page("file=hopper-lid.toml", { colorScheme });
    await settled(page);
    for (const [name, reach] of Object.entries(STATES)) {
      await reach(page);
      assert.deepEqual(await violations(page), [], name);
    }
    assert.deepEqual(page.errors, []);
  });

  test(`designs of each kind, ${colorScheme}, have no serious violation`, async () => {
    const lid = await readFile(join(stage.folder, "hopper-lid.toml"), "utf8");
    await writeFile(join(stage.folder, "empty.toml"), "");
    await writeFile(join(stage.folder, "nothing-asked.toml"), lid.slice(0, lid.indexOf("[[demand]]")));
    for (const name of ["empty", "nothing-asked", "feed-drawer", "probe-relay"]) {
      const page = await stage.page(`file=${name}.toml`, { colorScheme });
      await settled(page);
      assert.deepEqual(await violations(page), [], name);
      assert.deepEqual(page.errors, []);
      await page.context().close();
    }
  });
}

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
