// Numbers are printed as the command line prints them.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { after, afterEach, beforeEach, test } from "node:test";
import { promisify } from "node:util";
import { closeBrowser, designs, reedmace, settled, Stage } from "./stage.mjs";

/** @type {Stage} */
let stage;
beforeEach(async () => {
  stage = await Stage.open();
});
afterEach(() => stage.close());
after(closeBrowser);

/** What the terminal says, without its line breaks. */
async function said(name) {
  const run = promisify(execFile)(reedmace, ["check", `${name}.toml`, "--no-report"], { cwd: designs, maxBuffer: 1 << 26 });
  // Exit code 1 says that a demand is missed: an answer all the same.
  const { stdout } = await run.catch((end) => (end.code === 1 ? end : Promise.reject(end)));
  return plain(stdout);
}

const plain = (text) => text.replace(/\s+/g, " ");

for (const name of ["hopper-lid", "feed-drawer", "hatch-hinge", "probe-relay"]) {
  test(`events, demands and conversions of ${name} read as in the terminal`, async () => {
    const terminal = await said(name);
    const page = await stage.page(`file=${name}.toml`);
    await settled(page);
    const lines = await page.evaluate(() => {
      const text = (row, cells) => cells.map((cell) => row.querySelector(cell).textContent).join(" ");
      return [
        ...[...document.querySelectorAll(".events [data-event]")].map((row) => text(row, [".nominal", ".low", ".high"])),
        ...[...document.querySelectorAll(".demand div:nth-of-type(2)")].map((room) => room.textContent),
        ...[...document.querySelectorAll(".conversions td")].filter((cell) => !cell.closest(".said")).map((cell) => cell.textContent),
      ];
    });
    assert.ok(lines.length >= 8, `${lines}`);
    for (const line of lines.map(plain)) {
      // The terminal has the unit after the band.
      const wanted = line.replace(/^(\S+) (\S+) (\(.*\))$/, "$1 $3 $2");
      assert.ok(terminal.includes(wanted), `"${wanted}" is not in the terminal's answer`);
    }
    assert.deepEqual(page.errors, []);
  });
}
