// The design as fields: either half follows the other, comments survive, undo spans both.

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

const comments = (text) => text.split("\n").flatMap((line) => line.match(/#.*/g) ?? []);

test("a field follows the text", async () => {
  const page = await opened();
  await typeOver(page, "5 ± 0.1 mm", "6 ± 0.2 mm");
  await until(async () => (await field(page, "magnet[slug]", "size", 1).inputValue()) === "6 ± 0.2 mm", "the field's new value");
  await settled(page);
  assert.deepEqual(page.errors, []);
});

test("the text follows a field, and every comment stays", async () => {
  const page = await opened();
  const before = await textOf(page);
  const events = await eventsOf(page, "lid");
  await field(page, "magnet[slug]", "size", 1).fill("7 ± 0.1 mm");
  const after = await until(async () => {
    const text = await textOf(page);
    return text !== before && text.includes("7 ± 0.1 mm") && text;
  }, "the text with the new value");
  assert.equal(after, before.replace("5 ± 0.1 mm", "7 ± 0.1 mm"));
  assert.deepEqual(comments(after), comments(before));
  await settled(page);
  assert.notDeepEqual(await eventsOf(page, "lid"), events);
  assert.deepEqual(page.errors, []);
});

test("arrow keys step the last digit at the cursor", async () => {
  const page = await opened();
  const input = field(page, "magnet[slug]", "size", 1);
  await input.focus();
  await input.press("Home");
  await input.press("ArrowUp");
  assert.equal(await input.inputValue(), "6 ± 0.1 mm");
  await input.press("End");
  await input.press("ArrowDown");
  assert.equal(await input.inputValue(), "6 ± 0.0 mm");
  await input.press("Shift+ArrowUp");
  assert.equal(await input.inputValue(), "6 ± 1.0 mm");
  await until(async () => (await textOf(page)).includes("6 ± 1.0 mm"), "the stepped value in the text");
  assert.deepEqual(page.errors, []);
});

test("undo takes back field and text edits in turn, redo brings them again", async () => {
  const page = await opened();
  const before = await textOf(page);
  await field(page, "magnet[slug]", "size", 0).fill("12 mm");
  await until(async () => (await textOf(page)).includes('"12 mm", "5 ± 0.1 mm"'), "the field's edit");
  const middle = await textOf(page);
  await typeOver(page, "Feed hopper lid", "Hopper");
  const last = await textOf(page);
  assert.notEqual(last, middle);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), middle);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  await until(async () => (await field(page, "magnet[slug]", "size", 0).inputValue()) === "10 mm", "the field as before");
  await page.click('[aria-label^="Redo"]');
  await page.click('[aria-label^="Redo"]');
  assert.equal(await textOf(page), last);
  assert.deepEqual(page.errors, []);
});

test("a table added and taken out again leaves the text as it was", async () => {
  const page = await opened();
  const before = await textOf(page);
  await page.locator(".add-row").getByRole("button", { name: "magnet" }).click();
  const added = await until(async () => {
    const text = await textOf(page);
    return text.split("[[magnet]]").length === 3 && text;
  }, "a second magnet");
  assert.deepEqual(comments(added), comments(before));
  await settled(page);
  assert.equal(await page.locator(".problem.error").count(), 0, "a magnet comes complete");
  await page.locator('.group[data-path^="magnet"]').nth(1).locator(".group-foot").getByRole("button").click();
  await until(async () => (await textOf(page)).split("[[magnet]]").length === 2, "one magnet");
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), added);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  assert.deepEqual(page.errors, []);
});

test("a motor and a latch are added complete, a latch once", async () => {
  const page = await stage.page("file=pond-hatch.toml");
  await settled(page);
  const add = (table) => page.locator(".add-row").getByRole("button", { name: table, exact: true });
  await add("motor").click();
  await until(async () => /^\[\[motor\]\]\nname = "motor"$/m.test(await textOf(page)), "a motor in the text");
  await field(page, "motor[motor]", "distance").waitFor();
  await add("latch").click();
  await until(async () => /^\[latch\]$/m.test(await textOf(page)), "a latch in the text");
  await add("latch").waitFor({ state: "detached" });
  await settled(page);
  assert.equal(await page.locator(".problem.error").count(), 0, "both come complete");
  const figures = await until(async () => {
    const text = await page.locator("#answers .parts").innerText();
    return text.includes("bias of hatch") && text;
  }, "the figures of the latch");
  assert.match(figures, /reach of motor to hatch/);
  assert.deepEqual(page.errors, []);
});

test("a latch is offered only where something holds beside what sets", async () => {
  const page = await opened();
  const offered = await page.locator(".add-row button").allTextContents();
  assert.ok(offered.includes("motor") && !offered.includes("latch") && !offered.includes("relay"), offered.join());
  assert.deepEqual(page.errors, []);
});

test("what tells more of a sweep is offered where the sweep is of its kind, and is added complete", async () => {
  for (const [file, table, others] of [
    ["hopper-lid.toml", "door", ["rotor", "target", "tank"]], ["pond-hatch.toml", "life", ["rotor", "target", "ladder"]],
    ["hatch-hinge.toml", "door", ["rotor", "target", "slosh"]],
  ]) {
    const page = await stage.page(`file=${file}`);
    await settled(page);
    const add = (name) => page.locator(".add-row").getByRole("button", { name, exact: true });
    const offered = await page.locator(".add-row button").allTextContents();
    assert.deepEqual(others.filter((one) => offered.includes(one)), [], file);
    await add(table).click();
    await until(async () => new RegExp(`^\\[${table}\\]$`, "m").test(await textOf(page)), `${table} in the text`);
    await add(table).waitFor({ state: "detached" });
    await settled(page);
    assert.equal(await page.locator(".problem.error").count(), 0, `${table} comes complete`);
    assert.deepEqual(page.errors, []);
  }
});

test("a fault is told at its field", async () => {
  const page = await opened();
  await typeOver(page, 'overlap = "1.0 mm"', 'overlap = "15.0 mm"');
  const row = page.locator('.group[data-path="contact[lid]"] .field.at-fault');
  await row.waitFor();
  assert.match(await row.textContent(), /longer than the blade/);
  assert.equal(await field(page, "contact[lid]", "overlap").getAttribute("aria-invalid"), "true");
  assert.deepEqual(page.errors, []);
});

test("text that is no TOML keeps the fields, and says so", async () => {
  const page = await opened();
  await typeOver(page, "[sweep]", "[sweep");
  await page.waitForSelector(".problem.error");
  await page.waitForSelector(".form.stale");
  assert.equal(await field(page, "magnet[slug]", "size", 1).inputValue(), "5 ± 0.1 mm");
  assert.deepEqual(page.errors, []);
});

test("families, grades and shapes are picked from a list", async () => {
  const page = await stage.page("file=cabinet-lid.toml");
  await page.waitForSelector(".group");
  const choices = async (...at) => field(page, ...at).locator("option").allTextContents();
  assert.ok((await choices("contact[lid]", "family")).length >= 7);
  assert.ok((await choices("magnet[slug]", "grade")).includes("NdFeB 240/180"));
  assert.deepEqual((await choices("magnet[slug]", "shape")).sort(), ["cuboid", "cylinder", "ring", "sphere"]);
  assert.deepEqual((await choices("sweep", "moves")).filter((name) => name === "slug"), ["slug"]);
  const before = await textOf(page);
  await field(page, "magnet[slug]", "grade").selectOption("NdFeB 240/180");
  await until(async () => (await textOf(page)) === before.replace('grade = "NdFeB 240/80"', 'grade = "NdFeB 240/180"'), "the grade in the text");
  assert.deepEqual(page.errors, []);
});

test("a key is added with a value that computes, its source said, and taken out again", async () => {
  const page = await opened();
  const before = await textOf(page);
  const magnet = page.locator('.group[data-path="magnet[slug]"]');
  await magnet.getByLabel("Add a key").selectOption("remanence");
  await until(async () => /^remanence = "/m.test(await textOf(page)), "the key in the text");
  await until(() => page.evaluate(() => document.activeElement?.closest(".field")?.getAttribute("aria-label") === "remanence"), "the focus on it");
  await page.getByLabel("Where the value is from").selectOption("measured");
  await until(async () => /remanence = \{.*source = "measured"/.test(await textOf(page)), "its source in the text");
  await until(async () => (await magnet.locator(".source-mark").allTextContents()).includes("M"), "its mark");
  await magnet.getByRole("button", { name: "Take remanence out" }).click();
  await until(async () => (await textOf(page)) === before, "the text as it was");
  assert.deepEqual(page.errors, []);
});

test("the title block says design, revision, verdict and model", async () => {
  const page = await opened();
  const block = await page.locator(".title-block").innerText();
  assert.match(block, /Feed hopper lid/);
  assert.match(block, /Revision\s+A\s/);
  assert.match(block, /MET/i);
  assert.match(block, /0\.4 %/);
  await field(page, "", "revision").fill("B");
  await until(async () => /Revision\s+B\s/.test(await page.locator(".title-block").innerText()), "the new revision");
  assert.deepEqual(page.errors, []);
});
