// Answers as a table for a spreadsheet: every number in full, tabs between.

/** @import { Answer } from "../types/wire.js" */

/** @param {Answer} answer */
export function table(answer) {
  /** @type {(string | number | null)[][]} */
  const rows = [["contact", "event", "pass", "lobe", "nominal", "low", "high", "unit"]];
  for (const contact of answer.contacts) {
    for (const event of contact.events) {
      const { value, low, high, unit } = event.at;
      rows.push([contact.name, event.kind, event.direction, event.lobe, value, low, high, unit]);
    }
  }
  rows.push([], ["contact", "demand", "verdict", "room nominal", "room worst", "unit", "units that meet it", "of"]);
  for (const demand of answer.demands) {
    rows.push([demand.contact, demand.text, demand.verdict.replace("_", " "), demand.margin_nominal, demand.margin_worst,
      demand.unit, demand.share?.met ?? null, demand.share?.of ?? null]);
  }
  rows.push([], ["contact", "in", "", "operate", "low", "high", "release", "low", "high", "unit"]);
  for (const contact of answer.contacts) {
    for (const { arrangement, operate, release } of contact.conversions) {
      rows.push([contact.name, arrangement, "", operate.value, operate.low, operate.high, release.value, release.low, release.high, operate.unit]);
    }
  }
  return rows.map((row) => row.map((cell) => cell ?? "").join("\t")).join("\n");
}

/** @param {string} text @returns {Promise<void>} */
export async function copy(text) {
  if (navigator.clipboard) return navigator.clipboard.writeText(text);
  // Not a secure context, as on another machine of the network: the old way.
  const area = document.createElement("textarea");
  area.value = text;
  document.body.append(area);
  area.select();
  const done = document.execCommand("copy");
  area.remove();
  if (!done) throw new Error("the browser does not let the page copy");
}
