// Makes the pictures of the workbench in the README, by hand after the page has changed its looks:
//
//   node crates/workbench/tests/browser/screenshots.mjs [NAME of one picture]
//
// REEDMACE and CHROMIUM name program and browser as for the tests.

import { cp, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { closeBrowser, designs, settled, Stage, until } from "./stage.mjs";

const docs = new URL("../../../../docs/", import.meta.url);
/** A picture is kept below this, bytes. */
const MOST = 300_000;

/** @type {[string, string, object, ((page: any) => Promise<void>)?][]} name, design, look, what is done first */
const PICTURES = [
  ["workbench", "hopper-lid", {}, async (page) => {
    // The magnet nearly there, in the hand.
    await page.getByRole("slider", { name: "Place along the sweep" }).press("PageDown");
    await page.locator('.group[data-path="magnet[slug]"] summary').click();
  }],
  ["workbench-lobes", "feed-drawer", { colorScheme: "dark" }, async (page) => {
    const head = page.getByRole("slider", { name: "Place along the sweep" });
    for (let k = 0; k < 3; k++) await head.press("PageDown");
    await page.getByRole("button", { name: "Text", exact: true }).click();
  }],
  ["workbench-spread", "feed-drawer", {}, async (page) => {
    await page.getByRole("button", { name: "Spread: what many built units do" }).click();
    await until(async () => /seed/.test(await page.locator(".spread-status").textContent()), "the study done", 600_000);
  }],
  ["workbench-choose", "vent-flap", {}, async (page) => {
    await page.getByRole("button", { name: "Text", exact: true }).click();
    await page.getByRole("button", { name: "Choose: the cheapest" }).click();
    await until(async () => /seed/.test(await page.locator(".choose-status").textContent()), "the search done", 600_000);
    await page.locator(".best button").nth(2).click();
    await until(async () => (await page.locator(".differs").count()) === 1 && !/…/.test(await page.locator("#beside .parts").textContent()), "what differs");
  }],
];

/** The page as WebP, as good as its size allows: through the browser's own encoder. */
async function picture(page) {
  const png = (await page.screenshot()).toString("base64");
  const context = await page.context().browser().newContext();
  const blank = await context.newPage();
  try {
    for (let quality = 0.92; quality > 0.4; quality -= 0.06) {
      const webp = Buffer.from(await blank.evaluate(async ([data, how]) => {
        const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
        const canvas = new OffscreenCanvas(image.width, image.height);
        canvas.getContext("2d").drawImage(image, 0, 0);
        const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: "image/webp", quality: how })).arrayBuffer());
        return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
      }, [png, quality]), "base64");
      if (webp.length <= MOST) return webp;
    }
  } finally {
    await context.close();
  }
  throw new Error("the picture stays too large");
}

const stage = await Stage.open();
for (const file of ["vent-flap.toml", "store.toml"]) await cp(join(designs, "vent-flap", file), join(stage.folder, file));
try {
  for (const [name, design, look, before] of PICTURES) {
    if (process.argv[2] && process.argv[2] !== name) continue;
    const page = await stage.page(`file=${design}.toml`, { deviceScaleFactor: 1.5, ...look });
    await settled(page);
    await before?.(page);
    // The region in space comes after the answer, and what moves comes to rest.
    await until(() => page.evaluate(() => document.querySelector("#space canvas").width > 300), "the picture in space");
    await page.waitForTimeout(4000);
    await page.mouse.move(0, 0);
    const bytes = await picture(page);
    await writeFile(new URL(`${name}.webp`, docs), bytes);
    console.log(`${name}.webp: ${bytes.length} bytes`);
    await page.context().close();
  }
} finally {
  await closeBrowser();
  await stage.close();
}
