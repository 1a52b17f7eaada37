// Nothing is done while nothing changes: no picture is painted, and the server sleeps.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, afterEach, beforeEach, test } from "node:test";
import { Stage, closeBrowser, settled, until } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

/** Clock ticks of processor time that a process has taken. */
async function ticks(pid) {
  const words = (await readFile(`/proc/${pid}/stat`, "latin1")).split(") ")[1].split(" ");
  return Number(words[11]) + Number(words[12]);
}

test("a page that nobody touches paints nothing and lets the server sleep", async () => {
  const frames = () => {
    window.frames_asked = 0;
    const ask = window.requestAnimationFrame.bind(window);
    window.requestAnimationFrame = (paint) => {
      window.frames_asked += 1;
      return ask(paint);
    };
  };
  const page = await stage.page("file=hopper-lid.toml", {}, (fresh) => fresh.addInitScript(frames));
  await settled(page);
  const asked = () => page.evaluate(() => window.frames_asked);
  // Regions in space come after the answer; then all is said and shown.
  let last = -1;
  await until(async () => {
    const [now, was] = [await asked(), last];
    last = now;
    await page.waitForTimeout(1500);
    return was === now;
  }, "a quiet page");
  const [painted, taken] = [await asked(), await ticks(stage.server.pid)];
  assert.ok(painted > 0, "frames are counted");
  await page.waitForTimeout(5000);
  assert.equal(await asked(), painted, "frames while nothing changes");
  const more = (await ticks(stage.server.pid)) - taken;
  assert.ok(more <= 1, `${more} ticks of the server's time in five seconds`);
  assert.deepEqual(page.errors, []);
});
