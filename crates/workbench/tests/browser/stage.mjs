// What every browser test stands on: a server of its own on a folder of its own, and a page at it.
//
// REEDMACE names the program to test, CHROMIUM the browser; both are found where they usually are.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { cp, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const here = fileURLToPath(new URL(".", import.meta.url));
const root = join(here, "../../../..");
/** Packages of the page's own development tools. */
export const packages = createRequire(join(here, "../../page/package.json"));
const { chromium } = packages("playwright-core");

export const reedmace = process.env.REEDMACE ?? join(root, "target/debug/reedmace");
export const designs = join(root, "designs");
export const TOKEN = "0123456789abcdef0123456789abcdef";

/** What is said when the browser is missing must not be overlooked: the test fails. */
function browserPath() {
  const found = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"]
    .find((path) => path && existsSync(path));
  if (!found) throw new Error("no browser: install Debian's chromium, or name one in CHROMIUM");
  return found;
}

let browser;
export async function theBrowser() {
  browser ??= await chromium.launch({
    executablePath: browserPath(),
    args: [
      "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
      "--disable-background-networking", "--disable-component-update", "--disable-sync",
      // More flags, for whoever measures.
      ...(process.env.CHROMIUM_FLAGS ?? "").split(" ").filter(Boolean),
    ],
  });
  return browser;
}

export async function closeBrowser() {
  await browser?.close();
  browser = undefined;
}

/** A folder with copies of the worked examples, and a server on it. */
export class Stage {
  static async open() {
    const stage = new Stage();
    stage.folder = await mkdtemp(join(tmpdir(), "reedmace-browser-"));
    for (const name of await readdir(designs)) {
      if (name.endsWith(".toml")) await cp(join(designs, name), join(stage.folder, name));
    }
    await stage.start();
    return stage;
  }

  /** Starts the server; on the port it had before, if it had one. */
  async start() {
    this.server = spawn(reedmace, ["serve", this.folder, "--port", String(this.port ?? 0), "--token", TOKEN], {
      stdio: ["ignore", "pipe", "inherit"],
      env: { ...process.env, XDG_STATE_HOME: join(this.folder, ".state"), XDG_DATA_HOME: join(this.folder, ".data") },
    });
    for await (const line of createInterface({ input: this.server.stdout })) {
      const said = /http:\/\/[\d.]+:(\d+)\/\S*/.exec(line);
      if (!said) continue;
      this.address = said[0];
      this.port = Number(said[1]);
      return;
    }
    throw new Error(`${reedmace} serve ended before it said where it is`);
  }

  /** Ends the server as a crash or `kill -9` does. */
  async kill() {
    this.server.kill("SIGKILL");
    await once(this.server, "exit");
  }

  /**
   * A page at an address of the server, with all its errors kept; `close` fails if there were any.
   * @param {string} [hash]  `file=hopper-lid.toml`
   * @param {object} [options]  of the browser's context
   * @param {(page: any) => unknown} [before]  called before anything is fetched
   */
  async page(hash = "", options = {}, before = () => {}) {
    const context = await (await theBrowser()).newContext({ viewport: { width: 1440, height: 900 }, ...options });
    (this.contexts ??= []).push(context);
    const page = await context.newPage();
    page.errors = [];
    page.on("pageerror", (error) => page.errors.push(String(error.stack ?? error)));
    // A loaded machine is slow to draw in space without a graphics card.
    page.setDefaultTimeout(120_000);
    page.on("console", (message) => message.type() === "error" && page.errors.push(`${message.text()} ${message.location().url}`));
    await before(page);
    await page.goto(this.address + (hash ? `#${hash}` : ""));
    return page;
  }

  async close() {
    for (const context of this.contexts ?? []) await context.close();
    if (this.server.exitCode === null && this.server.signalCode === null) await this.kill();
    await rm(this.folder, { recursive: true, force: true });
  }
}

/** Waits until the full answer to the newest text is shown. */
export async function settled(page) {
  await page.waitForSelector("#answers [data-event], #answers .teach");
  await page.waitForSelector("#answers:not(.late):not(.stale)", { timeout: 120_000 });
}

/** The design's text as the editor has it. */
export function textOf(page) {
  return page.evaluate(async () => {
    const { EditorView } = await import("@codemirror/view");
    return EditorView.findFromDOM(document.querySelector(".cm-editor")).state.doc.toString();
  });
}

/** Types over the first place where `old` stands in the editor, as a user would. */
export async function typeOver(page, old, text) {
  await page.evaluate(async (wanted) => {
    const { EditorView } = await import("@codemirror/view");
    const view = EditorView.findFromDOM(document.querySelector(".cm-editor"));
    const from = view.state.doc.toString().indexOf(wanted);
    if (from < 0) throw new Error(`the text has no ${wanted}`);
    view.dispatch({ selection: { anchor: from, head: from + wanted.length }, scrollIntoView: true });
    view.focus();
  }, old);
  await page.keyboard.insertText(text);
}

/** The field of a key: `field(page, "magnet[slug]", "size", 1)`. */
export function field(page, table, key, axis = 0) {
  const row = page.locator(`.group[data-path="${table}"]`).getByRole("group", { name: key, exact: true });
  return row.locator("input, select").nth(axis);
}

/** Waits until `probe` gives true; says what it gave last if it never does. */
export async function until(probe, what, timeout = 120_000) {
  const end = Date.now() + timeout;
  for (;;) {
    const found = await probe();
    if (found) return found;
    if (Date.now() > end) throw new Error(`never came: ${what}`);
    await new Promise((done) => setTimeout(done, 50));
  }
}

/** Events shown for a contact: name -> nominal as printed in full. */
export function eventsOf(page, contact) {
  return page.evaluate((name) => Object.fromEntries(
    [...document.querySelectorAll(`[data-contact="${name}"] [data-event]`)].map((row) => [
      row.dataset.event, [".nominal", ".low", ".high"].map((cell) => row.querySelector(cell).dataset.value ?? null),
    ]),
  ), contact);
}

/** What axe-core finds that is serious or worse: one line each. */
export async function violations(page) {
  const axe = await readFile(packages.resolve("axe-core/axe.min.js"), "utf8");
  // Through the debugger, which the page's policy does not bind.
  const found = await page.evaluate(`(() => { ${axe}; return axe.run(document, { resultTypes: ["violations"] }); })()`);
  return found.violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ id, nodes }) => `${id}: ${nodes.map(({ target, failureSummary }) => `${target} ${failureSummary}`).join("; ")}`);
}
