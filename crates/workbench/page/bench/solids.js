// Bodies in space, made for three.js: contacts with glass and blades, magnets with their direction, coils,
// steel, and the surfaces of the regions. Lengths in mm.

/** @import { Conductor, Contact, Coil, Magnet, Pose, Solid, Steel, Triple } from "../types/wire.js" */
/** @import { Surface } from "../store.js" */

import * as THREE from "three";

/** The narrowest gap that still reads as one, mm. */
const LEAST_GAP = 0.4;
/** Radius of a motor's sign: how large one is, nobody states, mm. */
const MOTOR = 6;
/** Edges of faces that meet at more than this are drawn, degrees. */
const CREASE = 25;
/** Tiles of hatching on steel's skin and on faces of a section, mm. */
const SKIN = 12;
const FACE = 5;

/** @param {THREE.Object3D} object @param {Pose} pose */
export function put(object, { at, rows }) {
  object.matrixAutoUpdate = false;
  object.matrix.set(
    rows[0][0], rows[0][1], rows[0][2], at[0],
    rows[1][0], rows[1][1], rows[1][2], at[1],
    rows[2][0], rows[2][1], rows[2][2], at[2],
    0, 0, 0, 1,
  );
  object.matrixWorldNeedsUpdate = true;
}

/** Frees what an object holds. @param {THREE.Object3D} object */
export function dispose(object) {
  object.traverse((part) => {
    if (part instanceof THREE.Mesh || part instanceof THREE.LineSegments || part instanceof THREE.Line) part.geometry.dispose();
  });
  object.removeFromParent();
}

/** The materials of the drawing office, recoloured when paper turns to board. */
export class Inks {
  paper = new THREE.MeshLambertMaterial({ side: THREE.DoubleSide });
  ink = new THREE.MeshBasicMaterial();
  line = new THREE.LineBasicMaterial();
  hair = new THREE.LineBasicMaterial({ transparent: true, opacity: 0.45 });
  /** Arrows of magnetisation: seen through everything. */
  arrow = new THREE.MeshBasicMaterial({ depthTest: false, transparent: true });
  magnet = new THREE.MeshLambertMaterial({ transparent: true, opacity: 0.86 });
  chosen = new THREE.LineBasicMaterial();
  glass = rim(0.05, 0.55);
  closes = rim(0.1, 0.42);
  holds = rim(0.03, 0.24);
  steel = new THREE.MeshLambertMaterial({ side: THREE.DoubleSide });
  /** Faces of a section. */
  cutCloses = cutFace();
  cutHolds = cutFace();
  cutSteel = cutFace();

  /** @param {(name: "paper" | "ink" | "met" | "drive" | "faded") => string} tone */
  colour(tone) {
    const of = (/** @type {"paper" | "ink" | "met" | "drive" | "faded"} */ name) => new THREE.Color().setStyle(tone(name));
    const [paper, ink, met] = [of("paper"), of("ink"), of("met")];
    for (const material of [this.paper, this.magnet]) material.color = paper;
    for (const material of [this.ink, this.line, this.hair, this.arrow]) material.color = ink;
    this.chosen.color = of("drive");
    for (const [material, colour] of /** @type {[THREE.ShaderMaterial, THREE.Color][]} */ ([[this.glass, ink], [this.closes, met], [this.holds, met]])) {
      material.uniforms.tone.value = colour;
    }
    const hatches = /** @type {const} */ ([[this.steel, "ink", 0.04, 0.2], [this.cutSteel, "ink", 0, 0.9], [this.cutCloses, "met", 0.18, 1], [this.cutHolds, "met", 0.08, 0]]);
    for (const [material, name, tint, lines] of hatches) {
      material.map?.dispose();
      material.map = hatching(tone("paper"), tone(name), tint, lines);
      material.needsUpdate = true;
    }
  }
}

/** The face of a section: painted where a body is cut. */
function cutFace() {
  const keep = THREE.ReplaceStencilOp;
  return new THREE.MeshBasicMaterial({
    side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1, stencilWrite: true, stencilRef: 0, stencilFunc: THREE.NotEqualStencilFunc,
    stencilFail: keep, stencilZFail: keep, stencilZPass: keep,
  });
}

/** Pale where one looks through it squarely, stronger towards its rim. @param {number} middle @param {number} edge */
function rim(middle, edge) {
  return new THREE.ShaderMaterial({
    transparent: true, depthWrite: false, side: THREE.DoubleSide, clipping: true,
    uniforms: { tone: { value: new THREE.Color() }, middle: { value: middle }, edge: { value: edge } },
    vertexShader: `
      #include <clipping_planes_pars_vertex>
      varying vec3 facing;
      void main() {
        facing = normalMatrix * normal;
        vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
        #include <clipping_planes_vertex>
        gl_Position = projectionMatrix * mvPosition;
      }`,
    fragmentShader: `
      #include <clipping_planes_pars_fragment>
      uniform vec3 tone;
      uniform float middle, edge;
      varying vec3 facing;
      void main() {
        #include <clipping_planes_fragment>
        float square = abs(normalize(facing).z);
        gl_FragColor = vec4(tone, mix(edge, middle, pow(square, 0.6)));
        #include <colorspace_fragment>
      }`,
  });
}

/** Section lines at 45°, two to a tile. @param {string} paper @param {string} tone @param {number} tint @param {number} lines */
function hatching(paper, tone, tint, lines) {
  const size = 64;
  const tile = new OffscreenCanvas(size, size);
  const ink = /** @type {OffscreenCanvasRenderingContext2D} */ (tile.getContext("2d"));
  ink.fillStyle = paper;
  ink.fillRect(0, 0, size, size);
  ink.fillStyle = ink.strokeStyle = tone;
  ink.globalAlpha = tint;
  ink.fillRect(0, 0, size, size);
  ink.globalAlpha = lines;
  ink.lineWidth = 3;
  for (const shift of [-size / 2, 0, size / 2, size]) {
    ink.beginPath();
    ink.moveTo(shift - size, size);
    ink.lineTo(shift + size, -size);
    ink.moveTo(shift - size / 2, size * 1.5);
    ink.lineTo(shift + size * 1.5, -size / 2);
    ink.stroke();
  }
  const texture = new THREE.CanvasTexture(tile);
  texture.wrapS = texture.wrapT = THREE.RepeatWrapping;
  texture.colorSpace = THREE.SRGBColorSpace;
  texture.anisotropy = 4;
  return texture;
}

/** Texture coordinates in mm, each triangle along the axes its face lies nearest to. @param {THREE.BufferGeometry} made @returns {THREE.BufferGeometry} */
function ruled(made) {
  const flat = made.index ? made.toNonIndexed() : made;
  flat.computeVertexNormals();
  const [place, facing] = [flat.getAttribute("position"), flat.getAttribute("normal")];
  const uv = new Float32Array(2 * place.count);
  for (let i = 0; i < place.count; i += 1) {
    const n = [facing.getX(i), facing.getY(i), facing.getZ(i)].map(Math.abs);
    const p = [place.getX(i), place.getY(i), place.getZ(i)];
    const through = n.indexOf(Math.max(...n));
    uv[2 * i] = p[(through + 1) % 3] / SKIN;
    uv[2 * i + 1] = p[(through + 2) % 3] / SKIN;
  }
  flat.setAttribute("uv", new THREE.BufferAttribute(uv, 2));
  return flat;
}

/** @param {Solid} solid @returns {THREE.BufferGeometry} */
function geometry(solid) {
  switch (solid.kind) {
    case "box":
      return new THREE.BoxGeometry(...solid.size).translate(...solid.centre);
    case "round": {
      const [outer, inner, half] = [solid.outer_diameter / 2, solid.inner_diameter / 2, solid.length / 2];
      if (inner === 0) return new THREE.CylinderGeometry(outer, outer, solid.length, 48).rotateX(Math.PI / 2);
      const section = [[inner, -half], [outer, -half], [outer, half], [inner, half], [inner, -half]].map(([r, z]) => new THREE.Vector2(r, z));
      return new THREE.LatheGeometry(section, 48).rotateX(Math.PI / 2);
    }
    case "sphere":
      return new THREE.SphereGeometry(solid.diameter / 2, 40, 24);
    case "mesh": {
      const made = new THREE.BufferGeometry();
      made.setAttribute("position", new THREE.Float32BufferAttribute(solid.triangles, 3));
      made.computeVertexNormals();
      return made;
    }
  }
}

/** @param {THREE.BufferGeometry} of @param {THREE.Material} with_ */
const edges = (of, with_) => new THREE.LineSegments(new THREE.EdgesGeometry(of, CREASE), with_);

/** @param {number} radius @param {number} length @param {THREE.Material} with_ */
const rod = (radius, length, with_) => new THREE.Mesh(new THREE.CylinderGeometry(radius, radius, length, 20).rotateZ(Math.PI / 2), with_);

/** A magnet with one bold arrow through it. @param {Magnet} magnet @param {Inks} inks */
export function magnetSolid(magnet, inks) {
  const group = new THREE.Group();
  const shape = geometry(magnet.shape);
  const body = new THREE.Mesh(shape, inks.magnet);
  group.add(body, edges(shape, inks.line));
  shape.computeBoundingSphere();
  shape.computeBoundingBox();
  const way = new THREE.Vector3(...magnet.direction);
  const box = /** @type {THREE.Box3} */ (shape.boundingBox);
  const half = box.getSize(new THREE.Vector3()).multiplyScalar(0.5);
  const reach = Math.abs(way.x) * half.x + Math.abs(way.y) * half.y + Math.abs(way.z) * half.z;
  const thick = Math.min(half.x, half.y, half.z) * 0.22;
  const head = thick * 5;
  const [tail, neck] = [-reach * 1.15, reach * 1.15];
  const shaft = new THREE.Mesh(new THREE.CylinderGeometry(thick, thick, neck - tail, 16).translate(0, (neck + tail) / 2, 0), inks.arrow);
  const tip = new THREE.Mesh(new THREE.ConeGeometry(thick * 2.4, head, 24).translate(0, neck + head / 2, 0), inks.arrow);
  const arrow = new THREE.Group().add(shaft, tip);
  shaft.renderOrder = tip.renderOrder = 8;
  arrow.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), way);
  group.add(arrow);
  return group;
}

/** @param {Coil} coil @param {Inks} inks */
export function coilSolid(coil, inks) {
  const group = new THREE.Group();
  const outer = Math.max(coil.outer_diameter, coil.inner_diameter + 0.2);
  const shape = geometry({ kind: "round", outer_diameter: outer, inner_diameter: coil.inner_diameter, length: coil.length });
  group.add(new THREE.Mesh(shape, inks.glass), edges(shape, inks.line));
  const turns = Math.min(40, Math.max(4, Math.round(coil.length / 0.8)));
  for (let k = 0; k < turns; k += 1) {
    const circle = new THREE.Path().absarc(0, 0, outer / 2, 0, 2 * Math.PI).getPoints(48).map((p) => new THREE.Vector3(p.x, p.y, ((k + 0.5) / turns - 0.5) * coil.length));
    group.add(new THREE.Line(new THREE.BufferGeometry().setFromPoints(circle), inks.hair));
  }
  return group;
}

/** A conductor as far as it is long, or across the picture, with a cone along a positive current. @param {Conductor} conductor @param {number} reach  of the picture, mm @param {Inks} inks */
export function conductorSolid(conductor, reach, inks) {
  const group = new THREE.Group();
  const long = Math.min(conductor.length ?? Infinity, 3 * reach);
  const shape = geometry({ kind: "round", outer_diameter: conductor.diameter, inner_diameter: 0, length: long });
  group.add(new THREE.Mesh(shape, inks.paper), edges(shape, inks.line));
  const [wide, high] = [conductor.diameter * 0.9, conductor.diameter * 2.2];
  const tip = new THREE.ConeGeometry(wide, high, 20).rotateX(Math.PI / 2);
  group.add(new THREE.Mesh(tip, inks.ink));
  return group;
}

/** A motor: a wire sphere of no certain size with an arrow along its dipole. @param {Inks} inks */
export function motorSolid(inks) {
  const group = new THREE.Group();
  group.add(new THREE.LineSegments(new THREE.EdgesGeometry(new THREE.SphereGeometry(MOTOR, 12, 8), 1), inks.hair));
  group.add(new THREE.Mesh(new THREE.CylinderGeometry(0.1 * MOTOR, 0.1 * MOTOR, 1.4 * MOTOR, 16).rotateX(Math.PI / 2), inks.ink));
  group.add(new THREE.Mesh(new THREE.ConeGeometry(0.3 * MOTOR, 0.8 * MOTOR, 20).rotateX(Math.PI / 2).translate(0, 0, 0.9 * MOTOR), inks.ink));
  return group;
}

/** Shape of a body of steel, all parts in one, ruled for hatching. @param {Steel} steel @returns {THREE.BufferGeometry[]} */
export const steelShapes = (steel) => steel.parts.map((part) => ruled(geometry(part)));

/** A chain line through points. @param {THREE.Vector3[]} points */
export function chain(points) {
  /** @type {THREE.Vector3[]} */
  const ends = [];
  const pattern = [6, 1.4, 1, 1.4];
  let [part, left] = [0, pattern[0]];
  for (let k = 0; k + 1 < points.length; k += 1) {
    const [a, b] = [points[k], points[k + 1]];
    const whole = a.distanceTo(b);
    for (let gone = 0; gone < whole - 1e-9;) {
      const step = Math.min(left, whole - gone);
      if (part % 2 === 0) ends.push(a.clone().lerp(b, gone / whole), a.clone().lerp(b, (gone + step) / whole));
      gone += step;
      left -= step;
      if (left < 1e-9) {
        part = (part + 1) % pattern.length;
        left = pattern[part];
      }
    }
  }
  return new THREE.BufferGeometry().setFromPoints(ends);
}

/** A contact; its blades swing. */
export class ContactSolid extends THREE.Group {
  /** @type {THREE.Group[]} */
  #blades = [];

  /** @param {Contact} contact @param {Inks} inks */
  constructor(contact, inks) {
    super();
    const span = contact.blade_span / 2;
    const lead = (contact.overall_length - contact.blade_span) / 2;
    const gap = Math.max(LEAST_GAP, contact.gap);
    const root = (contact.blade_thickness + gap) / 2;
    const reach = span + contact.overlap / 2;
    /** How far a blade turns to touch. */
    this.swing = gap / 2 / reach;
    for (const side of [-1, 1]) {
      const wire = rod(contact.lead_diameter / 2, lead, inks.ink);
      wire.position.x = side * (span + lead / 2);
      // A blade turns about its root, where it leaves the lead.
      const blade = new THREE.Group();
      const bar = new THREE.Mesh(new THREE.BoxGeometry(reach, contact.blade_width, contact.blade_thickness), inks.ink);
      bar.position.x = -side * reach / 2;
      blade.add(bar);
      blade.position.set(side * span, 0, side * root);
      this.#blades.push(blade);
      this.add(wire, blade);
    }
    if (contact.glass) {
      const [length, diameter] = contact.glass;
      const shell = new THREE.CapsuleGeometry(diameter / 2, Math.max(0, length - diameter), 12, 40).rotateZ(Math.PI / 2);
      const glass = new THREE.Mesh(shell, inks.glass);
      glass.renderOrder = 6;
      this.add(glass);
    }
  }

  /** @param {number} closed  0 to 1 */
  close(closed) {
    // Both tips go towards the middle: each blade turns so that its free end does.
    for (const blade of this.#blades) blade.rotation.y = -closed * this.swing;
  }
}

/** A surface with the normals of a smooth one. @param {Surface} surface */
export function smooth({ points, corners: triangles }) {
  const made = new THREE.BufferGeometry();
  made.setAttribute("position", new THREE.BufferAttribute(points, 3));
  made.setIndex(new THREE.BufferAttribute(triangles, 1));
  made.computeVertexNormals();
  return made;
}

/**
 * What may be cut by a plane: the surface, and the face of the cut, found by counting in the stencil how
 * often one looks into a body and out of it.
 */
export class Cuttable extends THREE.Group {
  /** @param {THREE.BufferGeometry} shape @param {THREE.Material} skin @param {THREE.Material} face @param {THREE.Plane} plane @param {number} order @param {THREE.Material | null} line */
  constructor(shape, skin, face, plane, order, line) {
    super();
    this.skin = new THREE.Mesh(shape, skin);
    this.skin.renderOrder = order + 1;
    this.add(this.skin);
    if (line) this.add(edges(shape, line));
    const count = (/** @type {THREE.Side} */ side, /** @type {THREE.StencilOp} */ how) => {
      const mesh = new THREE.Mesh(shape, new THREE.MeshBasicMaterial({
        side, colorWrite: false, depthWrite: false, depthTest: false, clippingPlanes: [plane],
        stencilWrite: true, stencilFunc: THREE.AlwaysStencilFunc, stencilFail: how, stencilZFail: how, stencilZPass: how,
      }));
      mesh.renderOrder = order;
      return mesh;
    };
    this.cut = new THREE.Group().add(
      count(THREE.BackSide, THREE.IncrementWrapStencilOp), count(THREE.FrontSide, THREE.DecrementWrapStencilOp),
    );
    this.face = new THREE.Mesh(new THREE.PlaneGeometry(1, 1), face);
    this.face.renderOrder = order + 0.5;
    this.face.onAfterRender = (renderer) => renderer.clearStencil();
    this.cut.add(this.face);
    this.add(this.cut);
    this.cut.visible = false;
  }

  /** Takes another surface. @param {THREE.BufferGeometry} shape */
  reshape(shape) {
    this.skin.geometry.dispose();
    for (const mesh of [this.skin, ...this.cut.children.slice(0, 2)]) /** @type {THREE.Mesh} */ (mesh).geometry = shape;
  }

  /** Lays the face of the cut into the plane, `size` mm wide about `centre`. @param {THREE.Plane} plane @param {Triple} centre @param {number} size */
  lay(plane, centre, size) {
    const { face } = this;
    face.quaternion.setFromUnitVectors(new THREE.Vector3(0, 0, 1), plane.normal);
    plane.projectPoint(new THREE.Vector3(...centre), face.position);
    face.scale.set(size, size, 1);
    const uv = face.geometry.getAttribute("uv");
    const reach = size / FACE;
    uv.setXY(0, 0, reach);
    uv.setXY(1, reach, reach);
    uv.setXY(2, 0, 0);
    uv.setXY(3, reach, 0);
    uv.needsUpdate = true;
  }
}
