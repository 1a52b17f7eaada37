// What the page shows is what `reedmace check --json` prints, to the last digit.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { readdir } from "node:fs/promises";
import { after, afterEach, beforeEach, test } from "node:test";
import { promisify } from "node:util";
import { closeBrowser, designs, eventsOf, reedmace, settled, Stage, until } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

async function check(name) {
  const run = promisify(execFile)(reedmace, ["check", name, "--json", "--no-report"], { cwd: designs, maxBuffer: 1 << 26 });
  // Exit code 1 says that a demand is missed: an answer all the same.
  const { stdout } = await run.catch((end) => (end.code === 1 ? end : Promise.reject(end)));
  return JSON.parse(stdout);
}

for (const name of (await readdir(designs)).filter((file) => file.endsWith(".toml"))) {
  test(`${name} shows what the command line answers`, async () => {
    const answer = await check(name);
    const said = [];
    const listen = (fresh) => fresh.on("websocket", (line) => line.on("framereceived", ({ payload }) => {
      if (typeof payload === "string" && payload.startsWith('{"say":"answer"')) said.push(JSON.parse(payload).answer);
    }));
    const page = await stage.page(`example=${name.replace(".toml", "")}`, {}, listen);
    await settled(page);
    // Every number of the message, then those that are shown.
    assert.deepEqual(said, [answer]);
    const many = answer.contacts.length > 4;
    for (const contact of answer.contacts) {
      const wanted = Object.fromEntries(contact.events.map((event) => [
        `${event.kind} ${event.direction} ${event.lobe}`,
        [event.at.value, event.at.low, event.at.high].map((value) => (value === null ? null : String(value))),
      ]));
      const shown = await eventsOf(page, contact.name);
      // Many contacts are one table with an operate and a release of each.
      if (many) assert.equal(Object.keys(shown).length, 2);
      assert.deepEqual(shown, many ? Object.fromEntries(Object.keys(shown).map((event) => [event, wanted[event]])) : wanted);
    }
    const verdicts = await page.locator(".demand").evaluateAll((cards) => cards.map((card) => card.dataset.verdict));
    const wanted = answer.demands.map(({ verdict }) => verdict);
    if (many) assert.deepEqual(new Set(verdicts), new Set(wanted));
    else assert.deepEqual(verdicts, wanted);
    assert.equal(await page.locator(".stamp").getAttribute("data-verdict"), answer.verdict ?? "none");
    // Many of one kind are told by the first of them.
    const warned = await page.locator(".warnings li").allTextContents();
    const told = warned.reduce((sum, text) => sum + 1 + Number(/; the same of (\d+) more/.exec(text)?.[1] ?? 0), 0);
    assert.equal(told, answer.warnings.length);
    assert.deepEqual(page.errors, []);
  });
}

test("copying gives a table for a spreadsheet", async () => {
  const page = await stage.page("file=hopper-lid.toml", { permissions: ["clipboard-read", "clipboard-write"] });
  await settled(page);
  await page.getByRole("button", { name: "Copy as a table" }).click();
  const text = await until(() => page.evaluate(() => navigator.clipboard.readText()), "something on the clipboard");
  const rows = text.split("\n").map((line) => line.split("\t"));
  const { contacts } = await check("hopper-lid.toml");
  const [event] = contacts[0].events;
  assert.deepEqual(rows[1], ["lid", "operate", "forward", "1", ...[event.at.value, event.at.low, event.at.high].map(String), "mm"]);
  assert.deepEqual(page.errors, []);
});

test("the sensitivity is said in a coil of one's own, or as a magnet's distance", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  const said = page.locator(".said");
  const [operate] = (await check("hopper-lid.toml")).contacts[0].conversions;
  const value = (table) => table.locator("td.number").first().getAttribute("data-value");
  // The coil it was measured in gives what was stated.
  assert.equal(await value(said), String(operate.operate.value));
  await said.getByLabel("Length x mean diameter of the coil").fill("50 mm x 9.25 mm");
  await said.getByLabel("Length x mean diameter of the coil").blur();
  await until(async () => (await said.locator(".said-in").textContent()).startsWith("coil 50 mm"), "another coil");
  assert.notEqual(await value(said), String(operate.operate.value));
  await said.getByLabel("Say it in").selectOption("magnet slug");
  await until(async () => (await said.locator(".said-in").textContent()).includes("magnet slug"), "a distance");
  assert.match(await said.locator("td.number").first().textContent(), /\smm/);
  await said.getByLabel("Say it in").selectOption("AT");
  await said.getByLabel("Length x mean diameter of the coil").fill("wide");
  await said.getByLabel("Length x mean diameter of the coil").blur();
  await until(() => said.getByRole("alert").count(), "why not");
  assert.match(await said.getByRole("alert").textContent(), /length and mean diameter/);
  // The console tells of an answer that refuses; nothing else is wrong.
  assert.ok(page.errors.every((error) => error.includes("422")), String(page.errors));
});
