// The regions of a map: where what moves closes the contact, where it holds if already closed.
//
// Borders are where a grid crosses a level, by marching squares; between neighbouring places the grid is
// taken as linear. Each grid is fenced in with places below every level just outside, so that every
// border is a closed loop that can be filled; what runs along the rim is filled to but not stroked. All
// work is done in buffers that are kept from one map to the next.

/** @import { MapPicture } from "../store.js" */
/** @import { View } from "./geometry.js" */
/** @import { Pen } from "./draw.js" */

import { BOLD, CLOSES, DASHED, EDGE, HAIR, HOLDS, LINE, SOLID, THIN } from "./draw.js";

/** Closed loops in mm: points of all, where each begins, and which points lie on the rim. */
class Loops {
  points = new Float32Array(4096);
  rim = new Uint8Array(2048);
  /** @type {number[]} index of the first point of each loop, and past the last */
  starts = [0];
  count = 0;

  clear() {
    this.count = 0;
    this.starts.length = 1;
  }

  /** @param {number} x @param {number} y @param {boolean} rim */
  push(x, y, rim) {
    if (2 * this.count === this.points.length) {
      const [points, rims] = [this.points, this.rim];
      this.points = new Float32Array(2 * points.length);
      this.points.set(points);
      this.rim = new Uint8Array(2 * rims.length);
      this.rim.set(rims);
    }
    this.points[2 * this.count] = x;
    this.points[2 * this.count + 1] = y;
    this.rim[this.count] = rim ? 1 : 0;
    this.count += 1;
  }

  end() {
    this.starts.push(this.count);
  }

  /** Adds the loops to a path, in canvas pixels. @param {CanvasRenderingContext2D} ink @param {View} view */
  fill(ink, { x0, y0, scale }) {
    const { points, starts } = this;
    for (let k = 0; k + 1 < starts.length; k += 1) {
      for (let i = starts[k]; i < starts[k + 1]; i += 1) {
        const [x, y] = [x0 + points[2 * i] * scale, y0 - points[2 * i + 1] * scale];
        if (i === starts[k]) ink.moveTo(x, y);
        else ink.lineTo(x, y);
      }
      ink.closePath();
    }
  }

  /** Adds the borders without what runs along the rim. @param {CanvasRenderingContext2D} ink @param {View} view */
  stroke(ink, { x0, y0, scale }) {
    const { points, rim, starts } = this;
    for (let k = 0; k + 1 < starts.length; k += 1) {
      const [first, past] = [starts[k], starts[k + 1]];
      let before = past - 1;
      let down = false;
      for (let n = 0; n <= past - first; n += 1) {
        const i = n === past - first ? first : first + n;
        const [x, y] = [x0 + points[2 * i] * scale, y0 - points[2 * i + 1] * scale];
        if (down && !(rim[before] && rim[i])) ink.lineTo(x, y);
        else ink.moveTo(x, y);
        down = true;
        before = i;
      }
    }
  }
}

/** Finds loops; one is enough for all maps. */
class Tracer {
  #fenced = new Float32Array(0);
  #next = new Int32Array(0);
  #width = 0;
  #height = 0;
  /** @type {[number, number, number]} */
  #across = [0, 1, 2];
  /** @type {[number, number, number]} */
  #up = [0, 1, 2];

  /**
   * Takes a grid, fenced with `fence`.
   * @param {Float32Array} grid @param {MapPicture["header"]} header @param {(value: number) => number} of @param {number} fence
   */
  take(grid, { across, up }, of, fence) {
    [this.#across, this.#up] = [across, up];
    const [n, m] = [across[2], up[2]];
    const [width, height] = [n + 2, m + 2];
    if (width !== this.#width || height !== this.#height) {
      [this.#width, this.#height] = [width, height];
      this.#fenced = new Float32Array(width * height);
      this.#next = new Int32Array(2 * width * height);
    }
    const fenced = this.#fenced;
    fenced.fill(fence, 0, width);
    fenced.fill(fence, width * (height - 1));
    for (let row = 0; row < m; row += 1) {
      const to = (row + 1) * width;
      fenced[to] = fenced[to + width - 1] = fence;
      for (let column = 0; column < n; column += 1) fenced[to + 1 + column] = of(grid[row * n + column]);
    }
  }

  /** @param {number} level @param {Loops} out */
  trace(level, out) {
    out.clear();
    const [grid, next, width] = [this.#fenced, this.#next, this.#width];
    next.fill(-1);
    // Edge 2i runs from place i to the right, edge 2i + 1 upwards. Going round a cell anti-clockwise, a
    // border enters where the grid falls below the level and leaves where it rises: above lies on its left.
    for (let row = 0; row + 1 < this.#height; row += 1) {
      for (let column = 0; column + 1 < width; column += 1) {
        const i = row * width + column;
        const a = grid[i] >= level;
        const b = grid[i + 1] >= level;
        const c = grid[i + width + 1] >= level;
        const d = grid[i + width] >= level;
        if (a === b && b === c && c === d) continue;
        const [bottom, right, top, left] = [2 * i, 2 * i + 3, 2 * (i + width), 2 * i + 1];
        if (a === c && b === d) {
          const mean = (grid[i] + grid[i + 1] + grid[i + width + 1] + grid[i + width]) / 4;
          const joined = mean >= level;
          if (a) {
            next[bottom] = joined ? right : left;
            next[top] = joined ? left : right;
          } else {
            next[right] = joined ? top : bottom;
            next[left] = joined ? bottom : top;
          }
          continue;
        }
        const from = a && !b ? bottom : b && !c ? right : c && !d ? top : left;
        const to = !a && b ? bottom : !b && c ? right : !c && d ? top : left;
        next[from] = to;
      }
    }
    for (let start = 0; start < next.length; start += 1) {
      if (next[start] < 0) continue;
      let edge = start;
      while (next[edge] >= 0) {
        this.#cross(edge, level, out);
        const after = next[edge];
        next[edge] = -1;
        edge = after;
      }
      out.end();
    }
  }

  /** Where along an edge the level lies. @param {number} edge @param {number} level @param {Loops} out */
  #cross(edge, level, out) {
    const [grid, width] = [this.#fenced, this.#width];
    const from = edge >> 1;
    const to = edge & 1 ? from + width : from + 1;
    const t = (level - grid[from]) / (grid[to] - grid[from]);
    const [c0, r0] = [from % width, Math.floor(from / width)];
    const [c1, r1] = edge & 1 ? [c0, r0 + 1] : [c0 + 1, r0];
    const [x0, x1, y0, y1] = [place(c0, this.#across), place(c1, this.#across), place(r0, this.#up), place(r1, this.#up)];
    const rim = c0 === 0 || r0 === 0 || c1 === width - 1 || r1 === this.#height - 1;
    out.push(x0 + t * (x1 - x0), y0 + t * (y1 - y0), rim);
  }
}

/** Position of a fenced place, mm; the fence stands on the rim itself. @param {number} k @param {[number, number, number]} line */
function place(k, [lo, hi, n]) {
  return lo + ((hi - lo) * Math.min(n - 1, Math.max(0, k - 1))) / (n - 1);
}

/** The regions of one contact in one plane. */
export class Regions {
  #tracer = new Tracer();
  #operate = [new Loops(), new Loops(), new Loops()];
  #release = [new Loops(), new Loops(), new Loops()];
  #noRoom = new Loops();
  /** @type {MapPicture | null} */
  #map = null;

  /** @param {MapPicture | null} map */
  take(map) {
    const known = this.#map?.driveOpen;
    this.#map = map;
    if (!map || map.driveOpen === known) return;
    const { header } = map;
    this.#tracer.take(map.driveOpen, header, Math.abs, -1);
    header.operate.forEach((level, k) => this.#tracer.trace(level, this.#operate[k]));
    this.#tracer.take(map.driveClosed, header, Math.abs, -1);
    header.release.forEach((level, k) => this.#tracer.trace(level, this.#release[k]));
    this.#tracer.take(map.room, header, (room) => -room, -1);
    this.#tracer.trace(0, this.#noRoom);
  }

  /** Tints, hatching, and each border as a pair of lines with the nominal one between. @param {Pen} pen @param {View} view */
  draw(pen, view) {
    if (!this.#map) return;
    const { ink } = pen;
    const path = (/** @type {Loops[]} */ ...loops) => {
      ink.beginPath();
      for (const each of loops) each.fill(ink, view);
    };
    path(this.#release[1]);
    pen.fillPath("met", HOLDS);
    pen.fillPath("dots");
    path(this.#operate[1]);
    pen.fillPath("paper");
    pen.fillPath("met", CLOSES);
    pen.fillPath("hatch");
    for (const [borders, dash] of /** @type {const} */ ([[this.#release, DASHED], [this.#operate, SOLID]])) {
      path(borders[0], borders[2]);
      pen.fillPath("met", EDGE);
      for (const [k, width] of [[0, HAIR], [2, HAIR], [1, LINE + 0.3]]) {
        ink.beginPath();
        borders[k].stroke(ink, view);
        pen.strokePath("met", width, dash);
      }
    }
    this.#keepOut(pen, view, path);
  }

  /** The nominal borders alone, of another design: one dash where it closes, one where it holds. @param {Pen} pen @param {View} view @param {number[]} closes @param {number[]} holds */
  borders(pen, view, closes, holds) {
    if (!this.#map) return;
    for (const [borders, dash] of /** @type {const} */ ([[this.#release, holds], [this.#operate, closes]])) {
      pen.ink.beginPath();
      borders[1].stroke(pen.ink, view);
      pen.strokePath("paper", BOLD + 1);
      pen.strokePath("drive", LINE + 0.5, dash);
    }
  }

  /** Where the moved body would stand in the contact or in steel the drive means nothing. @param {Pen} pen @param {View} view @param {(...loops: Loops[]) => void} path */
  #keepOut(pen, view, path) {
    const { ink } = pen;
    path(this.#noRoom);
    pen.fillPath("paper");
    pen.fillPath("keep-out", 0.7);
    ink.beginPath();
    this.#noRoom.stroke(ink, view);
    pen.strokePath("ink", THIN);
  }
}

/**
 * @typedef {object} Reading  What a map says of one place.
 * @property {number} open  drive of the open contact, mT, with its sign
 * @property {number} closed  drive of the closed contact
 * @property {number} room  mm; below zero what moves would stand in something
 * @property {"closes" | "holds" | "open" | "touches"} region
 */

/** Reads a map between its places. @param {MapPicture} map @param {[number, number]} at  across and up, mm @returns {Reading | null} */
export function read(map, at) {
  const { across, up, operate, release } = map.header;
  const u = ((at[0] - across[0]) / (across[1] - across[0])) * (across[2] - 1);
  const v = ((at[1] - up[0]) / (up[1] - up[0])) * (up[2] - 1);
  if (!(u >= 0 && v >= 0 && u <= across[2] - 1 && v <= up[2] - 1)) return null;
  const [i, j] = [Math.min(across[2] - 2, Math.floor(u)), Math.min(up[2] - 2, Math.floor(v))];
  const [s, t] = [u - i, v - j];
  const from = (/** @type {Float32Array} */ grid) => {
    const k = j * across[2] + i;
    const [low, high] = [grid[k] * (1 - s) + grid[k + 1] * s, grid[k + across[2]] * (1 - s) + grid[k + across[2] + 1] * s];
    return low * (1 - t) + high * t;
  };
  const [open, closed, room] = [from(map.driveOpen), from(map.driveClosed), from(map.room)];
  const region = room < 0 ? "touches"
    : Math.abs(open) >= operate[1] ? "closes"
    : Math.abs(closed) >= release[1] ? "holds" : "open";
  return { open, closed, room, region };
}

/** The lobes of a map: stretches of one sign of the drive; the main one holds the strongest there is room for. */
export class Lobes {
  /** @type {MapPicture | null} */
  #map = null;
  #label = new Int16Array(0);
  /** @type {string[]} */
  #names = [];

  /** Name of the lobe at a place. @param {MapPicture} map @param {[number, number]} at @returns {string} */
  name(map, at) {
    if (map.driveOpen !== this.#map?.driveOpen) this.#find(map);
    const { across, up } = map.header;
    const nearest = (/** @type {number} */ p, /** @type {[number, number, number]} */ [lo, hi, n]) =>
      Math.min(n - 1, Math.max(0, Math.round(((p - lo) / (hi - lo)) * (n - 1))));
    return this.#names[this.#label[nearest(at[1], up) * across[2] + nearest(at[0], across)]] ?? "";
  }

  /** @param {MapPicture} map */
  #find(map) {
    this.#map = map;
    const { across, up } = map.header;
    const [n, m] = [across[2], up[2]];
    const drive = map.driveOpen;
    if (this.#label.length !== n * m) this.#label = new Int16Array(n * m);
    const label = this.#label.fill(-1);
    /** @type {{peak: number, x: number, y: number, cells: number}[]} */
    const lobes = [];
    /** @type {number[]} */
    const queue = [];
    for (let start = 0; start < n * m; start += 1) {
      if (label[start] >= 0) continue;
      const lobe = { peak: 0, x: 0, y: 0, cells: 0 };
      const id = lobes.push(lobe) - 1;
      const positive = drive[start] >= 0;
      queue.push(start);
      label[start] = id;
      for (let k = queue.pop(); k !== undefined; k = queue.pop()) {
        const [x, y] = [k % n, Math.floor(k / n)];
        if (map.room[k] > 0) lobe.peak = Math.max(lobe.peak, Math.abs(drive[k]));
        lobe.x += x;
        lobe.y += y;
        lobe.cells += 1;
        for (const [to, inside] of /** @type {[number, boolean][]} */ ([[k - 1, x > 0], [k + 1, x < n - 1], [k - n, y > 0], [k + n, y < m - 1]])) {
          if (inside && label[to] < 0 && drive[to] >= 0 === positive) {
            label[to] = id;
            queue.push(to);
          }
        }
      }
    }
    const main = lobes.reduce((best, lobe) => (lobe.peak > best.peak ? lobe : best));
    this.#names = lobes.map((lobe) => {
      if (lobe === main) return "main lobe";
      const dx = lobe.x / lobe.cells - main.x / main.cells;
      const dy = lobe.y / lobe.cells - main.y / main.cells;
      const where = Math.abs(dx) >= Math.abs(dy) ? (dx < 0 ? "left" : "right") : dy < 0 ? "lower" : "upper";
      return `${where} lobe`;
    });
  }
}
