// Bodies moved by hand on the plan, and everything that follows them.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, eventsOf, field, settled, Stage, textOf, typeOver, until } from "./stage.mjs";

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

/** A place on the plan where something can be grabbed, found as a user finds it: by the pointer's shape. */
async function graspable(page) {
  const box = await canvas(page).boundingBox();
  for (let y = 24; y < box.height / 2; y += 6) {
    for (let x = 0.3; x < 0.8; x += 0.02) {
      await page.mouse.move(box.x + x * box.width, box.y + y);
      if (await canvas(page).evaluate((plan) => plan.style.cursor === "grab")) return [box.x + x * box.width, box.y + y];
    }
  }
  throw new Error("nothing on the plan can be grabbed");
}

const atOf = async (page) => (await textOf(page)).match(/^from = \[(.*)\]/m)[1];

test("dragging the magnet moves the events at once, letting go writes the text, undo brings it back", async () => {
  const page = await opened();
  const before = await textOf(page);
  const events = await eventsOf(page, "lid");
  const [x, y] = await graspable(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 30, y, { steps: 6 });
  await until(async () => JSON.stringify(await eventsOf(page, "lid")) !== JSON.stringify(events), "events of the drag");
  assert.equal(await textOf(page), before, "nothing is written while the button is down");
  await page.mouse.up();
  const after = await until(async () => {
    const text = await textOf(page);
    return text !== before && text;
  }, "the text with the new place");
  const lines = (text) => text.split("\n");
  const changed = lines(after).filter((line, k) => line !== lines(before)[k]);
  assert.ok(changed.length > 0 && changed.every((line) => /^(from|to) = /.test(line)), `changed: ${changed}`);
  // The tolerance of the place, and every comment, stay.
  assert.match(await atOf(page), /± 0\.5 mm/);
  await settled(page);
  assert.notDeepEqual(await eventsOf(page, "lid"), events);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  await settled(page);
  assert.deepEqual(await eventsOf(page, "lid"), events);
  assert.deepEqual(page.errors, []);
});

test("one undo spans what was typed, filled in and dragged", async () => {
  const page = await opened();
  const texts = [await textOf(page)];
  const step = async (act, what) => {
    await act();
    texts.push(await until(async () => {
      const text = await textOf(page);
      return text !== texts.at(-1) && text;
    }, what));
    await settled(page);
  };
  await step(() => typeOver(page, "Feed hopper lid", "Hopper"), "the text typed");
  await step(() => field(page, "magnet[slug]", "size", 1).fill("6 ± 0.1 mm"), "the field's value");
  await step(async () => {
    const [x, y] = await graspable(page);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 30, y, { steps: 4 });
    await page.mouse.up();
  }, "the place dragged to");
  for (const text of texts.slice(0, -1).reverse()) {
    await page.click('[aria-label^="Undo"]');
    assert.equal(await textOf(page), text);
  }
  for (const text of texts.slice(1)) {
    await page.click('[aria-label^="Redo"]');
    assert.equal(await textOf(page), text);
  }
  assert.deepEqual(page.errors, []);
});

test("escape puts a dragged magnet back", async () => {
  const page = await opened();
  const before = await textOf(page);
  const events = await eventsOf(page, "lid");
  const [x, y] = await graspable(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 30, y, { steps: 6 });
  await until(async () => JSON.stringify(await eventsOf(page, "lid")) !== JSON.stringify(events), "events of the drag");
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await settled(page);
  assert.equal(await textOf(page), before);
  assert.deepEqual(await eventsOf(page, "lid"), events);
  assert.deepEqual(page.errors, []);
});

test("arrow keys move the selected magnet by the step, and the field follows", async () => {
  const page = await opened();
  await page.locator('.group[data-path="magnet[slug]"] summary').click();
  await canvas(page).focus();
  // Some within one go, some just as the one before is let go.
  for (const pause of [0, 0, 610, 640]) {
    await page.waitForTimeout(pause);
    await page.keyboard.press("ArrowRight");
  }
  await until(async () => /^from = \["2 ± 0\.5 mm"/m.test(await textOf(page)), "four steps of half a millimetre in the text");
  await until(async () => (await field(page, "sweep", "from").inputValue()) === "2 ± 0.5 mm", "the field's new value");
  assert.deepEqual(page.errors, []);
});

