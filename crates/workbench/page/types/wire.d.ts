// Every message between page and server, and what they carry.

export type Triple = [number, number, number];
export type Rows = [Triple, Triple, Triple];

/** Where a body is: its origin, mm, and the rows of the rotation matrix, world from body. */
export interface Pose { at: Triple; rows: Rows }

export type Plane = "xy" | "xz" | "yz";

export interface Move { body: string; at: Triple; turn: Triple }

export type FromPage =
  | { say: "open"; file?: string; template?: string; example?: string; unsaved?: string }
  | { say: "text"; rev: number; text: string }
  | { say: "set"; rev: number; path: string; value: string | null; raw?: boolean }
  | { say: "add"; rev: number; table: string }
  | { say: "remove"; rev: number; path: string }
  | ({ say: "drag"; rev: number; seq: number } & Move)
  | ({ say: "drop"; rev: number } & Move)
  | ({ say: "view" } & View)
  | { say: "forget"; unsaved: string }
  | { say: "save"; rev: number; over?: boolean; as?: string };

export interface View {
  plane: Plane;
  offset: number | null;
  /** Left, right, bottom, top, mm; null frames contact and path. */
  extent: [number, number, number, number] | null;
  cells: [number, number];
  contact: number;
  map: boolean;
}

export type ToPage =
  | { say: "opened"; session: string; file: string | null; name: string; text: string; saved: string | null;
      recovered: boolean }
  | { say: "patch"; rev: number; changes: Change[]; why: string }
  | ({ say: "design" } & DesignState)
  | { say: "live"; rev: number; seq: number | null; glance: Glance }
  | { say: "answer"; rev: number; answer: Answer }
  | { say: "progress"; rev: number; what: string; done: number; of: number }
  | { say: "saved"; rev: number; file: string }
  | { say: "conflict"; text: string | null }
  | { say: "outside"; text: string | null }
  | { say: "fault"; rev: number | null; message: string };

export interface Change { from: number; to: number; insert: string }

export interface DesignState {
  rev: number;
  diagnostics: Mark[];
  form: Section[] | null;
  drawing: Drawing | null;
  title: string | null;
}

export interface Mark {
  severity: "error" | "warning";
  code: string;
  message: string;
  label: string;
  help: string | null;
  from: number;
  to: number;
  line: number;
}

export interface Section {
  table: string;
  name: string | null;
  path: string;
  summary: string;
  removable: boolean;
  line: number | null;
  fields: Field[];
}

export interface Field {
  path: string;
  key: string;
  text: string | null;
  kind: "quantity" | "choice" | "text" | "number" | "list";
  choices: string[] | null;
  default: string | null;
  required: boolean;
  unit: string | null;
  limits: [string, string] | null;
  meaning: string;
  example: string;
  source: string | null;
  note: string | null;
  line: number | null;
}

export interface Drawing {
  contacts: Contact[];
  magnets: Magnet[];
  coils: Coil[];
  steel: Steel[];
  path: { coordinate: number; at: Triple; turned?: Rows | null }[];
}

/** Its frame has x along the axis, z along the gap normal, the origin in the gap. */
export interface Contact {
  name: string;
  pose: Pose;
  lead_diameter: number;
  overall_length: number;
  blade_span: number;
  blade_width: number;
  blade_thickness: number;
  overlap: number;
  gap: number;
  glass: [number, number] | null;
  moves: boolean;
}

export type Solid =
  | { kind: "box"; centre: Triple; size: Triple }
  | { kind: "round"; outer_diameter: number; inner_diameter: number; length: number }
  | { kind: "sphere"; diameter: number }
  | { kind: "mesh"; triangles: number[] };

export interface Magnet {
  name: string;
  shape: Solid;
  pose: Pose;
  pose_end: Pose;
  direction: Triple;
  moves: boolean;
}

/** Axis z of its frame. */
export interface Coil {
  name: string;
  pose: Pose;
  length: number;
  inner_diameter: number;
  outer_diameter: number;
  moves: boolean;
}

export interface Steel {
  name: string;
  parts: Solid[];
  pose: Pose;
  pose_end: Pose;
  moves: boolean;
}

export interface Glance {
  unit: string;
  contacts: ContactGlance[];
  drawing: Drawing;
}

export interface ContactGlance {
  name: string;
  coordinate: number[];
  drive_open: number[];
  drive_closed: number[];
  operate: Triple;
  release: Triple;
  events: EventGlance[];
  closed_at_start: boolean;
}

export interface EventGlance { kind: EventKind; pass: Direction; at: number; lobe: number; main_lobe: boolean }

/** Stands at the head of a map's frame; the grids follow row by row from the bottom. */
export interface MapHeader {
  say: "map";
  rev: number;
  seq: number | null;
  coarse: boolean;
  plane: Plane;
  offset: number;
  across: [number, number, number];
  up: [number, number, number];
  operate: Triple;
  release: Triple;
  moves: string;
  contact: string;
}

/** Stands at the head of a region's frame; for each surface its points and its triangles follow. */
export interface RegionHeader {
  say: "region";
  rev: number;
  moves: string;
  contact: string;
  /** How many points and triangles. */
  closes: [number, number];
  holds: [number, number];
}

export type Verdict = "met" | "at_risk" | "missed";
export type EventKind = "operate" | "release";
export type Direction = "forward" | "back";

export interface Band { value: number | null; low: number; high: number; unit: string }

export interface Answer {
  format: number;
  title: string;
  verdict: Verdict | null;
  sweep: { kind: string; coordinate: string; unit: string; from: number; to: number; moves: string[] };
  contacts: ContactAnswer[];
  magnets: MagnetAnswer[];
  demands: DemandAnswer[];
  steel: SteelAnswer | null;
  warnings: { code: string; message: string; help: string }[];
  quantities: QuantityAnswer[];
  models: { model: string; accuracy: string; references: string[] }[];
  provenance: {
    version: string; design: string; design_sha256: string; seed: number; references: string[]; scenes: number;
  };
}

export interface ContactAnswer {
  name: string;
  family: string | null;
  operate_mT: Band;
  release_mT: Band;
  conversions: { arrangement: string; operate: Band; release: Band }[];
  events: Event[];
  closed: { direction: Direction; from: number; to: number }[];
  closed_at_start: boolean;
  differential: number | null;
  trace: TraceRow[];
  strongest: {
    at: number; unit: string; overdrive: number; force_mN: number; blade_peak_T: number; blade_peak_at_mm: number;
    taken_by_saturation_percent: number;
  } | null;
}

export interface Event {
  kind: EventKind;
  direction: Direction;
  at: Band;
  lobe: number;
  main_lobe: boolean;
  in_every_unit: boolean;
  monotone: boolean;
  drivers: { path: string; at_low: number; at_high: number }[];
}

export interface TraceRow {
  coordinate: number;
  drive_open_mT: number;
  drive_closed_mT: number;
  drive_open_low_mT: number;
  drive_open_high_mT: number;
}

export interface DemandAnswer {
  contact: string;
  text: string;
  verdict: Verdict;
  margin_nominal: number | null;
  margin_worst: number | null;
  unit: string;
  share: { met: number; of: number; low: number; high: number } | null;
  reason: string;
  line: number;
}

export interface QuantityAnswer {
  path: string;
  text: string;
  source: string | null;
  note: string | null;
  toleranced: boolean;
  line: number;
}

export interface MagnetAnswer {
  name: string;
  grade: string;
  states: {
    temperature_C: number; beyond_knee_percent: number; loss_percent: number; worst: { knee_margin_percent: number };
  }[];
  critical: number;
}

export interface SteelAnswer {
  events: {
    contact: string; kind: EventKind; direction: Direction; with: number | null; without: number | null;
    shift: number | null; unit: string;
  }[];
  bodies: { name: string; alloy: string | null; permeability: number; panels: number; peak_T: number;
    peak_at: number; saturation_T: number | null; saturated_percent: number | null }[];
  panels: number;
  discretisation_percent: number;
}
