// Everything by keyboard, and where the focus is is seen.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, textOf, until } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

async function opened(options = {}) {
  const page = await stage.page("file=hopper-lid.toml", options);
  await settled(page);
  return page;
}

test("the panes are reached by F6, each showing where the focus is", async () => {
  const page = await opened();
  const seen = [];
  for (let k = 0; k < 5; k++) {
    await page.keyboard.press("F6");
    seen.push(await page.evaluate(() => document.activeElement.closest(".pane")?.id));
  }
  assert.deepEqual(seen, ["design", "plan", "space", "sweep", "answers"]);
  await page.keyboard.press("Shift+F6");
  assert.equal(await page.evaluate(() => document.activeElement.closest(".pane")?.id), "sweep");
  assert.deepEqual(page.errors, []);
});

test("Tab goes through everything, in the order it is read, and shows where it is", async () => {
  const page = await opened();
  const panes = [];
  const unseen = [];
  let stops = 0;
  for (; stops < 200; stops++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const here = document.activeElement;
      if (here === null || here === document.body) return null;
      const box = here.getBoundingClientRect();
      const style = getComputedStyle(here);
      // The text has its caret, a line between panes a bar of its own.
      const bar = getComputedStyle(here, "::after").backgroundColor;
      const shown = style.outlineStyle !== "none" || here.matches(".cm-content") || (here.matches(".gutter") && bar !== "rgba(0, 0, 0, 0)");
      return {
        pane: here.closest(".pane, header")?.id ?? "line", what: here.outerHTML.slice(0, 120),
        seen: shown && box.width > 0 && box.bottom > 0 && box.top < innerHeight,
      };
    });
    if (at === null) break;
    if (!at.seen) unseen.push(at.what);
    if (panes.at(-1) !== at.pane && at.pane !== "line" && at.pane !== "") panes.push(at.pane);
  }
  assert.ok(stops > 40 && stops < 200, `${stops} stops`);
  assert.deepEqual(unseen, []);
  assert.deepEqual(panes, ["bar", "design", "plan", "space", "sweep", "answers"]);
  assert.deepEqual(page.errors, []);
});

test("slash finds", async () => {
  const page = await opened();
  await page.locator("#answers .stage").focus();
  await page.keyboard.press("/");
  await page.keyboard.type("slug");
  await page.keyboard.press("Enter");
  await page.locator(".cm-searchMatch").first().waitFor();
  assert.deepEqual(page.errors, []);
});

test("a question mark lists the keys, and leaves the focus where it was", async () => {
  const page = await opened();
  const plan = page.locator("#plan canvas").first();
  await plan.focus();
  await page.keyboard.press("?");
  await page.locator("dialog[open]", { hasText: "Along the sweep" }).waitFor();
  await page.keyboard.press("Escape");
  await page.locator("dialog[open]").waitFor({ state: "detached" });
  assert.ok(await plan.evaluate((canvas) => canvas === document.activeElement));
  assert.deepEqual(page.errors, []);
});

test("a question mark in the text is a question mark", async () => {
  const page = await opened();
  await page.locator(".cm-content").click();
  await page.keyboard.press("Control+Home");
  await page.keyboard.type("#?/");
  assert.match(await textOf(page), /^#\?\//);
  assert.equal(await page.locator("dialog[open]").count(), 0);
  assert.deepEqual(page.errors, []);
});

test("a magnet is selected, moved and turned by keys, and what comes of it is said", async () => {
  const page = await opened();
  const before = await textOf(page);
  await page.locator("#plan canvas").first().focus();
  await page.keyboard.press("n");
  await page.keyboard.press("Shift+ArrowLeft");
  await until(async () => /^from = \["-5 ± 0\.5 mm"/m.test(await textOf(page)), "ten steps in the text");
  await page.keyboard.press("[");
  await until(async () => /^rotate = /m.test(await textOf(page)), "the turn in the text");
  await until(async () => /magnet\[slug\] at/.test((await page.locator("#plan [aria-live]").allTextContents()).join(" ")), "the place said aloud");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await until(async () => (await textOf(page)) === before, "the text as it was");
  assert.deepEqual(page.errors, []);
});

test("lines between panes are moved and folded by keys", async () => {
  const page = await opened();
  const width = async () => (await page.locator("#answers").boundingBox()).width;
  const before = await width();
  const line = page.getByRole("separator", { name: "Width of the answers" });
  await line.press("ArrowLeft");
  assert.equal(Math.round((await width()) - before), 16);
  await line.press("Enter");
  assert.equal(await page.locator("#answers").isVisible(), false);
  await line.press("Enter");
  assert.equal(await page.locator("#answers").isVisible(), true);
  assert.deepEqual(page.errors, []);
});

test("the export menu opens, is walked and closed by keys", async () => {
  const page = await opened();
  await page.getByRole("button", { name: "Export" }).press("Enter");
  await page.keyboard.press("ArrowDown");
  assert.match(await page.evaluate(() => document.activeElement.textContent), /Map as SVG/);
  await page.keyboard.press("Escape");
  await page.locator("#exports").waitFor({ state: "hidden" });
  assert.deepEqual(page.errors, []);
});

test("where nothing may move, playing stands at one event after the other", async () => {
  const page = await opened({ reducedMotion: "reduce" });
  const head = page.getByRole("slider", { name: "Place along the sweep" });
  const [operate, release] = await page.locator(".events .nominal").evaluateAll((cells) => cells.map((cell) => cell.dataset.value));
  await page.getByRole("button", { name: "Play" }).click();
  const seen = new Set();
  await until(async () => {
    seen.add(await head.getAttribute("aria-valuenow"));
    return seen.has(operate) && seen.has(release);
  }, "both events under the playhead");
  assert.ok([...seen].every((at) => [operate, release, "80"].includes(at)), `stood at ${[...seen]}`);
  assert.equal(await page.locator(".group > summary").first().evaluate((row) => getComputedStyle(row, "::before").transitionDuration), "0s");
  assert.deepEqual(page.errors, []);
});
