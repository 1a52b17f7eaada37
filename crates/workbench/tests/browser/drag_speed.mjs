// How long from the pointer to the new picture: a magnet dragged, then turned, 200 times each, on a map of
// 24,000 places with both regions.
//
//   node drag_speed.mjs [hopper-lid.toml] [--json]
//
// Each time runs from the event's own time stamp to the moment the page has handed its frame to the
// compositor, with a map and events that belong to that very place of the pointer. `single` waits for
// each picture before the next move; `stream` moves every 16 ms without waiting, as a hand does, and looks
// at every picture that comes. The processor time for each picture is told as well: it depends the least on
// what else the machine does. ADDRESS measures a page that is served
// already, BODY another body than `magnet[slug]`.

import { readFile, readdir } from "node:fs/promises";
import { Stage, closeBrowser, settled } from "./stage.mjs";

const TIMES = 200;
const [design = "hopper-lid.toml"] = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const json = process.argv.includes("--json");

/** Runs in the page: times of moves, and of the pictures that show them. */
function watch() {
  const canvas = document.querySelector("#plan canvas");
  const seen = { at: [], shown: [], last: "", want: Infinity, done: () => {} };
  const note = (event) => {
    const place = `${event.clientX} ${event.clientY}`;
    if (event.buttons === 0 || place === seen.last) return;
    seen.last = place;
    seen.at.push(event.timeStamp);
  };
  canvas.addEventListener("pointerrawupdate", note, true);
  canvas.addEventListener("pointermove", note, true);
  const { port1, port2 } = new MessageChannel();
  let newest = null;
  port1.onmessage = () => {
    if (newest === null) return;
    seen.shown.push({ seq: newest, time: performance.now() });
    if (newest >= seen.want) seen.done();
  };
  // Without asking again and again: every question is a frame of its own.
  seen.wait = (want) => new Promise((done) => {
    Object.assign(seen, { want, done });
    if (seen.shown.at(-1)?.seq >= want) done();
  });
  canvas.addEventListener("painted", ({ detail: { map, live, find } }) => {
    seen.find = find;
    // Regions and events of the same place.
    if (!map || map.seq === null || map.seq === newest || map.coarse || live?.seq !== map.seq) return;
    newest = map.seq;
    // A message runs after this frame's picture has been handed on.
    port2.postMessage(0);
  });
  Object.assign(window, { seen });
}

/** Processor time so far of the server and of the browser with all its processes, ms. */
async function processor() {
  const all = [];
  for (const pid of await readdir("/proc")) {
    if (!/^\d+$/.test(pid)) continue;
    const stat = await readFile(`/proc/${pid}/stat`, "latin1").catch(() => "");
    const words = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
    // Counted in hundredths of a second.
    if (words.length > 12) all.push({ pid: Number(pid), parent: Number(words[1]), time: 10 * (Number(words[11]) + Number(words[12])) });
  }
  const under = (/** @type {number} */ top) => {
    const family = new Set([top]);
    for (let before = 0; before < family.size;) {
      before = family.size;
      for (const { pid, parent } of all) if (family.has(parent)) family.add(pid);
    }
    return family;
  };
  const sum = (/** @type {(pid: number) => boolean} */ of) => all.filter(({ pid }) => of(pid)).reduce((total, { time }) => total + time, 0);
  const [served, ours] = [stage?.server.pid ?? -1, under(process.pid)];
  return { server: sum((pid) => pid === served), browser: sum((pid) => ours.has(pid) && pid !== served && pid !== process.pid) };
}

const quantile = (values, q) => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
};

/** Ages of pictures: each against the move its sequence number stands for. */
async function ages(page, first, base) {
  const { at, shown } = await page.evaluate(() => ({ at: seen.at, shown: seen.shown }));
  return shown.filter(({ seq }) => seq > base).map(({ seq, time }) => time - at[first + seq - base - 1]).filter(Number.isFinite);
}

/** @param {{server: number, browser: number}} before @param {{server: number, browser: number}} now */
const since = (before, now) => ({ server: now.server - before.server, browser: now.browser - before.browser });

async function measure(page, name, start, move) {
  await page.mouse.move(...start);
  await page.mouse.down();
  // The first few pixels are only the grip.
  await page.mouse.move(start[0] + 5, start[1] + 5);
  await page.waitForFunction(() => seen.shown.length > 0, null, { timeout: 20_000 });
  await page.waitForTimeout(400);
  const base = () => page.evaluate(() => [seen.at.length, seen.shown.at(-1).seq]);
  const [results, taken] = [{}, {}];
  {
    const [first, seq] = await base();
    const before = await processor();
    for (let k = 1; k <= TIMES; k += 1) {
      await page.mouse.move(...move(k));
      await page.evaluate((want) => seen.wait(want), seq + k);
    }
    results.single = await ages(page, first, seq);
    taken.single = since(before, await processor());
  }
  await page.waitForTimeout(300);
  {
    const [first, seq] = await base();
    const before = await processor();
    for (let k = TIMES; k >= 1; k -= 1) {
      page.mouse.move(...move(k)).catch(() => {});
      await new Promise((done) => setTimeout(done, 16));
    }
    await page.waitForTimeout(1000);
    results.stream = await ages(page, first, seq);
    taken.stream = since(before, await processor());
  }
  await page.keyboard.press("Escape");
  await page.mouse.up();
  await page.evaluate(() => { seen.at.length = seen.shown.length = 0; });
  return Object.entries(results).map(([how, times]) => ({
    what: `${name}, ${how}`, pictures: times.length, median: quantile(times, 0.5), p95: quantile(times, 0.95), worst: Math.max(...times),
    server: taken[how].server / times.length, browser: taken[how].browser / times.length,
  }));
}

const stage = process.env.ADDRESS ? null : await Stage.open();
try {
  const at = stage ?? Object.assign(new Stage(), { address: process.env.ADDRESS });
  const page = await at.page(`file=${design}`);
  await page.waitForSelector("#plan canvas");
  if (!process.env.ADDRESS) await settled(page);
  await page.waitForTimeout(1500);
  await page.evaluate(watch);
  // The moved magnet stands where the page says; its turning handle above it.
  const box = await page.locator("#plan canvas").first().boundingBox();
  await page.locator("#plan canvas").first().press("0");
  // Every move is to give a new place.
  await page.getByLabel("Step, mm").selectOption("0.1");
  await page.waitForFunction(() => seen.find, null, { timeout: 20_000 });
  const found = await page.evaluate((path) => seen.find(path), process.env.BODY ?? "magnet[slug]");
  const middle = [box.x + found.at[0], box.y + found.at[1]];
  const rows = await measure(page, "drag", middle, (k) => [middle[0] + 5 + 40 * Math.sin(k / 9), middle[1] + 5 + (k % 100) * 0.9 + 4]);
  await page.waitForTimeout(800);
  await page.mouse.click(...middle);
  await page.waitForTimeout(200);
  const handle = [middle[0], box.y + found.handle[1]];
  const radius = middle[1] - handle[1];
  rows.push(...await measure(page, "turn", handle, (k) => [middle[0] + 1.6 * radius * Math.sin((k + 1) * 0.1), middle[1] - 1.6 * radius * Math.cos((k + 1) * 0.1)]));
  if (json) console.log(JSON.stringify(rows));
  else for (const { what, pictures, median, p95, worst, server, browser } of rows) console.log(`${what.padEnd(14)} ${pictures} pictures: median ${median.toFixed(1)} ms, 95th percentile ${p95.toFixed(1)} ms, worst ${worst.toFixed(1)} ms; processor time each: server ${server.toFixed(1)} ms, browser ${browser.toFixed(1)} ms`);
} finally {
  await closeBrowser();
  await stage?.close();
}
