// What the bench draws from, without a browser: borders of a map, places along a sweep, states of contacts,
// labels that make room for each other.

import assert from "node:assert/strict";
import { test } from "node:test";
import { after, hull, tilt, transposed, View } from "../../page/bench/geometry.js";
import { spread, tickText, ticks } from "../../page/bench/labels.js";
import { carried, contactState, station } from "../../page/bench/playhead.js";
import { drawMotors } from "../../page/bench/motors.js";
import { Lobes, read, Regions } from "../../page/bench/regions.js";
import { columns } from "../../page/choose/points.js";

/** A map of a drive given in the plane, places 1 mm apart. */
function mapOf(drive, half = 20, room = () => 10) {
  const n = 2 * half + 1;
  const grid = (of) => Float32Array.from({ length: n * n }, (_, k) => of((k % n) - half, Math.floor(k / n) - half));
  const header = { plane: "xz", offset: 0, across: [-half, half, n], up: [-half, half, n], operate: [0.9, 1, 1.1], release: [0.4, 0.5, 0.6] };
  return { header, driveOpen: grid(drive), driveClosed: grid(drive), room: grid(room) };
}

/** Takes down what is drawn. */
class Notes {
  shapes = [];
  ink = {
    beginPath: () => (this.path = []),
    moveTo: (x, y) => this.path.push([[x, y]]),
    lineTo: (x, y) => this.path.at(-1).push([x, y]),
    closePath: () => this.path.at(-1).push(this.path.at(-1)[0]),
  };
  fillPath(how) { this.shapes.push({ fill: how, path: this.path }); }
  strokePath(how) { this.shapes.push({ stroke: how, path: this.path }); }
}

/** Area within closed loops, odd overlaps only; loops here do not overlap. */
const area = (path) => Math.abs(path.reduce((sum, loop) => sum + loop.reduce((s, [x, y], i) => {
  const [u, v] = loop[(i + 1) % loop.length];
  return s + (x * v - u * y) / 2;
}, 0), 0));

function drawn(map) {
  const [regions, notes, view] = [new Regions(), new Notes(), new View("xz")];
  view.scale = 1;
  regions.take(map);
  regions.draw(notes, view);
  return notes.shapes;
}

test("the closing region of a cone is a disc, its border closed", () => {
  const shapes = drawn(mapOf((x, y) => Math.max(0, 11 - Math.hypot(x, y))));
  const closes = shapes.find(({ fill }) => fill === "hatch").path;
  assert.equal(closes.length, 1);
  assert.ok(Math.abs(area(closes) / (Math.PI * 100) - 1) < 0.01, `${area(closes)} mm2`);
  for (const { stroke, path } of shapes) if (stroke === "met") for (const line of path) {
    assert.ok(Math.hypot(line[0][0] - line.at(-1)[0], line[0][1] - line.at(-1)[1]) < 1e-3);
  }
});

test("a region that reaches the rim is filled to it and not stroked along it", () => {
  const shapes = drawn(mapOf((x, y) => 2 + (y + 0.3) / 10, 20));
  const closes = shapes.find(({ fill }) => fill === "hatch").path;
  // Above y = -10.3, to the rims at -20, 20 and 20.
  assert.ok(Math.abs(area(closes) - 40 * 30.3) < 0.1, `${area(closes)} mm2`);
  const strokes = shapes.filter(({ stroke }) => stroke === "met").flatMap(({ path }) => path).filter((line) => line.length > 1);
  for (const line of strokes) for (const [, y] of line) assert.ok(Math.abs(y) < 19.9, "no line along a rim");
});

test("lobes of either sign close the contact and stay apart", () => {
  const map = mapOf((x) => 3 * Math.sin(x / 4));
  const closes = drawn(map).find(({ fill }) => fill === "hatch").path;
  assert.equal(closes.length, 4);
  const lobes = new Lobes();
  const tall = mapOf((x, y) => (Math.abs(x) < 6 ? 5 : -2) * Math.exp(-(y * y) / 50));
  assert.equal(lobes.name(tall, [0, 3]), "main lobe");
  assert.equal(lobes.name(tall, [-12, 0]), "left lobe");
  assert.equal(lobes.name(tall, [12, 0]), "right lobe");
});

test("a map is read between its places, and nowhere else", () => {
  const map = mapOf((x, y) => 1 + x / 10 + y / 40, 20, (x) => x + 15.5);
  const found = read(map, [2.5, 0.25]);
  assert.ok(Math.abs(found.open - 1.25625) < 1e-6);
  assert.equal(found.region, "closes");
  assert.equal(read(map, [-3, 0]).region, "holds");
  assert.equal(read(map, [-8, 0]).region, "open");
  assert.equal(read(map, [-18, 0]).region, "touches");
  assert.equal(read(map, [20.5, 0]), null);
});

test("what moves is carried along the path as one piece", () => {
  const quarter = [[0, -1, 0], [1, 0, 0], [0, 0, 1]];
  const drawing = { path: [{ coordinate: 0, at: [10, 0, 0] }, { coordinate: 90, at: [0, 10, 0], turned: quarter }] };
  const pose = { at: [10, 2, 1], rows: [[1, 0, 0], [0, 1, 0], [0, 0, 1]] };
  const end = carried(pose, drawing.path[0].at, station(drawing, 90));
  assert.deepEqual(end.at, [-2, 10, 1]);
  assert.deepEqual(end.rows, quarter);
  const middle = station(drawing, 45);
  const length = Math.hypot(...middle.turned[0]);
  assert.ok(Math.abs(length - 1) < 1e-12);
  assert.ok(Math.abs(middle.turned[1][0] - Math.SQRT1_2) < 1e-12);
});

test("turning there and back leaves a body as it was", () => {
  const there = tilt([10, -20, 30]);
  const back = after(transposed(there), there);
  for (let i = 0; i < 3; i += 1) for (let j = 0; j < 3; j += 1) assert.ok(Math.abs(back[i][j] - (i === j ? 1 : 0)) < 1e-12);
});

test("a contact's state follows its events over both passes", () => {
  const contact = {
    closedAtStart: false,
    happenings: [
      { kind: "operate", pass: "forward", at: 25 }, { kind: "release", pass: "back", at: 34 },
    ],
  };
  const state = (at, pass) => contactState(contact, at, pass, [80, 5]).closed;
  assert.equal(state(80, "forward"), false);
  assert.equal(state(25.1, "forward"), false);
  assert.equal(state(25, "forward"), true);
  assert.equal(state(30, "back"), true);
  assert.equal(state(34, "back"), false);
  assert.equal(contactState({ ...contact, closedAtStart: true, happenings: [] }, 50, "back", [80, 5]).closed, true);
});

test("labels make room for each other and keep their order", () => {
  const placed = spread([10, 12, 11, 80, 99], [20, 20, 20, 20, 20], 0, 110);
  const sorted = [...placed].sort((a, b) => a - b);
  for (let k = 1; k < 5; k += 1) assert.ok(sorted[k] - sorted[k - 1] >= 20 - 1e-9);
  assert.ok(placed[0] < placed[2] && placed[2] < placed[1]);
  assert.ok(sorted[0] >= 10 - 1e-9 && sorted[4] <= 100 + 1e-9);
  assert.deepEqual(ticks(0, 30, 6).at, [0, 5, 10, 15, 20, 25, 30]);
  assert.equal(tickText(-0.2, 0.1), "−0.2");
});

test("a hull holds its points and nothing less", () => {
  const square = hull([[0, 0], [1, 1], [2, 0], [2, 2], [0, 2], [1, 0.5]]);
  assert.equal(square.length, 4);
});

test("a motor is drawn where it stands beside the contact, pointed at beyond the sheet, named where it stands behind", () => {
  const told = (at) => {
    const [words, circles, heads] = [[], [], []];
    const pen = {
      width: 400, height: 300, measure: (text) => 7 * text.length, free: () => true,
      text: (text, place) => words.push([text, place]), circle: (place) => circles.push(place), arrowhead: (tip, way) => heads.push([tip, way]),
      endOn() {}, line() {}, polyline() {},
    };
    const view = new View("xz");
    [view.scale, view.x0, view.y0] = [1, 200, 150];
    const rows = [[0, 0, 1], [1, 0, 0], [0, 1, 0]];
    drawMotors(pen, view, { motors: [{ name: "winch", pose: { at, rows } }], contacts: [{ pose: { at: [0, 0, 0], rows } }] });
    return { words: words.map(([text]) => text), circles, heads };
  };
  const near = told([50, 10, 40]);
  assert.deepEqual([near.words, near.circles[0]], [["winch"], [250, 110]]);
  const far = told([0, 0, -600]);
  assert.deepEqual(far.words, ["winch, 600 mm off"]);
  assert.deepEqual([far.circles.length, far.heads[0][1]], [0, [0, 1]]);
  assert.ok(far.heads[0][0][1] < 300, "within the sheet");
  assert.deepEqual(told([10, 600, 0]).words, ["winch 600 mm behind"]);
  assert.deepEqual(told([10, -600, 0]).words, ["winch 600 mm in front"]);
});

test("what all values of a column end in stands in its head, but no part of a wire's name", () => {
  const of = (...texts) => columns({ free: [{ path: "coil[bobbin].wire" }], candidates: texts.map((text) => ({ values: [{ text }] })) })[0];
  assert.deepEqual([of("8 mm", "9.5 mm").tail, of("8 mm", "9.5 mm").texts], ["mm", ["8", "9.5"]]);
  assert.deepEqual([of("1.2 T ± 5 %", "1.3 T ± 5 %").tail, of("1.2 T ± 5 %", "-1.3 T ± 5 %").texts], ["± 5 %", ["1.2 T", "−1.3 T"]]);
  assert.deepEqual([of("0.071 mm grade 1", "0.08 mm grade 1").tail, of("0.071 mm grade 1").texts], ["", ["0.071 mm grade 1"]]);
});
