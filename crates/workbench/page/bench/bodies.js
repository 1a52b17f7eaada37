// Contacts, magnets, coils and steel as a drawing office draws them.

/** @import { Conductor, Contact, Magnet, Coil, Steel, Solid, Pose, Triple } from "../types/wire.js" */
/** @import { Point, View } from "./geometry.js" */
/** @import { Pen } from "./draw.js" */

import { BOLD, GHOST, HAIR, HIDDEN, LINE, THIN } from "./draw.js";
import { Extent, add, along, bodyAxis, dot, hull, length, normal, placed, ring, scaled, sub, turned, unit } from "./geometry.js";

/** The narrowest gap that still reads as one, and the thinnest blade that still reads as a solid, px. */
const LEAST_GAP = 3;
const LEAST_BLADE = 2;
/** Triangles up to which a mesh is drawn by its own outline; beyond, by its convex one. */
const MOST_TRIANGLES = 1500;

/**
 * A contact: glass as a thin double line with rounded ends, blades and leads as solid ink.
 * @param {Pen} pen @param {View} view @param {Contact} contact
 * @param {number} closed  how far its blades have closed, 0 to 1
 */
export function drawContact(pen, view, contact, closed) {
  const { pose } = contact;
  const centre = view.project(pose.at);
  const axis = view.direction(bodyAxis(pose, 0));
  const { scale } = view;
  if (length(axis) < 0.05) {
    drawContactOnEnd(pen, view, contact, centre);
    return;
  }
  const forward = unit(axis);
  const side = normal(forward);
  if (contact.glass) {
    const radius = (contact.glass[1] / 2) * scale;
    const half = Math.max(0, (contact.glass[0] / 2) * scale * length(axis) - radius);
    pen.shape(capsule(centre, forward, half, radius), "paper", 0.82);
    pen.outline(capsule(centre, forward, half, radius), "ink", THIN);
    const wall = Math.min(5, Math.max(1.6, radius * 0.16));
    if (radius > 2 * wall) pen.outline(capsule(centre, forward, half, radius - wall), "ink", HAIR);
  }
  // The blade is a flat bar: seen along its width it is as thick as it is, on the flat as wide as it is,
  // obliquely something between.
  const across = (/** @type {Triple} */ v) => {
    const d = view.direction(v);
    return d[0] * side[0] + d[1] * side[1];
  };
  const alongNormal = across(bodyAxis(pose, 2));
  const alongWidth = across(bodyAxis(pose, 1));
  const blade = Math.max(
    LEAST_BLADE,
    (contact.blade_thickness * Math.abs(alongNormal) + contact.blade_width * Math.abs(alongWidth)) * scale,
  );
  const edgeOn = Math.abs(alongNormal) > 0.5;
  const open = Math.max(LEAST_GAP, contact.gap * Math.abs(alongNormal) * scale);
  const sign = alongNormal < 0 ? -1 : 1;
  /** @type {(gap: number) => number} */
  const offset = edgeOn
    ? (gap) => (sign * (blade + gap)) / 2
    : () => ((contact.blade_thickness + contact.gap) / 2) * alongNormal * scale;
  const [root, tip] = [offset(open), offset(open * (1 - closed))];
  const foreshortened = scale * length(axis);
  const lead = Math.max(LEAST_BLADE, contact.lead_diameter * scale) / 2;
  const span = (contact.blade_span / 2) * foreshortened;
  const end = (contact.overall_length / 2) * foreshortened;
  const lap = (contact.overlap / 2) * foreshortened;
  const at = (/** @type {number} */ x, /** @type {number} */ y) => along(along(centre, forward, x), side, y);
  for (const s of [-1, 1]) {
    const neck = s * (span - (span - lap) * 0.12);
    // A blade bends from its root; past the middle of the overlap it is drawn level with its tip.
    pen.shape([
      at(s * end, lead), at(s * span, lead), at(neck, s * root + blade / 2), at(-s * lap, s * tip + blade / 2),
      at(-s * lap, s * tip - blade / 2), at(neck, s * root - blade / 2), at(s * span, -lead), at(s * end, -lead),
    ], "ink");
  }
  if (edgeOn && closed === 1) {
    // Blades that touch would be one black bar: the joint stays to be seen.
    pen.line(at(-lap, 0), at(lap, 0), "paper", Math.min(HAIR, blade / 4));
  }
  if (!edgeOn) {
    // Seen on the flat the blades cover each other; fine lines mark the overlap.
    for (const x of [-lap, lap]) pen.line(at(x, -blade / 2), at(x, blade / 2), "paper", THIN);
  }
}

/** @param {Pen} pen @param {View} view @param {Contact} contact @param {Point} centre */
function drawContactOnEnd(pen, view, contact, centre) {
  const { scale } = view;
  if (contact.glass) {
    const radius = (contact.glass[1] / 2) * scale;
    pen.circle(centre, radius, { fill: "paper", stroke: "ink", width: THIN });
    pen.circle(centre, Math.max(0.5, radius - Math.min(5, Math.max(1.6, radius * 0.16))), { stroke: "ink", width: HAIR });
  }
  // Both blades, one behind the other: they tell which way the gap lies.
  const width = view.direction(scaled3(bodyAxis(contact.pose, 1), (contact.blade_width / 2) * scale));
  const thick = view.direction(bodyAxis(contact.pose, 2));
  const lift = Math.max(LEAST_GAP + LEAST_BLADE, (contact.blade_thickness + contact.gap) * scale) / 2;
  const line = Math.max(LEAST_BLADE, contact.blade_thickness * scale);
  for (const s of [-1, 1]) {
    const middle = along(centre, thick, s * lift);
    pen.line(sub(middle, width), add(middle, width), "ink", line);
  }
}

/** @param {Triple} v @param {number} by @returns {Triple} */
const scaled3 = (v, by) => [v[0] * by, v[1] * by, v[2] * by];

/**
 * A straight conductor: on end as a circle with the dot or the cross of a positive current, else as a line with
 * an arrow along it, to its ends or across the sheet.
 * @param {Pen} pen @param {View} view @param {Conductor} conductor
 */
export function drawConductor(pen, view, { pose, diameter, length: long }) {
  const middle = view.project(pose.at);
  const way = bodyAxis(pose, 2);
  const shown = view.direction(way);
  const seen = length(shown);
  if (seen < 0.3) {
    pen.endOn(middle, Math.max(4, (diameter / 2) * view.scale), dot(way, view.toward) > 0);
    return;
  }
  const half = Math.min(long === null ? Infinity : (long / 2) * view.scale * seen, pen.width + pen.height);
  const out = scaled(unit(shown), half);
  const side = scaled(normal(unit(shown)), Math.max(1.5, (diameter / 2) * view.scale));
  const [a, b] = [sub(middle, out), add(middle, out)];
  pen.shape([add(a, side), add(b, side), sub(b, side), sub(a, side)], "paper", 0.82);
  for (const edge of [side, scaled(side, -1)]) pen.line(add(a, edge), add(b, edge), "ink", THIN);
  pen.arrowhead(along(middle, unit(shown), 7), shown, 14);
}

/** What one grips a contact by. @param {View} view @param {Contact} contact @returns {Point[]} */
export function contactOutline(view, contact) {
  const centre = view.project(contact.pose.at);
  const axis = view.direction(bodyAxis(contact.pose, 0));
  const reach = ((contact.glass?.[1] ?? contact.blade_width) / 2) * view.scale;
  const half = (contact.overall_length / 2) * view.scale * length(axis);
  return capsule(centre, unit(axis), Math.max(0, half - reach), reach);
}

/** A bar with round ends: `half` from the middle to the middle of each round. @param {Point} centre @param {Point} forward @param {number} half @param {number} radius @returns {Point[]} */
function capsule(centre, forward, half, radius) {
  const side = normal(forward);
  /** @type {Point[]} */
  const points = [];
  for (const [end, start] of [[half, -90], [-half, 90]]) {
    for (let step = 0; step <= 16; step += 1) {
      const angle = ((start + step * 11.25) * Math.PI) / 180;
      const around = add(scaled(forward, Math.cos(angle)), scaled(side, Math.sin(angle)));
      points.push(along(along(centre, forward, end), around, radius));
    }
  }
  return points;
}

/** Outline of a solid. @param {View} view @param {Solid} solid @param {Pose} pose @returns {Point[]} */
function silhouette(view, solid, pose) {
  const seen = (/** @type {Triple[]} */ points) => points.map((p) => view.project(p));
  switch (solid.kind) {
    case "box":
      return hull(seen(corners(solid.centre, solid.size).map((p) => placed(pose, p))));
    case "round": {
      const [half, radius] = [solid.length / 2, solid.outer_diameter / 2];
      return hull(seen([...ring(pose, -half, radius), ...ring(pose, half, radius)]));
    }
    case "sphere": {
      const centre = view.project(pose.at);
      const radius = (solid.diameter / 2) * view.scale;
      return Array.from({ length: 60 }, (_, i) => {
        const a = (i / 30) * Math.PI;
        return add(centre, [radius * Math.cos(a), radius * Math.sin(a)]);
      });
    }
    case "mesh":
      return hull(seen(triples(solid.triangles).map((p) => placed(pose, p))));
  }
}

/** @param {number[]} flat @returns {Triple[]} */
function triples(flat) {
  /** @type {Triple[]} */
  const out = [];
  for (let i = 0; i + 2 < flat.length; i += 3) out.push([flat[i], flat[i + 1], flat[i + 2]]);
  return out;
}

/** @param {Triple} centre @param {Triple} size @returns {Triple[]} */
export function corners(centre, size) {
  return Array.from({ length: 8 }, (_, k) => /** @type {Triple} */ (
    [0, 1, 2].map((i) => centre[i] + ((k >> i) & 1 ? 0.5 : -0.5) * size[i])));
}

/** @param {View} view @param {Magnet} magnet @param {Pose} [pose] @returns {Point[]} */
export function magnetOutline(view, magnet, pose = magnet.pose) {
  return silhouette(view, magnet.shape, pose);
}

/**
 * A magnet: outline, edges towards the viewer, and one bold arrow along its magnetisation, or a dot or a
 * cross in a circle where that points at or away from the viewer.
 * @param {Pen} pen @param {View} view @param {Magnet} magnet
 */
export function drawMagnet(pen, view, magnet) {
  const { pose, shape } = magnet;
  const outline = magnetOutline(view, magnet);
  pen.shape(outline, "paper", 0.82);
  for (const edge of facingEdges(view, shape, pose)) pen.outline(edge, "ink", THIN);
  if (shape.kind === "round" && shape.inner_diameter > 0 && length(view.direction(bodyAxis(pose, 2))) > 0.3) {
    pen.outline(bore(view, shape, pose), "ink", HAIR, HIDDEN);
  }
  pen.outline(outline, "ink", LINE);
  const way = turned(pose, magnet.direction);
  const shown = view.direction(way);
  const centre = view.project(pose.at);
  if (length(shown) < 0.35) {
    const size = new Extent().hold(outline).size;
    let radius = Math.min(9, Math.max(3, Math.min(size[0], size[1]) * 0.32));
    /** @type {Point[]} */
    let places = [centre];
    if (shape.kind === "round" && shape.inner_diameter > 0) {
      // In a ring seen on end the middle is empty: the signs stand in the wall.
      const middle = ((shape.inner_diameter + shape.outer_diameter) / 4) * view.scale;
      radius = Math.min(radius, Math.max(2, (shape.outer_diameter - shape.inner_diameter) * view.scale * 0.17));
      places = [add(centre, [-middle, 0]), add(centre, [middle, 0])];
    }
    for (const at of places) pen.endOn(at, radius, dot(way, view.toward) > 0);
    return;
  }
  const forward = unit(shown);
  const reach = Math.max(...outline.map((p) => Math.abs((p[0] - centre[0]) * forward[0] + (p[1] - centre[1]) * forward[1])));
  const half = Math.max(5, reach * 0.72);
  const head = Math.min(14, Math.max(5, half * 0.6));
  const tip = along(centre, forward, half);
  pen.line(along(centre, forward, -half), along(tip, forward, -head * 0.8), "ink", BOLD);
  pen.arrowhead(tip, forward, head);
}

/** Faces turned to the viewer: rectangles of a box, the end of a round. @param {View} view @param {Solid} shape @param {Pose} pose @returns {Point[][]} */
function facingEdges(view, shape, pose) {
  const facing = (/** @type {number} */ axis) => {
    const towards = dot(bodyAxis(pose, axis), view.toward);
    return Math.abs(towards) < 1e-6 ? 0 : Math.sign(towards);
  };
  const seen = (/** @type {Triple[]} */ points) => points.map((p) => view.project(p));
  if (shape.kind === "round") {
    const sign = facing(2);
    if (sign === 0) return [];
    const radii = [shape.outer_diameter / 2, shape.inner_diameter / 2].filter((r) => r > 0);
    return radii.map((r) => seen(ring(pose, (sign * shape.length) / 2, r)));
  }
  if (shape.kind !== "box") return [];
  const faces = [];
  for (let axis = 0; axis < 3; axis += 1) {
    const sign = facing(axis);
    // A face seen squarely is the outline itself.
    if (sign === 0 || Math.abs(dot(bodyAxis(pose, axis), view.toward)) > 0.9999) continue;
    faces.push(seen([[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([a, b]) => {
      /** @type {Triple} */
      const p = [...shape.centre];
      p[axis] += (sign * shape.size[axis]) / 2;
      p[(axis + 1) % 3] += (a * shape.size[(axis + 1) % 3]) / 2;
      p[(axis + 2) % 3] += (b * shape.size[(axis + 2) % 3]) / 2;
      return placed(pose, p);
    })));
  }
  return faces;
}

/** @param {View} view @param {Extract<Solid, {kind: "round"}>} shape @param {Pose} pose */
function bore(view, shape, pose) {
  const [half, radius] = [shape.length / 2, shape.inner_diameter / 2];
  return hull([...ring(pose, -half, radius), ...ring(pose, half, radius)].map((p) => view.project(p)));
}

/** Where a moving body ends up. @param {Pen} pen @param {View} view @param {Magnet | Steel} body */
export function drawGhost(pen, view, body) {
  for (const solid of "parts" in body ? body.parts : [body.shape]) {
    pen.outline(silhouette(view, solid, body.pose_end), "ink", THIN, GHOST);
  }
}

/** @param {View} view @param {Steel} steel @returns {Point[][]} */
export function steelOutlines(view, steel) {
  return steel.parts.map((part) => silhouette(view, part, steel.pose));
}

/**
 * A body of steel: hatched where it reaches the plane at `offset`, an outline alone before or behind it.
 * @param {Pen} pen @param {View} view @param {Steel} steel @param {number | null} offset
 */
export function drawSteel(pen, view, steel, offset) {
  const cut = offset === null || reaches(view, steel, offset);
  /** @type {Point[][]} */
  const faces = steel.parts.flatMap((part) => {
    if (part.kind !== "mesh" || part.triangles.length > 9 * MOST_TRIANGLES) return [silhouette(view, part, steel.pose)];
    const points = triples(part.triangles).map((p) => view.project(placed(steel.pose, p)));
    return Array.from({ length: points.length / 3 }, (_, k) => points.slice(3 * k, 3 * k + 3));
  });
  if (!cut) {
    for (const face of steel.parts.map((part) => silhouette(view, part, steel.pose))) pen.outline(face, "faded", THIN);
    return;
  }
  // Lines of double width first: the fill of every part leaves their outer half only, so that no line
  // shows where parts touch.
  for (const face of faces) pen.outline(face, "ink", 2 * LINE);
  for (const face of faces) pen.shape(face, "paper");
  for (const face of faces) pen.shape(face, "section");
  for (const part of steel.parts) {
    if (part.kind !== "round" || part.inner_diameter === 0) continue;
    const hollow = bore(view, part, steel.pose);
    const onEnd = Math.abs(dot(bodyAxis(steel.pose, 2), view.toward)) > 0.999;
    pen.shape(hollow, "paper");
    pen.outline(hollow, "ink", onEnd ? LINE : HAIR, onEnd ? [] : HIDDEN);
  }
}

/** Whether any part of a body lies on both sides of the plane at `offset`. @param {View} view @param {Steel} steel @param {number} offset */
function reaches(view, steel, offset) {
  const axis = steel.pose.rows[view.cut];
  const middle = steel.pose.at[view.cut];
  return steel.parts.some((part) => {
    if (part.kind === "sphere") return Math.abs(offset - middle) <= part.diameter / 2;
    if (part.kind === "round") {
      const half = (Math.abs(axis[2]) * part.length + Math.hypot(axis[0], axis[1]) * part.outer_diameter) / 2;
      return Math.abs(offset - middle) <= half;
    }
    const points = part.kind === "box" ? corners(part.centre, part.size) : triples(part.triangles);
    const heights = points.map((p) => middle + dot(axis, p));
    return Math.min(...heights) <= offset && offset <= Math.max(...heights);
  });
}

/**
 * A coil cut open along its axis: for positive ampere-turns the current comes towards the viewer where the
 * circles have a dot and goes away where they have a cross.
 * @param {Pen} pen @param {View} view @param {Coil} coil
 */
export function drawCoil(pen, view, coil) {
  const centre = view.project(coil.pose.at);
  const axis = view.direction(bodyAxis(coil.pose, 2));
  const inner = (coil.inner_diameter / 2) * view.scale;
  const outer = Math.max((coil.outer_diameter / 2) * view.scale, inner + 4);
  if (length(axis) < 0.3) {
    for (const radius of [outer, inner]) pen.circle(centre, radius, { stroke: "ink", width: LINE });
    return;
  }
  const forward = unit(axis);
  const side = normal(forward);
  const half = (coil.length / 2) * view.scale * length(axis);
  const at = (/** @type {number} */ x, /** @type {number} */ y) => along(along(centre, forward, x), side, y);
  // Right-hand rule: field along `forward`, current towards the viewer on its left.
  for (const sign of [-1, 1]) {
    const box = [at(-half, sign * inner), at(half, sign * inner), at(half, sign * outer), at(-half, sign * outer)];
    pen.shape(box, "paper");
    pen.outline(box, "ink", LINE);
    const radius = Math.min(7, Math.max(1.6, (outer - inner) * 0.36));
    const pitch = radius * 3.2;
    const rows = Math.min(6, Math.max(1, Math.floor((outer - inner) / pitch)));
    const count = Math.min(48, Math.max(1, Math.floor((2 * half) / pitch)));
    for (let row = 0; row < rows; row += 1) {
      const y = inner + ((row + 0.5) / rows) * (outer - inner);
      for (let i = 0; i < count; i += 1) pen.endOn(at(-half + ((i + 0.5) * 2 * half) / count, sign * y), radius, sign < 0);
    }
  }
  for (const x of [-half, half]) pen.line(at(x, -inner), at(x, inner), "ink", HAIR);
}

/** @param {View} view @param {Coil} coil @returns {Point[]} */
export function coilOutline(view, coil) {
  const [half, radius] = [coil.length / 2, Math.max(coil.outer_diameter, coil.inner_diameter) / 2];
  return hull([...ring(coil.pose, -half, radius), ...ring(coil.pose, half, radius)].map((p) => view.project(p)));
}
