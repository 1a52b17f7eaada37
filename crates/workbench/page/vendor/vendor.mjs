// Copies the page's libraries out of node_modules: each file minified, none bundled, its imports kept
// as they are for the import map; then writes README.md with the version and licence of each, and
// licences.txt with their full text.
//
// Run by `npm run vendor` after `npm ci`.

import { transform } from "esbuild";
import { readdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const modules = join(here, "..", "node_modules");

/** Package, file inside it, name here. */
const FILES = [
  ["@codemirror/autocomplete", "dist/index.js", "codemirror-autocomplete.js"],
  ["@codemirror/commands", "dist/index.js", "codemirror-commands.js"],
  ["@codemirror/language", "dist/index.js", "codemirror-language.js"],
  ["@codemirror/lint", "dist/index.js", "codemirror-lint.js"],
  ["@codemirror/search", "dist/index.js", "codemirror-search.js"],
  ["@codemirror/state", "dist/index.js", "codemirror-state.js"],
  ["@codemirror/streamparser", "dist/index.js", "codemirror-streamparser.js"],
  ["@codemirror/view", "dist/index.js", "codemirror-view.js"],
  ["@lezer/common", "dist/index.js", "lezer-common.js"],
  ["@lezer/highlight", "dist/index.js", "lezer-highlight.js"],
  ["@marijn/find-cluster-break", "src/index.js", "find-cluster-break.js"],
  ["crelt", "index.js", "crelt.js"],
  ["style-mod", "src/style-mod.js", "style-mod.js"],
  ["three", "build/three.core.js", "three.core.js"],
  ["three", "build/three.module.js", "three.module.js"],
  ["three", "examples/jsm/controls/OrbitControls.js", "OrbitControls.js"],
  ["w3c-keyname", "index.js", "w3c-keyname.js"],
];

/** @param {string} pkg */
async function licence(pkg) {
  const name = (await readdir(join(modules, pkg))).find((file) => /^licen[cs]e/i.test(file));
  if (!name) throw new Error(`${pkg} ships no licence text`);
  return (await readFile(join(modules, pkg, name), "utf8")).trim();
}

const rows = [];
/** @type {Map<string, string[]>} licence text -> packages under it */
const licences = new Map();
for (const [pkg, file, name] of FILES) {
  const about = JSON.parse(await readFile(join(modules, pkg, "package.json"), "utf8"));
  const source = await readFile(join(modules, pkg, file), "utf8");
  const { code } = await transform(source, { minify: true, format: "esm", target: "es2022", legalComments: "none" });
  const text = `/* ${pkg} ${about.version}, ${about.license} licence, see licences.txt */\n${code}`;
  await writeFile(join(here, name), text);
  rows.push([`\`${name}\``, `${pkg} ${about.version}`, `\`${file}\``, about.license, Math.ceil(text.length / 1000)]);
  const terms = await licence(pkg);
  const under = licences.get(terms) ?? [];
  if (!under.includes(pkg)) licences.set(terms, [...under, pkg]);
}

await writeFile(
  join(here, "licences.txt"),
  [...licences].map(([terms, pkgs]) => `${pkgs.join(", ")}\n\n${terms}\n`).join(`\n${"-".repeat(72)}\n\n`),
);
await writeFile(
  join(here, "README.md"),
  `# Libraries of the page

From npm, minified file by file and otherwise unchanged; \`index.html\` maps their names to these files.
\`npm ci && npm run vendor\` in the folder above makes them and this table anew. The full terms are in
[licences.txt](licences.txt).

| file | package | its file there | licence | kB |
|---|---|---|---|---|
${rows.map((row) => `| ${row.join(" | ")} |`).join("\n")}
`,
);
