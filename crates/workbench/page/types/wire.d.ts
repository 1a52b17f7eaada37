// Every message between page and server, and what they carry.

export type Triple = [number, number, number];
export type Rows = [Triple, Triple, Triple];

/** Where a body is: its origin, mm, and the rows of the rotation matrix, world from body. */
export interface Pose { at: Triple; rows: Rows }

export type Plane = "xz" | "yz" | "xy";

export type ToServer =
  | { say: "open"; file: string }
  | { say: "open"; template: string }
  | { say: "open"; example: string }
  | { say: "text"; rev: number; text: string }
  | { say: "set"; rev: number; path: string; value: string; raw?: boolean }
  | { say: "add"; rev: number; table: string }
  | { say: "remove"; rev: number; path: string }
  | { say: "drag"; rev: number; seq: number; body: string; at: Triple; turn?: Triple }
  | { say: "drop"; rev: number; body: string; at: Triple; turn?: Triple }
  | { say: "view" } & View
  | { say: "save"; rev: number; over: boolean };

export interface View {
  plane: Plane;
  offset: number | null;
  extent: { across: [number, number]; up: [number, number] } | null;
  cells: [number, number];
  contact: number;
  map: boolean;
}

export type FromServer =
  | { say: "opened"; session: string; file: string | null; text: string; recovered: boolean }
  | { say: "patch"; rev: number; changes: TextChange[]; why: string }
  | ({ say: "design" } & DesignState)
  | { say: "live"; rev: number; seq: number | null; glance: Glance }
  | { say: "answer"; rev: number; answer: Answer }
  | { say: "progress"; rev: number; what: string; done: number; of: number }
  | { say: "saved"; rev: number }
  | { say: "conflict"; text: string }
  | { say: "outside"; text: string }
  | { say: "fault"; message: string };

export interface TextChange { from: number; to: number; insert: string }

export interface DesignState {
  rev: number;
  title: string;
  diagnostics: Diagnostic[];
  form: FormTable[] | null;
  drawing: Drawing | null;
}

export interface Diagnostic {
  severity: "error" | "warning";
  code: string;
  message: string;
  help: string | null;
  from: number;
  to: number;
  line: number;
}

export interface FormTable {
  table: string;
  name: string | null;
  path: string;
  summary: string;
  fields: FormField[];
}

export interface FormField {
  path: string;
  key: string;
  text: string | null;
  kind: "quantity" | "choice" | "text" | "flag" | "list" | "number";
  choices: string[] | null;
  default: string | null;
  unit: string | null;
  meaning: string;
  example: string;
  source: "measured" | "supplier" | "standard" | "guess" | null;
  line: number | null;
}

export interface Drawing {
  contacts: ContactOutline[];
  magnets: MagnetOutline[];
  coils: CoilOutline[];
  steel: SteelOutline[];
  path: { coordinate: number; at: Triple }[];
}

export interface ContactOutline {
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

export type MagnetShape =
  | { kind: "cuboid"; half_size: Triple }
  | { kind: "cylinder"; radius: number; half_length: number }
  | { kind: "ring"; inner_radius: number; outer_radius: number; half_length: number }
  | { kind: "sphere"; radius: number };

export interface MagnetOutline {
  name: string;
  shape: MagnetShape;
  pose: Pose;
  end: Pose;
  direction: Triple;
  moves: boolean;
}

export interface CoilOutline {
  name: string;
  pose: Pose;
  length: number;
  inner_diameter: number;
  outer_diameter: number;
  moves: boolean;
}

export type SteelPart =
  | { kind: "box"; centre: Triple; half_size: Triple }
  | { kind: "round"; outer_radius: number; inner_radius: number; half_length: number }
  | { kind: "sphere"; radius: number }
  | { kind: "mesh"; triangles: [Triple, Triple, Triple][] };

export interface SteelOutline {
  name: string;
  parts: SteelPart[];
  pose: Pose;
  end: Pose;
  moves: boolean;
}

export interface Glance {
  unit: string;
  coordinate: number[];
  contacts: GlanceContact[];
  drawing: Drawing;
}

export interface GlanceContact {
  name: string;
  forward_open: number[];
  forward_closed: number[];
  back_open: number[];
  back_closed: number[];
  events: { kind: EventKind; pass: Direction; at: number }[];
  operate: number;
  release: number;
}

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

/** Row-major from the bottom; drives in mT, room in mT. */
export interface MapGrids {
  header: MapHeader;
  driveOpen: Float32Array;
  driveClosed: Float32Array;
  room: Float32Array;
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
  states: { temperature_C: number; beyond_knee_percent: number; loss_percent: number }[];
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
