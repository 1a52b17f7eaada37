// Says what ran in the words of `cargo test`.

import { basename } from "node:path";

export default async function* report(events) {
  const tally = { passed: 0, failed: 0, ignored: 0 };
  for await (const { type, data } of events) {
    if (type === "test:stdout" || type === "test:stderr") yield data.message;
    if (type !== "test:pass" && type !== "test:fail") continue;
    const file = basename(data.file ?? "").replace(".test.mjs", "");
    // A file is itself a test that holds the others; it counts only where it could not run.
    if (data.name.endsWith(".mjs") && (type === "test:pass" || data.details?.error?.failureType === "subtestsFailed")) continue;
    const name = `browser::${file}::${data.name.replace(/[^\w-]+/g, "_")}`;
    const ignored = data.skip !== undefined || data.todo !== undefined;
    const verdict = ignored ? "ignored" : type === "test:pass" ? "passed" : "failed";
    tally[verdict] += 1;
    yield `test ${name} ... ${{ passed: "ok", failed: "FAILED", ignored: "ignored" }[verdict]}\n`;
    // At once: whoever ends a long run is to know why it went wrong.
    if (verdict === "failed") yield `${data.details.error.cause?.stack ?? data.details.error.stack ?? data.details.error}\n\n`;
  }
  const word = tally.failed === 0 && tally.passed > 0 ? "ok" : "FAILED";
  yield `\ntest result: ${word}. ${tally.passed} passed; ${tally.failed} failed; ${tally.ignored} ignored\n`;
}
