// The arrangement in space, seen without perspective, as a drawing office would; painted when asked.

/** @import * as wire from "../types/wire.js" */
/** @import { State } from "../store.js" */
/** @import { Pen } from "./draw.js" */
/** @import { Blades } from "./blades.js" */

import * as THREE from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { AXIS } from "./geometry.js";
import { spread } from "./labels.js";
import { bodies, contacts, standing } from "./playhead.js";
import { ContactSolid, Cuttable, Inks, chain, coilSolid, conductorSolid, dispose, magnetSolid, motorSolid, put, smooth, steelShapes } from "./solids.js";

/** Directions one looks from, by name. @type {Record<string, wire.Triple>} */
const VIEWS = { corner: [0.75, -1, 0.6], front: [0, -1, 0], above: [0, -1e-4, 1], end: [1, 0, 0] };
/** Which way the plan's viewer stands. @type {Record<wire.Plane, number>} */
const CUT = { xy: 2, xz: 1, yz: 0 };

export class Scene {
  inks = new Inks();
  #scene = new THREE.Scene();
  #camera = new THREE.OrthographicCamera();
  #lamp = new THREE.DirectionalLight(0xffffff, 0.9);
  /** Bodies by path, with the shape they were made for. @type {Map<string, {made: string, object: THREE.Group}>} */
  #bodies = new Map();
  #plane = new THREE.Plane(new THREE.Vector3(0, 1, 0), 0);
  #path = new THREE.LineSegments(new THREE.BufferGeometry(), this.inks.line);
  #events = new THREE.Group();
  #box = new THREE.Box3();
  #region = {
    closes: new Cuttable(new THREE.BufferGeometry(), this.inks.closes, this.inks.cutCloses, this.#plane, 4, null),
    holds: new Cuttable(new THREE.BufferGeometry(), this.inks.holds, this.inks.cutHolds, this.#plane, 2, null),
  };
  /** @type {import("../store.js").Region | null} */
  #shown = null;
  #pathShown = "";
  /** What is to be in the picture. @type {THREE.Vector3[]} */
  #held = [];
  section = false;
  /** Turned or zoomed by hand: then the picture is not fitted anew. */
  touched = false;
  /** Whether regions are to be shown; null: where they tell something. @type {boolean | null} */
  wanted = null;
  #wheel = false;

  /** @param {HTMLCanvasElement} canvas @param {Pen} above  names go there @param {Blades} blades @param {() => void} again */
  constructor(canvas, above, blades, again) {
    this.above = above;
    this.blades = blades;
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: false, stencil: true, powerPreference: "low-power" });
    this.renderer.localClippingEnabled = true;
    this.#camera.up.set(0, 0, 1);
    this.#lamp.position.set(-0.4, 0.9, 0.6);
    this.#camera.add(this.#lamp);
    this.#scene.add(this.#camera, new THREE.AmbientLight(0xffffff, 2.3), this.#path, this.#events, this.#region.holds, this.#region.closes);
    this.controls = new OrbitControls(this.#camera, canvas);
    this.controls.enableDamping = false;
    this.controls.addEventListener("change", again);
    this.controls.addEventListener("start", () => (this.touched = true));
    this.look("corner");
  }

  /** Whether pictures are made without a graphics processor. */
  get laboured() {
    const gl = this.renderer.getContext();
    const told = gl.getExtension("WEBGL_debug_renderer_info");
    return told !== null && /swiftshader|llvmpipe|software/i.test(String(gl.getParameter(told.UNMASKED_RENDERER_WEBGL)));
  }

  /** @param {number} width @param {number} height */
  resize(width, height) {
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(width, height, false);
    const camera = this.#camera;
    [camera.left, camera.right, camera.top, camera.bottom] = [-width / 2, width / 2, height / 2, -height / 2];
    camera.updateProjectionMatrix();
  }

  restyle() {
    this.inks.colour((name) => this.above.tone(name));
    this.renderer.setClearColor(new THREE.Color().setStyle(this.above.tone("paper")));
  }

  /** From one of the four directions. @param {string} from */
  look(from) {
    const target = this.controls.target;
    this.#camera.position.copy(target).add(new THREE.Vector3(...VIEWS[from]).normalize().multiplyScalar(2000));
    this.controls.update();
  }

  /** Whether regions are shown. */
  get regions() {
    return this.wanted ?? !this.#wheel;
  }

  /** Whether the closed region is there to be seen. */
  get whole() {
    return this.#shown !== null && this.regions;
  }

  /** Turns the camera about its target: to the right and up, rad. @param {number} across @param {number} up */
  orbit(across, up) {
    this.touched = true;
    const arm = this.#camera.position.clone().sub(this.controls.target);
    const round = new THREE.Spherical().setFromVector3(new THREE.Vector3(arm.x, arm.z, -arm.y));
    round.theta += across;
    round.phi = Math.min(Math.PI - 1e-3, Math.max(1e-3, round.phi - up));
    const turned = new THREE.Vector3().setFromSpherical(round);
    this.#camera.position.copy(this.controls.target).add(new THREE.Vector3(turned.x, -turned.z, turned.y));
    this.controls.update();
  }

  /** @param {number} by */
  zoom(by) {
    this.touched = true;
    this.#camera.zoom = Math.min(200, Math.max(0.2, this.#camera.zoom * by));
    this.#camera.updateProjectionMatrix();
    this.controls.update();
  }

  /** Frames contacts, magnets, path and the closed region, as seen from where one looks. */
  fit() {
    if (this.#held.length === 0) return;
    const camera = this.#camera;
    const arm = camera.position.clone().sub(this.controls.target);
    camera.updateMatrixWorld();
    const seen = new THREE.Box3();
    for (const point of this.#held) seen.expandByPoint(point.clone().applyMatrix4(camera.matrixWorldInverse));
    const size = seen.getSize(new THREE.Vector3());
    this.controls.target.copy(seen.getCenter(new THREE.Vector3()).applyMatrix4(camera.matrixWorld));
    camera.position.copy(this.controls.target).add(arm);
    // Names stand beside what they name.
    const [width, height] = [camera.right - camera.left, camera.top - camera.bottom];
    camera.zoom = Math.min(Math.max(40, width - 72) / Math.max(1e-3, size.x), Math.max(40, height - 56) / Math.max(1e-3, size.y));
    camera.near = 1;
    camera.far = 6000;
    camera.updateProjectionMatrix();
    this.controls.update();
  }

  /** Takes what is to be shown. @param {State} state */
  take(state) {
    const picture = standing(state);
    if (!picture) return;
    const { drawing } = picture;
    const seen = new Set();
    for (const { path, table, body } of bodies(drawing)) {
      seen.add(path);
      const { pose, ...shape } = body;
      const made = JSON.stringify({ ...shape, pose_end: null });
      let known = this.#bodies.get(path);
      if (known?.made !== made) {
        if (known) dispose(known.object);
        known = { made, object: this.#make(table, body) };
        this.#bodies.set(path, known);
        this.#scene.add(known.object);
      }
      put(known.object, pose);
      if (known.object instanceof ContactSolid) known.object.close(this.blades.closed(state, body.name));
    }
    for (const conductor of drawing.conductors) {
      const path = `conductor[${conductor.name}]`;
      seen.add(path);
      const reach = Math.max(60, ...[...drawing.contacts, ...drawing.magnets].map(({ pose }) => Math.hypot(...pose.at.map((v, i) => v - conductor.pose.at[i]))));
      const { pose, ...shape } = conductor;
      const made = JSON.stringify({ ...shape, reach });
      let known = this.#bodies.get(path);
      if (known?.made !== made) {
        if (known) dispose(known.object);
        known = { made, object: conductorSolid(conductor, reach, this.inks) };
        this.#bodies.set(path, known);
        this.#scene.add(known.object);
      }
      put(known.object, pose);
    }
    for (const motor of drawing.motors) {
      const path = `motor[${motor.name}]`;
      seen.add(path);
      const known = this.#bodies.get(path) ?? { made: "motor", object: motorSolid(this.inks) };
      if (!this.#bodies.has(path)) this.#scene.add(known.object);
      this.#bodies.set(path, known);
      put(known.object, motor.pose);
    }
    for (const [path, { object }] of this.#bodies) {
      if (seen.has(path)) continue;
      dispose(object);
      this.#bodies.delete(path);
    }
    this.#takePath(state, drawing);
    const [first, last] = [drawing.path[0], drawing.path.at(-1)];
    // Of a wheel that turns where it stands the region tells little.
    this.#wheel = first !== undefined && last !== undefined && first !== last && first.at.every((v, i) => Math.abs(v - last.at[i]) < 1e-6);
    this.#takeRegion(state);
    this.#frame(drawing);
    this.#cut(state);
    const near = (/** @type {wire.Motor} */ { pose }) => this.#box.distanceToPoint(new THREE.Vector3(...pose.at)) <= this.#reach();
    this.#names = [...bodies(drawing).map(({ body }) => body), ...drawing.conductors, ...drawing.motors.filter(near)].map(({ name, pose }) => ({ name, at: pose.at }));
  }

  /** @type {{name: string, at: wire.Triple}[]} */
  #names = [];

  /** @param {string} table @param {import("./playhead.js").Body} body @returns {THREE.Group} */
  #make(table, body) {
    if (table === "magnet") return magnetSolid(/** @type {wire.Magnet} */ (body), this.inks);
    if (table === "contact") return new ContactSolid(/** @type {wire.Contact} */ (body), this.inks);
    if (table === "coil") return coilSolid(/** @type {wire.Coil} */ (body), this.inks);
    const group = new THREE.Group();
    for (const shape of steelShapes(/** @type {wire.Steel} */ (body))) {
      group.add(new Cuttable(shape, this.inks.steel, this.inks.cutSteel, this.#plane, 0, this.inks.line));
    }
    return group;
  }

  /** @param {State} state @param {wire.Drawing} drawing */
  #takePath(state, drawing) {
    const known = contacts(state)[state.view.contact];
    const key = JSON.stringify([drawing.path, known?.happenings.map((e) => [e.kind, e.pass, e.at])]);
    if (key === this.#pathShown) return;
    this.#pathShown = key;
    const points = drawing.path.map((p) => new THREE.Vector3(...p.at));
    this.#path.geometry.dispose();
    this.#path.geometry = chain(points);
    for (const mark of [...this.#events.children]) dispose(mark);
    for (const event of known?.happenings ?? []) {
      const k = drawing.path.findIndex((p, i) => i + 1 < drawing.path.length
        && (event.at - p.coordinate) * (event.at - drawing.path[i + 1].coordinate) <= 0);
      if (k < 0) continue;
      const [a, b] = [points[k], points[k + 1]];
      const t = (event.at - drawing.path[k].coordinate) / (drawing.path[k + 1].coordinate - drawing.path[k].coordinate);
      const way = b.clone().sub(a).normalize().multiplyScalar(event.pass === "forward" ? 1 : -1);
      const shape = new THREE.ConeGeometry(1.1, 2.6, event.kind === "operate" ? 20 : 4);
      const cone = new THREE.Group().add(new THREE.Mesh(shape, event.kind === "operate" ? this.inks.ink : this.inks.paper));
      if (event.kind === "release") cone.add(new THREE.LineSegments(new THREE.EdgesGeometry(new THREE.ConeGeometry(1.1, 2.6, 4), 20), this.inks.line));
      cone.position.copy(a).lerp(b, t);
      if (way.lengthSq() > 0) cone.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), way);
      this.#events.add(cone);
    }
  }

  /** @param {State} state */
  #takeRegion(state) {
    const name = state.drawing?.contacts[state.view.contact]?.name;
    const region = state.regions.find(({ header }) => header.contact === name) ?? null;
    const fresh = region !== this.#shown;
    this.#shown = region;
    for (const which of /** @type {const} */ (["closes", "holds"])) {
      this.#region[which].visible = region !== null && this.regions;
      if (region && fresh) this.#region[which].reshape(smooth(region[which]));
    }
  }

  /** Notes what is to be in the picture. @param {wire.Drawing} drawing */
  #frame(drawing) {
    const box = this.#box.makeEmpty();
    this.#held = drawing.path.map((p) => new THREE.Vector3(...p.at));
    for (const { pose } of drawing.conductors) this.#held.push(new THREE.Vector3(...pose.at));
    for (const place of this.#held) box.expandByPoint(place);
    for (const { path, table, body } of bodies(drawing)) {
      const object = this.#bodies.get(path)?.object;
      if ((table === "steel" && !body.moves) || !object) continue;
      object.updateMatrixWorld(true);
      const own = new THREE.Box3().setFromObject(object);
      box.union(own);
      for (let k = 0; k < 8; k += 1) {
        this.#held.push(new THREE.Vector3(k & 1 ? own.max.x : own.min.x, k & 2 ? own.max.y : own.min.y, k & 4 ? own.max.z : own.min.z));
      }
    }
    // What stands near these: motors, and of a region that goes on to where nothing was looked at its near side.
    const about = box.clone().expandByScalar(this.#reach());
    const hold = (/** @type {THREE.Vector3} */ place) => about.containsPoint(place) && this.#held.push(place);
    for (const { pose } of drawing.motors) hold(new THREE.Vector3(...pose.at));
    const points = this.regions ? (this.#shown?.closes.points ?? []) : [];
    const step = 3 * Math.ceil(points.length / 3 / 500);
    for (let k = 0; k + 2 < points.length; k += step) hold(new THREE.Vector3(points[k], points[k + 1], points[k + 2]));
  }

  /** How far from the bodies and the path something still belongs into the picture, mm. */
  #reach() {
    return Math.max(20, ...this.#box.getSize(new THREE.Vector3()).toArray());
  }

  /** The section: everything on the camera's side of the plan's plane is taken away. @param {State} state */
  #cut(state) {
    const axis = CUT[state.view.plane];
    const offset = state.view.offset ?? state.cut ?? 0;
    const near = this.#camera.position.getComponent(axis) > offset ? -1 : 1;
    this.#plane.normal.set(0, 0, 0).setComponent(axis, near);
    this.#plane.constant = -near * offset;
    const planes = this.section ? [this.#plane] : [];
    for (const material of [this.inks.steel, this.inks.closes, this.inks.holds]) material.clippingPlanes = planes;
    const middle = this.#box.getCenter(new THREE.Vector3());
    const size = 4 * Math.max(60, ...this.#box.getSize(new THREE.Vector3()).toArray());
    this.#scene.traverse((object) => {
      if (!(object instanceof Cuttable)) return;
      object.cut.visible = this.section;
      if (!this.section) return;
      // The face stands still while its body moves: laid in the world, seen from the body.
      const inverse = object.matrixWorld.clone().invert();
      const local = this.#plane.clone().applyMatrix4(inverse);
      object.lay(local, /** @type {wire.Triple} */ (middle.clone().applyMatrix4(inverse).toArray()), size);
    });
  }

  paint() {
    const { renderer, above } = this;
    this.#lamp.target.position.copy(this.controls.target);
    this.#lamp.target.updateMatrixWorld();
    renderer.render(this.#scene, this.#camera);
    above.clear();
    const at = (/** @type {wire.Triple} */ p) => {
      const v = new THREE.Vector3(...p).project(this.#camera);
      return /** @type {[number, number]} */ ([(v.x + 1) / 2 * above.width, (1 - v.y) / 2 * above.height]);
    };
    const places = this.#names.map(({ at: place }) => at(place));
    const heights = spread(places.map(([, y]) => y - 12), places.map(() => 15), 12, above.height - 4);
    this.#names.forEach(({ name }, k) => {
      const left = places[k][0] + 16 + above.measure(name, { bold: true }) > above.width;
      above.text(name, [places[k][0] + (left ? -12 : 12), heights[k]], { bold: true, halo: true, anchor: left ? "end" : "start" });
    });
    this.#triad();
  }

  /** The world's axes in the corner. */
  #triad() {
    const { above } = this;
    const inverse = this.#camera.matrixWorldInverse;
    const origin = /** @type {[number, number]} */ ([34, above.height - 34]);
    [0, 1, 2].map((k) => {
      const way = new THREE.Vector3().setComponent(k, 1).transformDirection(inverse);
      return { k, way };
    }).sort((a, b) => a.way.z - b.way.z).forEach(({ k, way }) => {
      const tip = /** @type {[number, number]} */ ([origin[0] + 22 * way.x, origin[1] - 22 * way.y]);
      const size = Math.hypot(way.x, way.y);
      above.line(origin, tip, "ink", 1);
      if (size > 0.2) above.arrowhead(tip, [way.x, -way.y], 6);
      above.text(AXIS[k], [origin[0] + 30 * way.x, origin[1] - 30 * way.y + 4], { anchor: "middle", halo: true });
    });
  }
}
