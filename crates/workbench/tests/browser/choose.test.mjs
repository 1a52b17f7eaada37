// What to choose: the search, its plot and table, a design beside the text's own, and that design taken.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, designs, reedmace, settled, Stage, textOf, typeOver, until, violations } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

/** The vent flap with few things free, or with all of them, and the store it names. */
async function vent(all = false, change = (text) => text) {
  const text = await readFile(join(designs, "vent-flap/vent-flap.toml"), "utf8");
  const few = `${text.slice(0, text.indexOf("[choose.free]"))}[choose.free]
"contact[frame].family" = ["rush", "bogbean"]
"magnet[flap].catalogue" = ["peg-6", "stub-5", "bar-10"]
"contact[frame].at[2]" = { from = "-8 mm", to = "0 mm" }
`;
  await writeFile(join(stage.folder, "vent.toml"), change(all ? text : few));
  await writeFile(join(stage.folder, "store.toml"), await readFile(join(designs, "vent-flap/store.toml"), "utf8"));
}

/** Its page with the view of the choice open. */
async function opened(options = {}, before = () => {}) {
  const page = await stage.page("file=vent.toml", options, before);
  await settled(page);
  await page.getByRole("button", { name: "Choose: the cheapest" }).click();
  return page;
}

const statusOf = (page) => page.locator(".choose-status").textContent();
const found = (page) => until(async () => /, seed 1$/.test(await statusOf(page)), "the search done");
const plot = (page) => page.getByRole("slider", { name: "Cost and room of what was tried" });
const beside = (page, name) => until(async () => (await page.locator("#beside h2").textContent()) === `Beside: ${name}`
  && (await page.locator("#beside .differs").count()) === 1 && !/…/.test(await page.locator("#beside .parts").textContent()), `${name} beside`);

/** Answer of the command line; the text of an arrangement. */
const choose = (...args) => new Promise((done, failed) => execFile(
  reedmace, ["choose", join(stage.folder, "vent.toml"), ...args], { maxBuffer: 1e8 },
  (why, out) => (out ? done(out) : failed(why)),
));

/** Points of the plan's canvas in the tone of another design. */
const inDrive = (page) => page.evaluate(() => {
  const canvas = document.querySelector("#plan canvas");
  const tone = document.createElement("canvas").getContext("2d");
  tone.fillStyle = getComputedStyle(canvas).getPropertyValue("--drive");
  tone.fillRect(0, 0, 1, 1);
  const want = tone.getImageData(0, 0, 1, 1).data;
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let count = 0;
  for (let k = 0; k < data.length; k += 4) if ([0, 1, 2].every((i) => Math.abs(data[k + i] - want[i]) < 12)) count += 1;
  return count;
});

test("what is found is what the command line finds, with progress on the way", async () => {
  await vent();
  let heard = 0;
  const page = await opened({}, (fresh) => fresh.on("websocket", (line) => line.on("framereceived", ({ payload }) => {
    if (String(payload).startsWith('{"say":"searching"')) heard += 1;
  })));
  await until(async () => / of 6 tried, /.test(await statusOf(page)), "how far it is");
  await found(page);
  assert.ok(heard >= 2, `${heard} words of the search`);
  const answer = JSON.parse(await choose("--json"));
  assert.ok(answer.candidates.length >= 3 && answer.candidates.length < 6);
  assert.equal(await statusOf(page), `6 combinations, ${answer.candidates.length} meet all, seed 1`);
  const rows = await page.locator(".best tbody tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
  assert.deepEqual(rows.map(([no, cost]) => [no, cost]), answer.candidates.map(({ cost }, k) => [String(k + 1), cost.toFixed(2)]));
  const [head] = await page.locator(".best thead th").last().allTextContents();
  assert.match(head, /frame at\sz± 0.3 mm/);
  assert.equal(`${rows[0].at(-1).replace("−", "-")} ± 0.3 mm`, answer.candidates[0].values.at(-1).text);
  // Every point is there: the best, the front and the losers, each by what it is.
  const count = (kind) => page.locator(`.front-drawing ${kind}`).count();
  assert.equal(await count("circle.met"), answer.candidates.length);
  assert.equal(await count(":is(circle.met, .lost)"), answer.front.length + answer.others.length);
  assert.equal(await count(".front"), answer.front.length);
  const lost = await page.locator(".lost-list li").allTextContents();
  assert.deepEqual(lost, answer.lost.map(({ count, reason }) => `${count} ${reason}`));
  // Why a loser lost is told when the pointer is on it.
  const loser = answer.others.concat(answer.front).find(({ why }) => why !== null);
  await plot(page).focus();
  await until(async () => {
    await page.keyboard.press("ArrowDown");
    return (await page.locator(".front-said").textContent()).toLowerCase().includes(loser.why.toLowerCase());
  }, loser.why);
  assert.deepEqual(page.errors, []);
});

test("by keys along the front; a design beside is drawn, compared, taken and undone", async () => {
  await vent();
  const page = await opened();
  await found(page);
  const answer = JSON.parse(await choose("--json"));
  const front = answer.front.filter(({ candidate }) => candidate !== null);
  assert.ok(front.length >= 2);
  const before = await inDrive(page);
  await plot(page).focus();
  const said = () => plot(page).getAttribute("aria-valuetext");
  assert.match(await said(), new RegExp(`^no\\. ${front[0].candidate + 1}, none cheaper`));
  await page.keyboard.press("ArrowRight");
  assert.match(await said(), new RegExp(`^no\\. ${front[1].candidate + 1}, none cheaper`));
  await page.keyboard.press("Enter");
  const name = `no. ${front[1].candidate + 1}`;
  await beside(page, name);
  await until(async () => (await inDrive(page)) > before + 150, "the other design in the plan");
  const price = await page.locator(".differs tbody tr").first().locator("td").allTextContents();
  assert.deepEqual(price, [answer.own_cost.toFixed(2), front[1].cost.toFixed(2)]);
  const verdicts = await page.locator(".differs .verdict").allTextContents();
  assert.deepEqual(verdicts.map((word) => word.trim()), ["met", "met", "missed", "met"]);
  // Put away by Escape, and loaded again from its row.
  await page.keyboard.press("Escape");
  await until(async () => (await page.locator("#beside h2").textContent()) === "Beside" && (await inDrive(page)) === before, "it is away");
  await page.locator(".best button").first().focus();
  for (let k = 0; k < front[1].candidate; k++) await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await beside(page, name);
  const text = await textOf(page);
  await page.getByRole("button", { name: "Take it" }).click();
  await until(async () => (await textOf(page)) !== text, "what was chosen in the text");
  const file = join(stage.folder, "chosen.toml");
  await choose("--save", String(front[1].candidate + 1), file);
  assert.equal(await textOf(page), await readFile(file, "utf8"));
  await until(async () => (await page.locator("#beside h2").textContent()) === "Beside", "it is away");
  assert.equal(await page.locator(".choose-body.outdated").count(), 0, "what was found holds for it");
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), text);
  assert.equal(await page.locator(".choose-body.outdated").count(), 0);
  assert.deepEqual(page.errors, []);
});

test("a point of the plot is loaded by a click", async () => {
  await vent();
  const page = await opened();
  await found(page);
  const place = await page.locator(".front-drawing circle.met.front").last().boundingBox();
  await page.mouse.click(place.x + place.width / 2, place.y + place.height / 2);
  const name = await until(() => plot(page).getAttribute("data-at"), "a point");
  await beside(page, name);
  assert.equal(await page.locator(".best tr.loaded").count(), 1);
  assert.deepEqual(page.errors, []);
});

test("another text makes what was found old, and it is searched anew; the text as it was brings it back", async () => {
  await vent();
  const page = await opened();
  await found(page);
  await typeOver(page, "<= 11 mm", "<= 12 mm");
  await page.locator(".choose-body.outdated").waitFor();
  assert.equal(await statusOf(page), "of another text");
  await page.click('[aria-label^="Undo"]');
  await until(async () => (await page.locator(".choose-body.outdated").count()) === 0, "it holds again");
  await typeOver(page, "<= 11 mm", "<= 12 mm");
  await page.locator(".choose-body.outdated").waitFor();
  await page.getByRole("button", { name: /^Search/ }).click();
  await found(page);
  assert.equal(await page.locator(".choose-body.outdated").count(), 0);
  // A file that the design names.
  const store = join(stage.folder, "store.toml");
  await writeFile(store, (await readFile(store, "utf8")).replace("price = 0.21", "price = 0.31"));
  await page.locator(".choose-body.outdated").waitFor();
  assert.match(await statusOf(page), /file/);
  assert.deepEqual(page.errors, []);
});

test("a search is given up midway; another body is dragged while it runs", async () => {
  await vent(true);
  const page = await opened();
  await until(async () => /^[1-9]\d* of 40 tried, .*left$/.test(await statusOf(page)), "some are tried");
  await page.locator("#plan canvas").first().focus();
  await page.keyboard.press("n");
  const before = await textOf(page);
  await page.keyboard.press("ArrowUp");
  await until(async () => (await textOf(page)) !== before, "the body moved in the text");
  // That was another text: the search is given up, and can be begun anew.
  await until(async () => (await statusOf(page)) === "", "no search");
  await page.getByRole("button", { name: /^Search/ }).click();
  await until(async () => /^[2-9]\d* of 40 tried/.test(await statusOf(page)), "some are tried");
  await page.getByRole("button", { name: "Give up" }).click();
  await until(async () => /^40 combinations, \d+ tried, \d+ meets? all, seed 1$/.test(await statusOf(page)), "what it has");
  assert.match(await page.locator(".choose-told").textContent(), /^Given up: \d+ of 40/);
  assert.deepEqual(page.errors, []);
});

test("where nothing is free a table is offered that is sound, and searched when it is taken", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  await page.locator("#answers .stage").focus();
  await page.keyboard.press("c");
  const table = await page.locator("#choose pre").textContent();
  assert.match(table, /^\[choose\]\n/);
  const before = await textOf(page);
  await page.getByRole("button", { name: "Add this to the text" }).click();
  await found(page);
  assert.equal(await textOf(page), `${before.trimEnd()}\n\n${table}\n`);
  assert.ok((await page.locator(".best tbody tr").count()) > 1);
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  // Folded, the plan is as large as it was.
  await page.locator("#answers .stage").focus();
  await page.keyboard.press("c");
  await page.locator("#choose").waitFor({ state: "hidden" });
  assert.ok(await page.locator("#sweep canvas").first().isVisible());
  assert.deepEqual(page.errors, []);
});

for (const colorScheme of ["light", "dark"]) {
  test(`a choice, ${colorScheme}, has no serious violation in any state`, async () => {
    await vent();
    const page = await opened({ colorScheme });
    await found(page);
    assert.deepEqual(await violations(page), [], "found");
    await page.locator(".best button").first().click();
    await beside(page, "no. 1");
    assert.deepEqual(await violations(page), [], "beside");
    await typeOver(page, ">= 30 mm", ">= 13 mm");
    await page.locator(".choose-body.outdated").waitFor();
    await settled(page);
    assert.deepEqual(await violations(page), [], "outdated");
    // Nothing meets: what stands in the way, and what comes nearest.
    await page.getByRole("button", { name: /^Search/ }).click();
    await found(page);
    assert.match(await page.locator(".choose-told").textContent(), /^ ?Nothing meets every demand\. frame open >= 13 mm: .* short/);
    await page.getByRole("button", { name: "Show the nearest" }).click();
    await beside(page, "the nearest");
    assert.deepEqual(await violations(page), [], "nothing meets");
    const bare = await stage.page("file=hopper-lid.toml", { colorScheme });
    await settled(bare);
    await bare.keyboard.press("c");
    await bare.locator("#choose pre").waitFor();
    assert.deepEqual(await violations(bare), [], "nothing free");
    assert.deepEqual([...page.errors, ...bare.errors], []);
  });
}

test("at 1280 x 720 plot, table, plan and what differs are all in sight", async () => {
  await vent();
  const page = await opened({ viewport: { width: 1280, height: 720 } });
  await found(page);
  await page.locator(".best button").first().click();
  await beside(page, "no. 1");
  for (const part of [".front-drawing", ".best", "#plan canvas", ".differs"]) {
    const box = await page.locator(part).first().boundingBox();
    assert.ok(box.width > 200 && box.height > 100 && box.x >= 0 && box.x + box.width <= 1280, `${part} ${JSON.stringify(box)}`);
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(wide <= 0, `${wide} px too wide`);
  assert.deepEqual(page.errors, []);
});
