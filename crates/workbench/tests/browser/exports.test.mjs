// What is taken out of a session.

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

async function check(name) {
  const run = promisify(execFile)(reedmace, ["check", name, "--json", "--no-report"], { cwd: designs, maxBuffer: 1 << 26 });
  // Exit code 1 says that a demand is missed: an answer all the same.
  const { stdout } = await run.catch((end) => (end.code === 1 ? end : Promise.reject(end)));
  return JSON.parse(stdout);
}

test("exports hold what they say", async () => {
  const page = await stage.page("file=hopper-lid.toml");
  await settled(page);
  await page.getByRole("button", { name: "Export" }).click();
  const links = await page.locator("#exports a").evaluateAll((found) => found.map((link) => link.href));
  const fetched = {};
  for (const link of links) {
    const { status, text } = await page.evaluate(async (href) => {
      const answer = await fetch(href);
      return { status: answer.status, text: await answer.text() };
    }, link);
    assert.equal(status, 200, link);
    fetched[new URL(link).pathname.split("/").at(-1)] = text;
  }
  assert.match(fetched.report, /<!DOCTYPE html>/i);
  assert.match(fetched["map.svg"], /<svg/);
  assert.match(fetched["map.png"], /PNG/);
  assert.match(fetched["trace.csv"].split("\n")[0], /,/);
  assert.match(fetched["region.stl"], /facet|./s);
  assert.match(fetched.design, /^# Tarn Hollow/);
  assert.deepEqual(JSON.parse(fetched["answer.json"]).contacts[0].events, (await check("hopper-lid.toml")).contacts[0].events);
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#exports a").first().click()]);
  assert.match(download.suggestedFilename(), /\.html$/);
  assert.deepEqual(page.errors, []);
});
