// Vectors, poses, and the view of a plane: where a point of space comes to lie on the canvas.
//
// Space is in mm, the canvas in CSS pixels, x to the right and y down.

/** @import { Drawing, Pose, Triple, Plane } from "../types/wire.js" */

/** @typedef {[number, number]} Point  a point or direction on the canvas */

/** @type {(a: Point, b: Point) => Point} */
export const add = (a, b) => [a[0] + b[0], a[1] + b[1]];
/** @type {(a: Point, b: Point) => Point} */
export const sub = (a, b) => [a[0] - b[0], a[1] - b[1]];
/** @type {(a: Point, by: number) => Point} */
export const scaled = (a, by) => [a[0] * by, a[1] * by];
/** `distance` from `a` along the unit vector `way`. @type {(a: Point, way: Point, distance: number) => Point} */
export const along = (a, way, distance) => [a[0] + way[0] * distance, a[1] + way[1] * distance];
/** @type {(a: Point) => number} */
export const length = (a) => Math.hypot(a[0], a[1]);
/** Unit vector; to the right for no direction at all. @type {(a: Point) => Point} */
export const unit = (a) => {
  const l = length(a);
  return l < 1e-12 ? [1, 0] : [a[0] / l, a[1] / l];
};
/** To the right-hand side of `a`, looking along it. @type {(a: Point) => Point} */
export const normal = (a) => [-a[1], a[0]];

/** @type {(a: Triple, b: Triple) => number} */
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
/** A direction of a body, in the world. @type {(pose: Pose, v: Triple) => Triple} */
export const turned = (pose, v) => [dot(pose.rows[0], v), dot(pose.rows[1], v), dot(pose.rows[2], v)];
/** A point of a body, in the world. @type {(pose: Pose, p: Triple) => Triple} */
export const placed = (pose, p) => {
  const t = turned(pose, p);
  return [t[0] + pose.at[0], t[1] + pose.at[1], t[2] + pose.at[2]];
};
/** One of a body's axes, in the world. @type {(pose: Pose, axis: number) => Triple} */
export const bodyAxis = (pose, axis) => [pose.rows[0][axis], pose.rows[1][axis], pose.rows[2][axis]];

/** @typedef {[Triple, Triple, Triple]} Rows  a rotation matrix, row by row */

/** @type {Rows} */
export const UNTURNED = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

/** The rotation `b` and after it `a`. @param {Rows} a @param {Rows} b @returns {Rows} */
export function after(a, b) {
  const columns = transposed(b);
  const row = (/** @type {Triple} */ r) =>
    /** @type {Triple} */ ([dot(r, columns[0]), dot(r, columns[1]), dot(r, columns[2])]);
  return [row(a[0]), row(a[1]), row(a[2])];
}

/** The opposite rotation. @param {Rows} rows @returns {Rows} */
export function transposed(rows) {
  const column = (/** @type {number} */ i) => /** @type {Triple} */ ([rows[0][i], rows[1][i], rows[2][i]]);
  return [column(0), column(1), column(2)];
}

/** Rotation about the world's x, then y, then z, degrees. @param {Triple} degrees @returns {Rows} */
export function tilt(degrees) {
  const [a, b, c] = degrees.map((d) => (d * Math.PI) / 180);
  /** @type {Rows} */
  const x = [[1, 0, 0], [0, Math.cos(a), -Math.sin(a)], [0, Math.sin(a), Math.cos(a)]];
  /** @type {Rows} */
  const y = [[Math.cos(b), 0, Math.sin(b)], [0, 1, 0], [-Math.sin(b), 0, Math.cos(b)]];
  /** @type {Rows} */
  const z = [[Math.cos(c), -Math.sin(c), 0], [Math.sin(c), Math.cos(c), 0], [0, 0, 1]];
  return after(z, after(y, x));
}

/**
 * The plane that shows most of a design: of its path as seen from its first contact, and where that is a
 * straight line, of the contact itself.
 * @param {Drawing} drawing @returns {Plane}
 */
export function bestPlane({ path, contacts: [contact] }) {
  const places = [...path.map((p) => p.at), ...(contact ? [contact.pose.at] : [])];
  // Of two that show the same, the one seen from the front, then the one from above.
  const seen = [2, 1, 3].map((favour, i) => {
    const along = places.map((p) => p[i]);
    const spread = places.length > 0 ? Math.max(...along) - Math.min(...along) : 0;
    return spread + 0.01 * Math.abs(contact ? bodyAxis(contact.pose, 0)[i] : 0) + 1e-6 * favour;
  });
  const least = seen.indexOf(Math.min(...seen));
  return /** @type {const} */ (["yz", "xz", "xy"])[least];
}

/** Where a plane cuts a design unless told: through the place of the path nearest to a contact. @param {Drawing} drawing @param {number} contact @param {Plane} plane */
export function naturalCut({ path, contacts }, contact, plane) {
  const { cut } = AXES[plane];
  const to = contacts[contact]?.pose.at ?? [0, 0, 0];
  const far = (/** @type {Triple} */ p) => Math.hypot(p[0] - to[0], p[1] - to[1], p[2] - to[2]);
  const nearest = path.map((p) => p.at).reduce((/** @type {Triple | null} */ best, p) => (best && far(best) <= far(p) ? best : p), null);
  return Math.round((nearest ?? to)[cut] * 1e3) / 1e3;
}

/** World axes to the right, up and through each plane, and which way along the last the viewer stands. */
const AXES = /** @type {const} */ ({
  xy: { right: 0, up: 1, cut: 2, toward: 1 },
  xz: { right: 0, up: 2, cut: 1, toward: -1 },
  yz: { right: 1, up: 2, cut: 0, toward: 1 },
});

/** Names of the world's axes. */
export const AXIS = /** @type {const} */ (["x", "y", "z"]);

/** A plane looked at squarely. */
export class View {
  /** Pixels per mm. */
  scale = 4;
  /** Where the world's origin lies on the canvas. */
  x0 = 0;
  y0 = 0;

  /** @param {Plane} plane */
  constructor(plane) {
    this.plane = plane;
    const { right, up, cut, toward } = AXES[plane];
    /** @type {number} */
    this.right = right;
    /** @type {number} */
    this.up = up;
    /** @type {number} */
    this.cut = cut;
    /** @type {Triple} towards the viewer */
    this.toward = [0, 0, 0];
    this.toward[cut] = toward;
  }

  /** A point of space on the canvas. @param {Triple} p @returns {Point} */
  project(p) {
    return [this.x0 + p[this.right] * this.scale, this.y0 - p[this.up] * this.scale];
  }

  /** A direction of space on the canvas, foreshortened, not scaled. @param {Triple} v @returns {Point} */
  direction(v) {
    return [v[this.right], -v[this.up]];
  }

  /** The place in the plane under a point of the canvas: across and up, mm. @param {Point} p @returns {Point} */
  inPlane(p) {
    return [(p[0] - this.x0) / this.scale, (this.y0 - p[1]) / this.scale];
  }

  /** Across and up, in space, the third axis as in `from`. @param {Point} p @param {Triple} from @returns {Triple} */
  inSpace(p, from) {
    /** @type {Triple} */
    const out = [from[0], from[1], from[2]];
    out[this.right] = p[0];
    out[this.up] = p[1];
    return out;
  }

  /**
   * Shows left, right, bottom, top (mm) in the middle of a window.
   * @param {readonly [number, number, number, number]} extent @param {number} width @param {number} height
   */
  fit(extent, width, height) {
    const [left, right, bottom, top] = extent;
    this.scale = Math.min(200, Math.max(0.05, Math.min(width / Math.max(1e-6, right - left), height / Math.max(1e-6, top - bottom))));
    this.x0 = width / 2 - ((left + right) / 2) * this.scale;
    this.y0 = height / 2 + ((bottom + top) / 2) * this.scale;
  }

  /** Left, right, bottom, top of a window, mm. @param {number} width @param {number} height @returns {[number, number, number, number]} */
  extent(width, height) {
    const [left, top] = this.inPlane([0, 0]);
    const [right, bottom] = this.inPlane([width, height]);
    return [left, right, bottom, top];
  }

  /** Larger by `factor`, what lies under `at` staying there. @param {number} factor @param {Point} at */
  zoom(factor, at) {
    const scale = Math.min(200, Math.max(0.2, this.scale * factor));
    const by = scale / this.scale;
    this.x0 = at[0] + (this.x0 - at[0]) * by;
    this.y0 = at[1] + (this.y0 - at[1]) * by;
    this.scale = scale;
  }

  /** @param {View} other */
  like(other) {
    this.scale = other.scale;
    this.x0 = other.x0;
    this.y0 = other.y0;
  }
}

/** Left, top, right and bottom of points. */
export class Extent {
  low = [Infinity, Infinity];
  high = [-Infinity, -Infinity];

  /** @param {Iterable<Point>} points */
  hold(points) {
    for (const [x, y] of points) {
      if (x < this.low[0]) this.low[0] = x;
      if (y < this.low[1]) this.low[1] = y;
      if (x > this.high[0]) this.high[0] = x;
      if (y > this.high[1]) this.high[1] = y;
    }
    return this;
  }

  get empty() {
    return this.low[0] > this.high[0];
  }

  /** @returns {Point} */
  get size() {
    return this.empty ? [0, 0] : [this.high[0] - this.low[0], this.high[1] - this.low[1]];
  }
}

/** The convex outline of points. @param {Point[]} points @returns {Point[]} */
export function hull(points) {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const cross = (/** @type {Point} */ o, /** @type {Point} */ a, /** @type {Point} */ b) =>
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
  const half = (/** @type {Point[]} */ list) => {
    /** @type {Point[]} */
    const chain = [];
    for (const point of list) {
      while (chain.length > 1 && cross(chain[chain.length - 2], chain[chain.length - 1], point) <= 0) chain.pop();
      chain.push(point);
    }
    chain.pop();
    return chain;
  };
  const lower = half(sorted);
  return lower.concat(half(sorted.reverse()));
}

/** A circle in space as points: about axis z of a body, `offset` along it. @param {Pose} pose @param {number} offset @param {number} radius @returns {Triple[]} */
export function ring(pose, offset, radius) {
  /** @type {Triple[]} */
  const points = [];
  for (let i = 0; i < 48; i += 1) {
    const angle = (i / 48) * 2 * Math.PI;
    points.push(placed(pose, [radius * Math.cos(angle), radius * Math.sin(angle), offset]));
  }
  return points;
}

/** Whether a point lies within a closed shape. @param {Point} p @param {Point[]} shape */
export function within(p, shape) {
  let inside = false;
  for (let i = 0, j = shape.length - 1; i < shape.length; j = i, i += 1) {
    const [a, b] = [shape[i], shape[j]];
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) {
      inside = !inside;
    }
  }
  return inside;
}

/** Distance of a point from a closed shape's edge. @param {Point} p @param {Point[]} shape */
export function distance(p, shape) {
  let least = Infinity;
  for (let i = 0, j = shape.length - 1; i < shape.length; j = i, i += 1) {
    const [a, b] = [shape[j], shape[i]];
    const way = sub(b, a);
    const reach = way[0] * way[0] + way[1] * way[1];
    const t = reach === 0 ? 0 : ((p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1]) / reach;
    least = Math.min(least, length(sub(p, along(a, way, Math.min(1, Math.max(0, t))))));
  }
  return least;
}
