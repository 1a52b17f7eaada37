// Tank, wheel and door stand in the place of space, and go with the playhead.

import assert from "node:assert/strict";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, settled, Stage, until, violations } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

const read = (page) => page.locator("#application .application-read").innerText();
const hand = (page) => page.locator("#application").getByRole("slider");

async function opened(name, options) {
  const page = await stage.page(`file=${name}.toml`, options);
  await settled(page);
  await until(async () => page.locator("#application").isVisible(), "the application");
  return page;
}

/** Takes the hand at a share of the picture to another, a step at a time. */
async function drag(page, from, to) {
  const box = await hand(page).boundingBox();
  const at = ([x, y]) => [box.x + x * box.width, box.y + y * box.height];
  await page.mouse.move(...at(from));
  await page.mouse.down();
  for (let k = 1; k <= 12; k += 1) await page.mouse.move(...at([0, 1].map((i) => from[i] + ((to[i] - from[i]) * k) / 12)));
  await page.mouse.up();
}

test("the surface is dragged: the float follows, contacts close, reading and volume are told", async () => {
  const page = await opened("nutrient-tank");
  assert.match(await page.locator("#application h2").innerText(), /tank/i);
  await until(async () => /no contact closed/.test(await read(page)), "the empty stem");
  // Sixteen contacts are one table among the answers.
  assert.equal(await page.locator("#answers tr[data-contact]").count(), 16);
  assert.match(await page.locator(".demands").innerText(), /stage 1 to stage 16/);
  await until(async () => /\d \.\. \d/.test(await page.locator("#answers tr[data-contact] .limits").first().innerText()), "their bands");
  await drag(page, [0.5, 0.7], [0.5, 0.45]);
  await until(async () => /stage \d+ closed|stage \d+, stage \d+ closed/.test(await read(page)), "a contact closed");
  const rising = await read(page);
  assert.match(rising, /rising, reads [\d.]+.Ω, [\d.]+.L/);
  const level = async () => Number(await hand(page).getAttribute("aria-valuenow"));
  const high = await level();
  assert.ok(high > 100 && high < 280, `${high}`);
  // The playhead of the sweep is the same.
  await until(async () => Number(await page.getByRole("slider", { name: "Place along the sweep" }).getAttribute("aria-valuenow")) === high, "the playhead there");
  await drag(page, [0.5, 0.45], [0.5, 0.6]);
  await until(async () => /falling, reads/.test(await read(page)), "the level falling");
  assert.ok((await level()) < high);
  assert.deepEqual(page.errors, []);
});

test("the same by keys, and space in its place", async () => {
  const page = await opened("nutrient-tank");
  await hand(page).focus();
  await page.keyboard.press("End");
  await until(async () => (await hand(page).getAttribute("aria-valuenow")) === "280", "the top");
  await page.keyboard.press("Shift+ArrowDown");
  await until(async () => (await hand(page).getAttribute("aria-valuenow")) === "268", "ten steps down");
  assert.match(await hand(page).getAttribute("aria-valuetext"), /268.0.mm: level/);
  await page.keyboard.press("a");
  await until(async () => page.locator("#space").isVisible(), "space");
  assert.equal(await page.locator("#application").isVisible(), false);
  await page.locator("#space").getByRole("button", { name: "The application in the place of space" }).click();
  await until(async () => page.locator("#application").isVisible(), "the tank again");
  assert.deepEqual(page.errors, []);
});

test("the wheel turns with the hand and with the playhead", async () => {
  const page = await opened("paddle-wheel");
  await until(async () => /4 pulses a turn; no double pulse threatens/.test(await read(page)), "what is told of its pulses");
  assert.match(await read(page), /angle −45.00°, counter open/);
  await hand(page).focus();
  for (let k = 0; k < 2; k += 1) await page.keyboard.press("Shift+ArrowUp");
  await until(async () => /angle −9.00°, counter closed/.test(await read(page)), "a magnet before the contact");
  await drag(page, [0.8, 0.3], [0.8, 0.5]);
  await until(async () => !/angle −9.00°/.test(await read(page)), "the wheel turned by hand");
  assert.deepEqual(page.errors, []);
});

test("the coil with its layers: the voltage is dragged, contacts close one by one", async () => {
  const page = await opened("probe-multiplexer");
  await until(async () => /turns of 0.071 mm grade 1 in 18 layers/.test(await read(page)), "what it is wound of");
  assert.match(await read(page), /0.000.V: no contact closed/);
  for (let k = 0; k < 9; k += 1) await hand(page).press("Shift+ArrowUp");
  await until(async () => /2.700.V: lower 1, upper 2 closed/.test(await read(page)), "the two that close first");
  const before = Number(await hand(page).getAttribute("aria-valuenow"));
  await drag(page, [0.3, 0.8], [0.3, 0.65]);
  await until(async () => Number(await hand(page).getAttribute("aria-valuenow")) > before, "more voltage");
  await until(async () => /all contacts closed/.test(await read(page)), "all of them");
  assert.deepEqual(page.errors, []);
});

test("the blades close and open, by hand and played slowly", async () => {
  const page = await opened("probe-multiplexer");
  const pick = page.getByLabel("Application", { exact: true });
  await until(async () => (await pick.locator("option").allInnerTexts()).includes("Closing"), "what is told of the closing", 120_000);
  await pick.selectOption("Closing");
  await until(async () => /0.000.ms after switching on: gap 25.00.µm, 0.000.mA/.test(await read(page)), "the open contact");
  assert.match(await read(page), /touches after [\d.]+.ms at [\d.]+.m\/s, then bounces/);
  await hand(page).press("End");
  await until(async () => /gap 5.0\d*.µm/.test(await read(page)), "the closed contact");
  await page.getByLabel("Movement of the blades").selectOption("opening of lower 1");
  await until(async () => /0.000.ms after switching off: gap 5.0\d*.µm/.test(await read(page)), "closed before it opens");
  assert.match(await read(page), /parts after [\d.]+.ms with zener/);
  await page.getByRole("button", { name: "Play slowly" }).click();
  await until(async () => (await hand(page).getAttribute("aria-valuenow")) === (await hand(page).getAttribute("aria-valuemax")), "played to its end", 30_000);
  assert.deepEqual(page.errors, []);
});

test("a contact in section, and what a micrometre of each dimension is worth", async () => {
  const page = await opened("pump-relay");
  const pick = page.getByLabel("Application", { exact: true });
  await until(async () => (await pick.locator("option").allInnerTexts()).includes("Construction"), "what is told of the construction", 120_000);
  await pick.selectOption("Construction");
  await until(async () => /relay: gap 70.00.µm/.test(await read(page)), "the gap");
  assert.match(await read(page), /a micrometre more is worth \+0\.\d+ AT of operate, [+−]0\.\d+ AT of release, −\d\.\d+ mN of force at operate/);
  assert.match(await read(page), /the spring that closes at 27.5.AT opens at [\d.]+.AT/);
  await hand(page).press("ArrowDown");
  await hand(page).press("ArrowDown");
  assert.match(await read(page), /blade thickness 260.0.µm/);
  assert.match(await hand(page).getAttribute("aria-valuetext"), /^blade thickness: /);
  await hand(page).press("Home");
  assert.match(await read(page), /relay: gap/);
  // The last row of the bars, by hand.
  const box = await hand(page).boundingBox();
  await page.mouse.click(box.x + box.width / 2, box.y + box.height - 12);
  await until(async () => /contact metals together/.test(await read(page)), "the metals");
  assert.deepEqual(page.errors, []);
});

test("a load over time, before and after it is protected; a second load is picked", async () => {
  const page = await opened("pump-relay");
  await until(async () => /without protection at most [\d.]+.V and [\d.]+.A, arc [\d.]+.ms/.test(await read(page)), "what the contact goes through");
  assert.match(await read(page), /with rc at most [\d.]+.V and [\d.]+.A, no arc/);
  const ends = async () => Number(await hand(page).getAttribute("aria-valuemax"));
  const opening = await ends();
  await hand(page).press("End");
  await until(async () => Number(await hand(page).getAttribute("aria-valuenow")) === opening, "the end of the curves");
  assert.equal(await page.getByRole("slider", { name: "Place along the sweep" }).getAttribute("aria-valuenow"), "0", "the sweep stands");
  await page.getByLabel("Movement of the contact").selectOption("closes");
  await until(async () => /after closing/.test(await read(page)), "the contact closing");
  await page.getByRole("button", { name: "Fields", exact: true }).click();
  await page.getByRole("group", { name: "Add to the design" }).getByRole("button", { name: "load", exact: true }).click();
  await page.getByLabel("Application", { exact: true }).selectOption("Load load");
  await until(async () => /after opening: [\d.]+.V, [\d.]+.A/.test(await read(page)), "the second load");
  assert.match(await page.locator("#answers").innerText(), /Load load/);
  assert.deepEqual(page.errors, []);
});

test("the door swings, and shows how near an outside magnet must come", async () => {
  const page = await opened("store-door");
  await until(async () => /door open, watch closed/.test(await read(page)), "the open door");
  await hand(page).press("End");
  await until(async () => /angle 0.00°, door closed, watch open/.test(await read(page)), "the door shut");
  assert.match(await read(page), /gap at operate of door 14\.\d+.mm/);
  const pick = page.getByLabel("Outside magnet");
  await pick.selectOption("collar");
  await until(async () => /collar brought to the open door changes door within 75\.\d+ mm/.test(await read(page)), "its reach");
  assert.deepEqual(page.errors, []);
});

for (const colorScheme of ["light", "dark"]) {
  test(`tank, wheel and door, ${colorScheme}, have no serious violation`, async () => {
    for (const name of ["nutrient-tank", "paddle-wheel", "store-door", "probe-multiplexer", "pump-relay"]) {
      const page = await opened(name, { colorScheme });
      assert.deepEqual(await violations(page), [], name);
      const shot = await page.locator("#application").screenshot({ path: process.env.SHOTS && `${process.env.SHOTS}/${name}-${colorScheme}.png` });
      assert.ok(shot.length > 3000, `${shot.length} bytes`);
      assert.deepEqual(page.errors, []);
      await page.context().close();
    }
  });
}
