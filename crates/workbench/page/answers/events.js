// Operate and release along the sweep: nominal as fast as the pointer, low and high when they are worked out.

import { el, sign } from "../dom.js";
import { number, range, unitLabel, withUnit } from "../number.js";

/**
 * @import { ContactAnswer, ContactGlance, Event } from "../types/wire.js"
 * @import { Store } from "../store.js"
 */

/** More contacts than these are told in one table. */
export const FEW = 4;

/**
 * @typedef {object} Line
 * @property {"operate" | "release"} kind
 * @property {"forward" | "back"} pass
 * @property {number} lobe
 * @property {boolean} main
 * @property {number | null} value
 * @property {Event | null} event  of the full answer, if it has the same
 */

/** Names an event within a contact. @param {{kind: string, lobe: number}} event @param {string} pass */
const id = (event, pass) => `${event.kind} ${pass} ${event.lobe}`;

/**
 * Events of a contact: those of the glance where it is newer than the answer, each with the answer's own
 * band if the answer knows the event.
 * @param {ContactAnswer | undefined} answer
 * @param {ContactGlance | undefined} glance
 * @returns {Line[]}
 */
function lines(answer, glance) {
  const known = new Map((answer?.events ?? []).map((event) => [id(event, event.direction), event]));
  if (glance) {
    return glance.events.map((event) => ({
      kind: event.kind, pass: event.pass, lobe: event.lobe, main: event.main_lobe, value: event.at,
      event: known.get(id(event, event.pass)) ?? null,
    }));
  }
  return (answer?.events ?? []).map((event) => ({
    kind: event.kind, pass: event.direction, lobe: event.lobe, main: event.main_lobe, value: event.at.value, event,
  }));
}

/** @param {Line} line @param {string} unit @param {boolean} several @param {boolean} fresh */
function row(line, unit, several, fresh) {
  const band = line.event?.at;
  const remarks = [
    line.event && !line.event.in_every_unit && "some units only",
    line.event && !line.event.monotone && "bends within the band",
  ].filter(Boolean).join(", ");
  const value = (/** @type {number | null | undefined} */ v, /** @type {string} */ extra) =>
    el(`td.number.${extra}`, { "data-value": v === null || v === undefined ? null : String(v) }, number(v, unit));
  return el(
    `tr.${line.pass}`, { "data-event": id(line, line.pass) },
    el("th.kind", { scope: "row" }, sign(line.kind), ` ${line.kind}`, remarks !== "" && el("span.remark", {}, remarks)),
    several && el(line.main ? "td.lobe.main" : "td.lobe", {}, `${line.lobe} ${line.main ? "main" : "side"}`),
    value(line.value, "nominal"),
    value(band?.low, fresh ? "low" : "low.late"),
    value(band?.high, fresh ? "high" : "high.late"),
  );
}

/**
 * The events of one pass under its head.
 * @param {"forward" | "back"} pass
 * @param {Line[]} found
 * @param {(line: Line) => HTMLElement} show
 */
function passRows(pass, found, show) {
  const mine = found.filter((line) => line.pass === pass);
  if (mine.length === 0) return null;
  return el("tbody", {}, el("tr.pass", {}, el("th", { scope: "rowgroup", colspan: 5 }, pass)), ...mine.map(show));
}

/**
 * What to say where a contact has no event.
 * @param {boolean} closed
 * @param {Store} store
 */
function never(closed, store) {
  return el(
    "div.teach", {},
    el("strong", {}, closed ? "Never opens" : "Never closes"),
    closed
      ? "The contact stays closed all along the sweep. Take the magnet further away at the start, or take a less sensitive contact."
      : "The drive never reaches operate along this sweep. Let it come closer, take a stronger magnet, or a more sensitive contact.",
    el("button.act", { type: "button", onclick: () => store.select("sweep") }, "Show the sweep"),
  );
}

/**
 * Many contacts: a row each, with operate on the way there and release on the way back, of the main lobe if it has them.
 * @param {{name: string, found: Line[]}[]} all
 * @param {string} unit
 * @param {boolean} fresh
 */
function crowd(all, unit, fresh) {
  const cells = (/** @type {Line | undefined} */ line) => {
    const band = line?.event?.at;
    const value = (/** @type {number | null | undefined} */ v) => ({ "data-value": v === null || v === undefined ? null : String(v) });
    return el("td.number", { "data-event": line ? id(line, line.pass) : null },
      el("div.nominal", value(line?.value), line ? number(line.value, unit) : "–"),
      el(fresh ? "div.limits" : "div.limits.late", {}, el("span.low", value(band?.low), band ? number(band.low, unit) : ""), band ? " .. " : null, el("span.high", value(band?.high), band ? number(band.high, unit) : "")));
  };
  const one = (/** @type {{name: string, found: Line[]}} */ { name, found }) => {
    const first = (/** @type {"operate" | "release"} */ kind) => {
      const of = found.filter((line) => line.kind === kind);
      const usual = of.filter(({ pass }) => pass === (kind === "operate" ? "forward" : "back"));
      return usual.find(({ main }) => main) ?? usual[0] ?? of[0];
    };
    return el("tr", { "data-contact": name }, el("th", { scope: "row" }, name), cells(first("operate")), cells(first("release")));
  };
  return el("section.part", {}, el("h3", {}, `${all.length} contacts`), el(
    "table.events.crowd", {},
    el("caption.only-heard", {}, "Events of all contacts along the sweep"),
    el("thead", {}, el("tr", {},
      el("th", { scope: "col" }, "contact"),
      ...(/** @type {const} */ (["operate", "release"])).map((kind) => el("th.number", { scope: "col" }, sign(kind), ` ${kind} ${unitLabel(unit)}`)))),
    el("tbody", {}, ...all.map(one)),
  ));
}

/**
 * @param {Store} store
 * @returns {HTMLElement[]} one part per contact, or one for many
 */
export function events(store) {
  const { answer: full, live, rev } = store.state;
  const answer = full?.answer;
  // The answer is exact for its text; a glance of the same text says no more.
  const glance = live && (live.seq !== null || !full || live.rev > full.rev) ? live.glance : null;
  const fresh = full !== null && full.rev === rev && glance === null;
  const names = glance ? glance.contacts.map(({ name }) => name) : (answer?.contacts ?? []).map(({ name }) => name);
  const unit = glance?.unit ?? answer?.sweep.unit ?? "";
  if (names.length > FEW) {
    const all = names.map((name) => ({
      name,
      found: lines(answer?.contacts.find((contact) => contact.name === name), glance?.contacts.find((contact) => contact.name === name)),
    }));
    return [crowd(all, unit, fresh)];
  }
  return names.map((name) => {
    const mine = answer?.contacts.find((contact) => contact.name === name);
    const now = glance?.contacts.find((contact) => contact.name === name);
    const found = lines(mine, now);
    const several = new Set(found.map(({ lobe }) => lobe)).size > 1;
    const closed = now?.closed_at_start ?? mine?.closed_at_start ?? false;
    const part = el("section.part", { "data-contact": name }, el(
      "div.contact-head", {}, el("h3", {}, name), mine?.family ? el("span.faded", {}, `family ${mine.family}`) : null,
    ));
    if (found.length === 0) {
      part.append(never(closed, store));
      return part;
    }
    const show = (/** @type {Line} */ line) => row(line, unit, several, fresh);
    part.append(el(
      "table.events", {},
      el("caption.only-heard", {}, `Events of ${name} along the sweep`),
      el("thead", {}, el("tr", {},
        el("th", { scope: "col" }, "event"), several && el("th", { scope: "col" }, "lobe"),
        el("th.number", { scope: "col" }, `nominal ${unitLabel(unit)}`), el("th.number", { scope: "col" }, "low"), el("th.number", { scope: "col" }, "high"))),
      passRows("forward", found, show), passRows("back", found, show),
    ));
    const facts = [];
    if (closed) facts.push("Already closed where the sweep starts.");
    if (mine && fresh) {
      facts.push(`Operates at ${withUnit(mine.operate_mT.value, "mT")} (${range(mine.operate_mT)}), releases at ${withUnit(mine.release_mT.value, "mT")} (${range(mine.release_mT)}).`);
    }
    if (facts.length > 0) part.append(el("p.small.faded", {}, facts.join(" ")));
    return part;
  });
}
