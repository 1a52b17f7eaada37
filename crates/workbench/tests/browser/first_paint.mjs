// How soon the page is there: first paint and first answer, five times each, in a browser that has nothing kept.
//
//   node first_paint.mjs [hopper-lid.toml]

import { Stage, closeBrowser, settled } from "./stage.mjs";

const [design = "hopper-lid.toml"] = process.argv.slice(2);
const stage = await Stage.open();
try {
  for (let k = 0; k < 5; k += 1) {
    const page = await stage.page(`file=${design}`);
    const plan = page.waitForSelector("#plan canvas").then(() => page.evaluate(() => performance.now()));
    await settled(page);
    const answered = await page.evaluate(() => performance.now());
    const paints = await page.evaluate(() => performance.getEntriesByType("paint").map(({ name, startTime }) => `${name} ${startTime.toFixed(0)} ms`));
    const weight = await page.evaluate(() => performance.getEntriesByType("resource").concat(performance.getEntriesByType("navigation")).reduce((sum, { transferSize }) => sum + transferSize, 0));
    console.log(`${paints.join(", ")}; plan ${(await plan).toFixed(0)} ms; answer ${answered.toFixed(0)} ms; ${(weight / 1e6).toFixed(2)} MB over the line`);
    await page.context().close();
    stage.contexts.length = 0;
  }
} finally {
  await closeBrowser();
  await stage.close();
}
