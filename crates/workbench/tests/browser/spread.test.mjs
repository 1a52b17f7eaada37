// The spread of many units: yields, histograms, drivers, and tolerances held wider or tighter.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, afterEach, beforeEach, test } from "node:test";
import { closeBrowser, reedmace, settled, Stage, textOf, typeOver, until, violations } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

/** The lid, lifted less than some units bear; its spread over ten thousand units shown. */
async function opened(options = {}, before = () => {}) {
  const lid = await readFile(join(stage.folder, "hopper-lid.toml"), "utf8");
  await writeFile(join(stage.folder, "tight.toml"), lid.replace(">= 45 mm", ">= 37 mm"));
  const page = await stage.page("file=tight.toml", options, before);
  await settled(page);
  await page.getByRole("button", { name: "Spread: what many built units do" }).click();
  await page.getByRole("combobox", { name: "Units of the study" }).selectOption("10000");
  await studied(page);
  return page;
}

const studied = (page, words = "10 000 units, seed 1") => until(async () => (await statusOf(page)) === words, `the study done: ${words}`);
const statusOf = async (page) => (await page.locator(".spread-status").textContent()).replaceAll("\u00a0", " ");
/** Units that meet each demand, and of how many. */
const yields = (page) => page.locator(".yields .share").evaluateAll((all) => all.map(({ dataset }) => [Number(dataset.met), Number(dataset.of)]));
const slider = (page, name) => page.getByRole("slider", { name: `Tolerance of ${name}`, exact: true });

/** Answer of the command line. */
const spread = (file, units) => new Promise((done, failed) => execFile(
  reedmace, ["spread", join(stage.folder, file), "--units", String(units), "--no-file", "--json"], { maxBuffer: 1e8 },
  // Some units miss: the exit code says so.
  (why, out) => (out ? done(JSON.parse(out)) : failed(why)),
));

test("shares, histograms and drivers are those of the command line", async () => {
  const page = await opened();
  const answer = await spread("tight.toml", 10_000);
  assert.deepEqual(await yields(page), answer.demands.map(({ share }) => [share.met, share.of]));
  assert.ok(answer.demands[1].share.met < answer.demands[1].share.of);
  assert.match(await page.locator("#spread .plot + p").textContent(), /mean \S+\smm, deviation \S+\smm/);
  // The demand that units miss is the one shown; its room's drivers, the most first.
  const rows = await page.locator(".shares [data-path]").evaluateAll((all) => all.map((row) => row.dataset.path));
  assert.deepEqual(rows, answer.demands[1].drivers.map(({ path }) => path).slice(0, 6));
  for (const [where, count] of [[".histogram .bars", 1], [".lanes .bars", answer.events.length]]) {
    const drawn = await page.locator(`#spread ${where}`).evaluateAll((all) => all.map((path) => [path.getBBox().width, path.getBBox().height]));
    assert.equal(drawn.length, count, where);
    assert.ok(drawn.every(([width, height]) => width > 4 && height > 10), `${where}: ${JSON.stringify(drawn)}`);
  }
  // Each event where the sweep's own chart has it.
  const marks = await page.locator(".lanes .on-lane .nominal").evaluateAll((all) => all.map((path) => path.getBoundingClientRect().x));
  assert.equal(marks.length, 2);
  assert.ok(marks[0] < marks[1], "operates nearer than it releases");
  await page.getByRole("combobox", { name: "Of what" }).selectOption({ label: "operate, forward" });
  await until(async () => /contact\[lid\]\.operate/.test(await page.locator(".shares [data-path]").first().getAttribute("data-path")), "what drives operate");
  assert.deepEqual(page.errors, []);
});

test("the yield follows a tolerance dragged, letting go writes it, undo brings it back", async () => {
  const page = await opened();
  const before = await textOf(page);
  const [, [met]] = await yields(page);
  const box = await slider(page, "lid release").boundingBox();
  const x = (percent) => box.x + 8 + ((percent - 5) / 195) * (box.width - 16);
  await page.mouse.move(x(100), box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(x(50), box.y + box.height / 2, { steps: 8 });
  const share = ([units, of]) => units / of;
  await until(async () => share((await yields(page))[1]) > met / 10_000 + 0.005, "more units that meet it");
  assert.equal(await textOf(page), before, "nothing is written while the button is down");
  assert.match(await page.locator('.shares [data-path="contact[lid].release"] output').textContent(), /^[\d.]+\.\.[\d.]+ AT$/);
  assert.match(await page.locator(".yields").nth(1).textContent(), /→/);
  await page.mouse.up();
  const after = await until(async () => {
    const text = await textOf(page);
    return text !== before && text;
  }, "the tolerance in the text");
  const lines = (text) => text.split("\n");
  const changed = lines(after).filter((line, k) => line !== lines(before)[k]);
  assert.equal(changed.length, 1);
  assert.match(changed[0], /^release = "1\d(\.\d+)?\.\.1[23](\.\d+)? AT"$/);
  await studied(page);
  assert.ok((await yields(page))[1][0] > met);
  assert.equal(await slider(page, "lid release").inputValue(), "100");
  await page.click('[aria-label^="Undo"]');
  assert.equal(await textOf(page), before);
  await until(async () => (await yields(page))[1][0] === met && (await yields(page))[1][1] === 10_000, "the study as it was");
  assert.deepEqual(page.errors, []);
});

test("by keys: a tolerance held shows its yield, escape puts it back, enter writes it", async () => {
  const page = await opened();
  const before = await textOf(page);
  const shown = await yields(page);
  await slider(page, "lid release").focus();
  for (let k = 0; k < 4; k++) await page.keyboard.press("ArrowLeft");
  await until(async () => /→/.test(await page.locator(".yields").nth(1).textContent()), "what the tighter tolerance does");
  await page.keyboard.press("Escape");
  await until(async () => JSON.stringify(await yields(page)) === JSON.stringify(shown), "the study of the text");
  assert.equal(await textOf(page), before);
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await until(async () => /^release = "8\.8[78]\.\.14\.1[23] AT"$/m.test(await textOf(page)), "a wider tolerance in the text");
  assert.ok(await slider(page, "lid release").evaluate((one) => one === document.activeElement), "the focus stays");
  assert.deepEqual(page.errors, []);
});

test("a driver names its line, and puts the cursor there", async () => {
  const page = await opened();
  await page.locator('.shares [data-path="contact[lid].release"] .link').click();
  const line = await page.evaluate(async () => {
    const { EditorView } = await import("@codemirror/view");
    const { state } = EditorView.findFromDOM(document.querySelector(".cm-editor"));
    return state.doc.lineAt(state.selection.main.head).text;
  });
  assert.match(line, /^release = /);
  assert.deepEqual(page.errors, []);
});

test("a study stops, goes on, and begins anew with the text; folded it costs nothing", async () => {
  let heard = 0;
  const page = await opened({}, (fresh) => fresh.on("websocket", (line) => line.on("framereceived", ({ payload }) => {
    if (String(payload).startsWith('{"say":"spread"')) heard += 1;
  })));
  assert.ok(heard >= 3, `${heard} words of the first study`);
  await page.getByRole("combobox", { name: "Units of the study" }).selectOption("1000000");
  await until(async () => /of 1 000 000 units/.test(await statusOf(page)), "a part of a million");
  await page.getByRole("button", { name: "Stop the study" }).click();
  await page.getByRole("button", { name: "Go on with the study" }).waitFor();
  let still = "";
  await until(async () => {
    const before = await statusOf(page);
    await page.waitForTimeout(1000);
    still = await statusOf(page);
    return before === still;
  }, "a study that stands still");
  assert.match(still, /of 1 000 000 units/);
  await page.getByRole("combobox", { name: "Units of the study" }).selectOption("10000");
  await studied(page);
  await typeOver(page, "5 ± 0.1 mm", "5 ± 0.4 mm");
  await until(async () => (await page.locator('.shares [data-path="magnet[slug].size[1]"] output').textContent()) === "5 ± 0.4 mm", "the new tolerance");
  await studied(page);
  // Folded, nothing more is heard of studies.
  await page.locator("#answers .stage").focus();
  await page.keyboard.press("u");
  await page.locator("#spread").waitFor({ state: "hidden" });
  assert.ok(await page.locator("#plan canvas").first().isVisible());
  heard = 0;
  await typeOver(page, "5 ± 0.4 mm", "5 ± 0.2 mm");
  await settled(page);
  await page.waitForTimeout(1500);
  assert.equal(heard, 0);
  assert.deepEqual(page.errors, []);
});

for (const colorScheme of ["light", "dark"]) {
  test(`the spread, ${colorScheme}, has no serious violation, at rest and with a tolerance held`, async () => {
    const page = await opened({ colorScheme });
    assert.deepEqual(await violations(page), []);
    await slider(page, "lid release").focus();
    await page.keyboard.press("ArrowLeft");
    await until(async () => /→/.test(await page.locator(".yields").nth(1).textContent()), "what it does");
    assert.deepEqual(await violations(page), []);
    assert.deepEqual(page.errors, []);
  });
}

test("where nothing scatters the view says so", async () => {
  const lid = await readFile(join(stage.folder, "hopper-lid.toml"), "utf8");
  const exact = lid.replaceAll(" ± 0.5", "").replace(" ± 0.1", "").replace("20..25", "22").replace("9..14", "11").replace("-20..70", "20")
    .replace('grade = "NdFeB 240/80"', 'remanence = "1.2 T"');
  await writeFile(join(stage.folder, "exact.toml"), exact);
  const page = await stage.page("file=exact.toml");
  await settled(page);
  await page.keyboard.press("u");
  await page.locator("#spread .teach", { hasText: "tolerance" }).waitFor();
  assert.deepEqual(page.errors, []);
});
