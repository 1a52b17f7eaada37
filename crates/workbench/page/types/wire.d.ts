// Written by `cargo xtask types` from crates/workbench/tests/golden/wire.schema.json; not by hand.

/** x, y and z, or low, nominal and high. */
export type Triple = [number, number, number];

/** What the server says under one word. */
export type Said<K extends ToPage["say"]> = Extract<ToPage, { say: K }>;

/** The whole answer to `reedmace check`. */
export interface Answer {
  /** One entry per contact that states its construction. */
  construction: ConstructionAnswer[];
  /** One entry per contact, in the design's order. */
  contacts: ContactAnswer[];
  /** One entry per demand, in the design's order. */
  demands: DemandAnswer[];
  /** What is told of a door; `None` for a design without one. */
  door: DoorAnswer | null;
  /** Every figure that the nominal unit has, in the order of the design: what is told of a unit besides its events. */
  figures: FigureAnswer[];
  /** Version of this result format. */
  format: number;
  /** What holds contacts that remember; `None` for a design without such. */
  latch: LatchAnswer | null;
  /** What a level stem reads; `None` for another sweep. */
  level: LevelAnswer | null;
  /** Life of the contacts; `None` of a design that states nothing of it. */
  life: LifeAnswer | null;
  /** One entry per load, in the design's order. */
  loads: LoadAnswer[];
  /** One entry per magnet of a grade, in the design's order. */
  magnets: MagnetAnswer[];
  /** Which models made the numbers and how good they are. */
  models: ModelNote[];
  /** What made this answer, and from what. */
  provenance: Provenance;
  /** Every toleranced quantity of the design, with its limits and where it is from. */
  quantities: QuantityAnswer[];
  /** The relay; `None` for a design that states none, or whose contacts do not all operate and release. */
  relay: RelayAnswer | null;
  /** The wheel whose turning is counted; `None` for a design without one. */
  rotor: RotorAnswer | null;
  /** What the bodies of steel do; `None` for a design without any. */
  steel: SteelAnswer | null;
  /** What is swept, and from where to where. */
  sweep: SweepAnswer;
  /** Where a steel target is seen; `None` for a design without one. */
  target: TargetAnswer | null;
  /** How the relay's contacts close and open, where their alloy is known. */
  timing: TimingAnswer | null;
  /** The design's title. */
  title: string;
  /** The worst verdict over all demands; `None` when the design demands nothing. */
  verdict: Verdict | null;
  /** What the user should know before trusting or building this. */
  warnings: Warning[];
}

/** A nominal value and the lowest and highest any unit within tolerance shows. */
export interface Band {
  /** Highest over the tolerances. */
  high: number;
  /** Lowest over the tolerances. */
  low: number;
  /** Unit of all three, e.g. `mm`, `deg`, `AT`, `mT`. */
  unit: string;
  /** At nominal values of everything; `None` when the nominal unit does not have it. */
  value: number | null;
}

/** Which way a number lies of one that is told. */
export type Bound = "at_least" | "at_most";

/** A level at which the reading changes. */
export interface CalibrationAnswer {
  /** The same as it falls. */
  above_falling: StateAnswer;
  /** What is read above this level and below the next, as the level rises. */
  above_rising: StateAnswer;
  /** The contact that changes there; `None` at an end of the sweep. */
  contact: string | null;
  /** What it does. */
  kind: EventKind | null;
  /** The level, with its worst case; of an end of the sweep the level itself. */
  level: Band;
  /** It does so as the level rises, else as it falls. */
  rising: boolean;
  /** Volume below it, L; `None` without a tank. */
  volume_L: number | null;
}

/** An arrangement that was chosen, checked as `reedmace check` does. */
export interface Candidate {
  /** What it costs. */
  cost: number;
  /** Each demand, in the design's order. */
  demands: CandidateDemand[];
  /** Least room of all demands in the worst unit or, where a yield is asked, in the worst of the share that must meet them. `None` where no demand has an event to measure it to. */
  margin: number | null;
  /** Share of units that meet every demand, where a yield is asked. */
  share: Share | null;
  /** What was chosen, in the order of `free`. */
  values: ChosenValue[];
  /** The worst verdict over all demands. */
  verdict: Verdict;
  /** Codes of the warnings that its check gives. */
  warnings: string[];
}

/** One demand of a candidate. */
export interface CandidateDemand {
  /** The contact it is about. */
  contact: string;
  /** Room left at nominal; negative when missed. */
  margin_nominal: number | null;
  /** Room left in the worst unit; negative when missed there. */
  margin_worst: number | null;
  /** As the user wrote it. */
  text: string;
  /** Unit of both. */
  unit: string;
  /** How it stands. */
  verdict: Verdict;
}

/** A change of the text. */
export interface Change {
  /** First unit replaced. */
  from: number;
  /** What comes in its place. */
  insert: string;
  /** One past the last. */
  to: number;
}

/** The whole answer to `reedmace choose`. */
export interface ChooseAnswer {
  /** The best arrangements that meet all that is demanded, cheapest first. */
  candidates: Candidate[];
  /** Combinations of everything that is chosen from a list or in steps. */
  combinations: number;
  /** What is to be least: `price`, `mass` or `volume`. */
  cost: string;
  /** Unit of every cost; empty for a price, which is in whatever money the catalogue is in. */
  cost_unit: string;
  /** Version of this result format. */
  format: number;
  /** Combinations that meet all that is demanded, as far as they were tried. */
  found: number;
  /** What may be chosen, in the design's order. */
  free: FreeAnswer[];
  /** Cost against margin: arrangements tried of which none is both cheaper and better, by rising cost. */
  front: FrontPoint[];
  /** True when the search was stopped before its end. */
  interrupted: boolean;
  /** Why the others are not among the candidates, most first. */
  lost: Lost[];
  /** Unit of every margin: that of the sweep's coordinate. */
  margin_unit: string;
  /** Which models made the numbers and how good they are. */
  models: ModelNote[];
  /** Where nothing meets all that is demanded: what stands in the way. */
  obstacle: Obstacle | null;
  /** Every other arrangement tried that has a margin. */
  others: FrontPoint[];
  /** What the design costs as it stands; `None` where that is not known of all that may be chosen. */
  own_cost: number | null;
  /** What made this answer, and from what. */
  provenance: Provenance;
  /** The design's title. */
  title: string;
  /** Combinations whose best place was looked for. */
  tried: number;
  /** Share of units that must meet every demand, 0 to 1; `None` if every unit within tolerance must. */
  wanted: number | null;
}

/** A value that was chosen. */
export interface ChosenValue {
  /** Its path in the design. */
  path: string;
  /** As it stands in the design then, with its tolerance. */
  text: string;
}

/** A stretch of the sweep over which the contact is closed. */
export interface ClosedInterval {
  /** Which pass. */
  direction: Direction;
  /** Coordinate where it closes (or the pass starts closed). */
  from: number;
  /** Coordinate where it opens (or the pass ends closed). */
  to: number;
}

/** A coil: axis z of its frame. */
export interface Coil {
  /** Inner diameter, mm. */
  inner_diameter: number;
  /** Length, mm. */
  length: number;
  /** True when the sweep moves it. */
  moves: boolean;
  /** Name in the design. */
  name: string;
  /** Outer diameter, mm; equal to the inner one for a thin winding. */
  outer_diameter: number;
  /** Its frame where the sweep starts. */
  pose: Pose;
}

/** A straight conductor along z of its frame. */
export interface Conductor {
  /** Diameter, mm. */
  diameter: number;
  /** Length, mm; none for one far longer than all else. */
  length: number | null;
  /** Name in the design. */
  name: string;
  /** Its frame; a positive current runs along z. */
  pose: Pose;
}

/** A contact's construction: numbers with how sure they are, and what a micrometre is worth. */
export interface ConstructionAnswer {
  /** The contacts that are made so. */
  contacts: string[];
  /** What follows, in sentences. */
  findings: string[];
  /** Numbers, nominal dimensions throughout. */
  rows: ConstructionRow[];
  /** The nominal contact in its test coil; `None` where sensitivity is not stated in a coil. */
  spring: Sprung | null;
  /** What dimensions are worth in ampere-turns; empty where sensitivity is not stated in a coil. */
  worth: Worth[];
}

/** A number of a construction. */
export interface ConstructionRow {
  /** Highest. */
  high: number;
  /** Lowest, by what is not known of materials. */
  low: number;
  /** Where it is from and how sure it is. */
  source: string;
  /** Unit of the three. */
  unit: string;
  /** Likeliest value. */
  value: number;
  /** What it is: `gap capacitance`, where that `of` each contact is a figure too. */
  what: string;
}

/** A contact: its frame has x along the axis, z along the gap normal, the origin in the gap. */
export interface Contact {
  /** Round-to-flat transition to transition, mm. */
  blade_span: number;
  /** Blade thickness, mm. */
  blade_thickness: number;
  /** Blade width, mm. */
  blade_width: number;
  /** Gap, mm. */
  gap: number;
  /** Glass length and diameter, mm, if known. */
  glass: [number, number] | null;
  /** Lead diameter, mm. */
  lead_diameter: number;
  /** True when the sweep moves it. */
  moves: boolean;
  /** Name in the design. */
  name: string;
  /** Lead tip to lead tip, mm. */
  overall_length: number;
  /** Overlap of the blades, mm. */
  overlap: number;
  /** Its frame where the sweep starts. */
  pose: Pose;
}

/** One contact's answer. */
export interface ContactAnswer {
  /** Closed intervals of the forward and back pass, for the nominal unit. */
  closed: ClosedInterval[];
  /** True when the contact is already closed where the forward pass starts. */
  closed_at_start: boolean;
  /** Operate and release in every unit the trade uses. */
  conversions: Conversion[];
  /** Operate and release along the sweep, in the order they are met: forward, then back. */
  events: Event[];
  /** Catalogue family, if it was chosen from one. */
  family: string | null;
  /** Its form: `A` makes, `B` breaks when it operates, `C` is the normally open side of a change-over contact and `C, normally closed` the other. */
  form: string;
  /** The first of several equal contacts of one table, if it is another one of them. */
  like: string | null;
  /** Its name in the design. */
  name: string;
  /** Drive at which it operates, mT of equivalent uniform field. */
  operate_mT: Band;
  /** Drive at which it releases, mT of equivalent uniform field. */
  release_mT: Band;
  /** Where the drive is strongest, nominal unit, with the blades' saturation; `None` if the saturated circuit has no answer there, which a warning tells. */
  strongest: Strongest | null;
  /** Drive along the sweep. A table sweep gives one row per pose. */
  trace: TraceRow[];
}

/** One contact's nominal events and drive. */
export interface ContactGlance {
  /** True when the contact is already closed where the forward pass starts. */
  closed_at_start: boolean;
  /** Coordinates of the drives, along the forward pass. */
  coordinate: number[];
  /** Drive of the closed contact there, mT, signed. */
  drive_closed: number[];
  /** Drive of the open contact there, mT, signed. */
  drive_open: number[];
  /** In the order they are met: forward, then back. */
  events: EventGlance[];
  /** Its name. */
  name: string;
  /** Operate level: low, nominal, high, mT. */
  operate: Triple;
  /** Release level: low, nominal, high, mT. */
  release: Triple;
}

/** The same sensitivity said in another way. */
export interface Conversion {
  /** In words: `coil 25 mm long, 9.25 mm mean diameter`. */
  arrangement: string;
  /** Operate in that arrangement. */
  operate: Band;
  /** Release in that arrangement. */
  release: Band;
}

/** A point of a demagnetisation curve. */
export interface CurvePoint {
  /** Field along the polarization, kA/m; negative opposes. */
  h_kA_per_m: number;
  /** Polarization, T. */
  j_T: number;
}

/** Mean time to a dangerous failure, from the lower bound of B10 or a stated B10d. */
export interface DangerousAnswer {
  /** Operations by which a tenth has failed dangerously. */
  b10d: number;
  /** Mean time to a dangerous failure, years. */
  mttfd_years: number;
  /** Operations a year, nominal. */
  operations_per_year: number;
  /** Time of use within which that holds, years. */
  t10d_years: number;
}

/** How one demand stands. */
export interface DemandAnswer {
  /** The contact or the figure it is about. */
  contact: string;
  /** Line of the demand in the design file, from 1. */
  line: number;
  /** Room left at nominal, in `unit`; negative when missed. */
  margin_nominal: number | null;
  /** Which way the true room at nominal lies where what is looked at of a figure ended, and the room is to that end. */
  margin_nominal_bound: Bound | null;
  /** Room left in the worst unit, in `unit`; negative when missed there. */
  margin_worst: number | null;
  /** The same in the worst unit. */
  margin_worst_bound: Bound | null;
  /** Why, in a sentence. */
  reason: string;
  /** Share of sampled units that meet it, with its 95 % confidence interval. */
  share: Share | null;
  /** As the user wrote it: `closed <= 8 mm`, of a figure `<= 3 mm`. */
  text: string;
  /** Unit of the margins. */
  unit: string;
  /** The verdict. */
  verdict: Verdict;
}

/** One demand over the units. */
export interface DemandSpread {
  /** The contact or the figure it is about. */
  contact: string;
  /** What its room comes from, most first. */
  drivers: DriverShare[];
  /** What it comes from whether it is met: the same of the yes or no; empty where all units agree. */
  drivers_of_meeting: DriverShare[];
  /** Line of the demand in the design file, from 1. */
  line: number;
  /** Room left, in `unit`; negative where missed. `None` where no unit has an event to measure it to. */
  room: Distribution | null;
  /** Room in the worst corner of the tolerances. */
  room_worst_case: number | null;
  /** Share of units that meet it, with its 95 % interval. */
  share: Share;
  /** As the user wrote it. */
  text: string;
  /** What more units would tell, where these are few; `None` where they are enough to know the share of failures to within a tenth of itself, or below one in a million. */
  too_few: string | null;
  /** Unit of the room. */
  unit: string;
  /** Over all corners of the tolerances, not only the units sampled. */
  worst_case: Verdict;
  /** The unit that misses it by most, or meets it with the least room. */
  worst_unit: UnitAt | null;
}

/** Which way the sweep runs. */
export type Direction = "forward" | "back";

/** How a figure is spread over the units, in the unit that goes with it. */
export interface Distribution {
  /** Standard deviation, in K of what is told in °C. */
  deviation: number;
  /** Greatest value, and its unit. */
  greatest: UnitAt;
  /** Counts in equal bins. */
  histogram: HistogramAt;
  /** Least value, and its unit. */
  least: UnitAt;
  /** Mean. */
  mean: number;
  /** Quantiles, rising. */
  quantiles: QuantileAt[];
}

/** A door: what its contacts tell, and which outside magnets could pass for it. Nominal units throughout. */
export interface DoorAnswer {
  /** One entry per contact, in the design's order. */
  contacts: DoorContact[];
  /** The same with the door open, as far as the sweep goes: so it stands for the outsiders. */
  open_at: number;
  /** One entry per outside magnet. */
  outsiders: Outsider[];
  /** The sweep's coordinate with the door shut. */
  shut_at: number;
  /** Unit of the coordinate. */
  unit: string;
}

/** What a contact tells of the door. */
export interface DoorContact {
  /** Closed with the door open. */
  closed_when_open: boolean;
  /** Closed with the door shut. */
  closed_when_shut: boolean;
  /** Whether it comes back to that state by itself once a magnet that was brought near is gone, in words. */
  comes_back: string;
  /** Its name. */
  name: string;
  /** How far the drive with the door open lies beyond what that state needs, over all tolerances. */
  room: Band;
}

/** Where the drive comes nearest to a pulse too many. */
export interface DoubleAnswer {
  /** Angle, degrees. */
  at_deg: number;
  /** How far the drive stays from the level there, over the level, percent. */
  room_percent: number;
  /** A dip within a pulse, which would part it; else a top between two, which would add one. */
  within: boolean;
}

/** The arrangement at nominal values, mm. */
export interface Drawing {
  /** Coils that carry current, in the design's order. */
  coils: Coil[];
  /** Straight conductors, in the design's order. */
  conductors: Conductor[];
  /** Contacts, in the design's order. */
  contacts: Contact[];
  /** The float of a level sweep in its tank. */
  level: Level | null;
  /** Magnets, in the design's order. */
  magnets: Magnet[];
  /** Motors near by, in the design's order. */
  motors: Motor[];
  /** Path of what moves, its own middle, along the forward pass; empty if nothing moves. */
  path: PathPoint[];
  /** Bodies of steel, in the design's order. */
  steel: Steel[];
  /** What an arc or a spin turns. */
  turn: Turn | null;
}

/** How much one quantity moves an event or a figure. */
export interface Driver {
  /** Shift of it when the quantity goes to its high limit, all else nominal. */
  at_high: number;
  /** Shift of it when the quantity goes to its low limit, all else nominal. */
  at_low: number;
  /** Path of the quantity: `magnet[slug].size[1]`. */
  path: string;
}

/** Sobol indices of one quantity. */
export interface DriverShare {
  /** First order: the share of the variance that would go if this quantity were known. */
  first: number;
  /** Standard error of that. */
  first_error: number;
  /** Its line in the design file, from 1; 0 where the file does not state it. */
  line: number;
  /** What a doubtful estimate means; `None` where it stands out of its error. */
  note: string | null;
  /** Path of the quantity: `magnet[slug].size[1]`. */
  path: string;
  /** Total: the share that would stay if only this quantity were unknown. */
  total: number;
  /** Standard error of that. */
  total_error: number;
}

/** How units were evaluated, and how that was proven. */
export interface Evaluation {
  /** Units among them that had other events, or met other demands; their blocks were evaluated exactly. */
  disagreed: number;
  /** True when every unit's events were found on its true drive, false when by the model. */
  exact: boolean;
  /** Units of a study by the model that were evaluated on their true drive: they came too near to a decision. */
  exact_units: number;
  /** Furthest that an event was off among them, in the coordinate's unit. */
  largest_error: number;
  /** Units by the model that were compared with the same units on their true drive. */
  proof_units: number;
  /** The proof in a sentence. */
  said: string;
  /** Units on their true drive that had their whole sweep sampled. */
  sampled_whole: number;
}

/** An operate or a release at a value of the sweep. */
export interface Event {
  /** Where, in the sweep's coordinate. */
  at: Band;
  /** Forward or back. */
  direction: Direction;
  /** What moves it most, largest first. */
  drivers: Driver[];
  /** False when some units within tolerance do not have this event. */
  in_every_unit: boolean;
  /** Operate or release. */
  kind: EventKind;
  /** Which lobe of the drive it belongs to, counted from 1 along the forward pass. */
  lobe: number;
  /** True for the lobe with the highest drive, and any other within 1 % of it. */
  main_lobe: boolean;
  /** True when the values tried bound this event: every quantity moves it one way only, or turns it round at a value tried, but for 1 % of its band. */
  monotone: boolean;
}

/** A nominal event. */
export interface EventGlance {
  /** Where, in the sweep's coordinate. */
  at: number;
  /** Operate or release. */
  kind: EventKind;
  /** Which lobe of the drive, from 1. */
  lobe: number;
  /** True for the lobe with the highest drive. */
  main_lobe: boolean;
  /** Forward or back. */
  pass: Direction;
}

/** Operate or release. */
export type EventKind = "operate" | "release";

/** One event over the units. */
export interface EventSpread {
  /** Units that do not. */
  absent: number;
  /** Where it lies; `None` where no unit has it. */
  at: Distribution | null;
  /** The contact. */
  contact: string;
  /** Forward or back. */
  direction: Direction;
  /** What its place comes from, most first. */
  drivers: DriverShare[];
  /** Operate or release. */
  kind: EventKind;
  /** Which lobe of the drive, from 1. */
  lobe: number;
  /** Units that have it. */
  units: number;
  /** Nominal, and the worst case over all corners of the tolerances. */
  worst_case: Band;
}

/** One contact at fault. */
export interface FaultAnswer {
  /** The contact. */
  contact: string;
  /** Somewhere between them the line is open. */
  open_line: boolean;
  /** Least and greatest output there are as the level rises; `None` where the line is open all the way. */
  outputs: [number, number] | null;
  /** Levels between which the output is another than of a sound stem, mm; `None` where nothing shows. */
  shows_mm: [number, number] | null;
  /** It stays closed, else it never closes. */
  stays_closed: boolean;
}

/** One key as a field. */
export interface Field {
  /** The words to choose from. */
  choices: string[] | null;
  /** What is taken when nothing is stated. */
  default: string | null;
  /** A value as it may be typed. */
  example: string;
  /** The key, with the axis where it is one of three: `size y`. */
  key: string;
  /** What kind of field. */
  kind: FieldKind;
  /** The least and the greatest value, as text with units. */
  limits: [string, string] | null;
  /** Line, from 1; `null` where the text states nothing. */
  line: number | null;
  /** What it means. */
  meaning: string;
  /** The user's note on it. */
  note: string | null;
  /** As in `magnet[slug].size[1]`. */
  path: string;
  /** True when the key must be stated. */
  required: boolean;
  /** Where the value is from: `measured`, `supplier`, `standard`, `guess`, or not stated. */
  source: string | null;
  /** What the text states; `null` where it states nothing. */
  text: string | null;
  /** The unit a value is usually written in. */
  unit: string | null;
}

/** What kind of field a key is shown as. */
export type FieldKind = "quantity" | "choice" | "text" | "number" | "list";

/** A number told of every unit besides its events. */
export interface FigureAnswer {
  /** What it is, in a sentence. */
  about: string;
  /** Names of the contacts it follows from; none: from all of them, or from none. */
  contacts: string[];
  /** What moves it most, largest first. */
  drivers: Driver[];
  /** Where what is looked at ends, if it does: a value there lies there or beyond. */
  ends: FigureEnd[];
  /** What it is told among: `contact`, `level`. */
  group: string;
  /** False when some units within tolerance do not have it. */
  in_every_unit: boolean;
  /** The model that makes it, one of `models` by its name. */
  model: string;
  /** True when the values tried bound it, as with an event. */
  monotone: boolean;
  /** Its name, as a demand calls it: `differential of lid`. */
  name: string;
  /** Where its formula is from: keys into REFERENCES.md in square brackets; where there are none, what it is instead. */
  source: string;
  /** Nominal, and the worst case over all corners of the tolerances. */
  value: Band;
}

/** Where what is looked at of a figure ends. */
export interface FigureEnd {
  /** The value there, in the unit of the figure. */
  at: number;
  /** What a value there says, up to it or down to it: `stays set at every temperature that the grade allows`. */
  meaning: string;
  /** True where nothing above is looked at, false where nothing below. */
  upper: boolean;
}

/** One figure of the design over the units. */
export interface FigureSpread {
  /** Units that do not. */
  absent: number;
  /** What it comes from, most first. */
  drivers: DriverShare[];
  /** Where what is looked at ends, if it does: a value there lies there or beyond. */
  ends: FigureEnd[];
  /** What it is told among: `contact`, `level`. */
  group: string;
  /** Its name, as a demand calls it. */
  name: string;
  /** Unit of the values. */
  unit: string;
  /** Units that have it. */
  units: number;
  /** Its values, in `unit`; `None` where no unit has it. */
  values: Distribution | null;
  /** Nominal, and the worst case over all corners of the tolerances; `None` where the nominal unit has no such figure. */
  worst_case: Band | null;
}

/** Something that may be chosen. */
export interface FreeAnswer {
  /** Its line in `[choose]`, from 1. */
  line: number;
  /** How many it is chosen from; `None` for anything in a range. */
  options: number | null;
  /** Its path in the design: `magnet[slug].size[0]`. */
  path: string;
}

/** What the page says. */
export type FromPage =
  /** Begin with a design. */
  | {
      say: "open";
    } & Open
  /** Let go of unsaved edits for good. */
  | {
      say: "forget";
      /** Their key. */
      unsaved: string;
    }
  /** The editor's whole text. The newest wins. The same text again ends a drag. */
  | {
      /** Counts up with every text of this session. */
      rev: number;
      say: "text";
      /** The text. */
      text: string;
    }
  /** Give a key a value; answered by a patch. */
  | {
      /** The key, as `magnet[slug].size[1]`. */
      path: string;
      /** The value is TOML. */
      raw?: boolean;
      /** The text it is about. */
      rev: number;
      say: "set";
      /** The value: TOML if `raw`, else as its key wants it; `null` takes the key out. */
      value?: string | null;
    }
  /** Add a table `[[table]]` with what it must have; answered by a patch. */
  | {
      /** The text it is about. */
      rev: number;
      say: "add";
      /** `contact`, `magnet`, `coil`, `steel`, `demand` or `choose`. */
      table: string;
    }
  /** Take a table out; answered by a patch. */
  | {
      /** The table, as `magnet[slug]`. */
      path: string;
      /** The text it is about. */
      rev: number;
      say: "remove";
    }
  /** Show what would be with a body elsewhere; the text stays as it is. */
  | {
      /** Where its origin is to be where the sweep starts, as the drawing has it, mm. Of what moves first on a line or a table the whole path goes with it. */
      at: Triple;
      /** `magnet[slug]`, `contact[lid]`, `coil[drive]`, `steel[plate]`, or an end of the path: `sweep.from`, `sweep.to`, `sweep.centre`. */
      body: string;
      /** The text it is about. */
      rev: number;
      say: "drag";
      /** Counts up with every drag of this session; answers name it. */
      seq: number;
      /** Turned further about the world's x, then y, then z through its own centre, degrees. */
      turn: Triple;
    }
  /** Put a body elsewhere for good; answered by a patch. */
  | {
      /** Where its origin is to be where the sweep starts, as the drawing has it, mm. Of what moves first on a line or a table the whole path goes with it. */
      at: Triple;
      /** `magnet[slug]`, `contact[lid]`, `coil[drive]`, `steel[plate]`, or an end of the path: `sweep.from`, `sweep.to`, `sweep.centre`. */
      body: string;
      /** The text it is about. */
      rev: number;
      say: "drop";
      /** Turned further about the world's x, then y, then z through its own centre, degrees. */
      turn: Triple;
    }
  /** What is looked at. */
  | {
      say: "view";
    } & View
  /** Which spread study is wanted of the newest text; the newest wish wins. */
  | {
      say: "spread";
      /** Which units: the same seed gives the same ones. */
      seed?: number;
      /** Units, 4,096 to 1,000,000; `null` for none: a study stands still as far as it is. */
      units?: number | null;
    }
  /** Show what would be with a wider or tighter tolerance, while a study is wanted; the text stays as it is. The newest wins. */
  | {
      /** The quantity, as `magnet[slug].size[1]`. */
      path: string;
      /** The text it is about. */
      rev: number;
      say: "hold";
      /** Counts up with every place of this session; answers name it. */
      seq: number;
      /** How many times as wide; `null` lets go. */
      times?: number | null;
    }
  /** Make a tolerance wider or tighter for good; answered by a patch. */
  | {
      /** The quantity, as `magnet[slug].size[1]`. */
      path: string;
      /** The text it is about. */
      rev: number;
      say: "tolerance";
      /** How many times as wide. */
      times: number;
    }
  /** Search what a text leaves free for the cheapest arrangement, as soon as it is read; or end the search. */
  | {
      /** False ends the search: what it has found is told. */
      go: boolean;
      /** The text it is about. */
      rev: number;
      say: "choose";
    }
  /** Show the newest text with other values beside it; the text stays as it is. The newest wins. */
  | {
      say: "beside";
      /** Counts up with every design of this session; answers name it. */
      seq: number;
      /** The values; `null` for none. */
      values?: ChosenValue[] | null;
    }
  /** Write values into the text for good; answered by a patch. */
  | {
      /** The text it is about. */
      rev: number;
      say: "take";
      /** The values. */
      values: ChosenValue[];
    }
  /** Write the text of `rev` to its file. */
  | {
      /** Save under this name of the folder from now on; a design without a file needs one. */
      as?: string | null;
      /** Write over what was changed outside. */
      over?: boolean;
      /** The text it is about. */
      rev: number;
      say: "save";
    };

/** An arrangement in the plane of cost and margin. */
export interface FrontPoint {
  /** Which of the candidates it is, from 0; `None` if none. */
  candidate: number | null;
  /** What it costs. */
  cost: number;
  /** Its margin; of one that does not meet all that is demanded the best found, negative. */
  margin: number;
  /** True when it meets all that is demanded. */
  met: boolean;
  /** What was chosen. */
  values: ChosenValue[];
  /** Why it is none. */
  why: string | null;
}

/** Nominal events and drive along the sweep. */
export interface Glance {
  /** One entry per contact, in the design's order. */
  contacts: ContactGlance[];
  /** The sweep's coordinate in words: `z of slug`. */
  coordinate: string;
  /** Where everything is. */
  drawing: Drawing;
  /** Its unit. */
  unit: string;
}

/** Counts in equal bins. */
export interface HistogramAt {
  /** Units above the last. */
  above: number;
  /** Units below the first. */
  below: number;
  /** Units in each. */
  counts: number[];
  /** Upper edge of the last. */
  high: number;
  /** Lower edge of the first bin. */
  low: number;
}

/** What holds contacts while what changes is away. Nominal units. */
export interface LatchAnswer {
  /** One entry per contact, in the design's order. */
  contacts: LatchAtContact[];
  /** The sweep's coordinate at which what changes is away. */
  rest: number;
}

/** What holds one contact. Places are in the sweep's coordinate. */
export interface LatchAtContact {
  /** Drive of the closed contact at rest, mT, signed. */
  bias_closed_mT: number;
  /** Drive of the open contact at rest, mT, signed. */
  bias_mT: number;
  /** Its name. */
  contact: string;
  /** Drive at which it operates, mT. */
  operate_mT: number;
  /** Where what resets it operates it the other way round, if it does. */
  overdriven: number | null;
  /** Drive at which it releases, mT. */
  release_mT: number;
  /** Where it last releases that its bias holds, if it does. */
  reset: number | null;
  /** Where it last operates in the sense of its bias, if it does. */
  set: number | null;
  /** True when it stays open at rest, once open. */
  stays_reset: boolean;
  /** True when it stays closed at rest, once closed. */
  stays_set: boolean;
}

/** A float in its tank. */
export interface Level {
  /** Half the diameter of its bore, mm. */
  bore: number;
  /** Half the diameter of the float and half its height, mm. */
  half: [number, number];
  /** Level, then x, y and z of the middle of the float there, mm, in the order of the sweep. */
  middles: ([number, number, number, number])[];
  /** Pivot of its arm, mm, if it has one. */
  pivot: Triple | null;
  /** True for a ball, or a cylinder seen along its axis. */
  round: boolean;
  /** The tank from its lowest place up: level and half the width there, mm. */
  tank: ([number, number])[];
}

/** A level stem in its tank. */
export interface LevelAnswer {
  /** Levels at which a reading begins or ends, either way, lowest first, with what is read above each. */
  calibration: CalibrationAnswer[];
  /** Its density, kg/m³. */
  density_kg_m3: number;
  /** From the underside of the float up to the surface, mm. */
  draught_mm: number;
  /** What is read as it falls. */
  falling: ReadingAnswer[];
  /** What a contact that stays closed or never closes shows at the output; none without a ladder. */
  faults: FaultAnswer[];
  /** What the float swims in. */
  liquid: string;
  /** How deep it swims in every liquid of the table that it floats on. */
  liquids: LiquidAnswer[];
  /** Unit of the ladder's output; empty without one. */
  output_unit: string;
  /** The resistors, in order, Ω; those not stated are left out. */
  resistors_ohm: number[];
  /** What is read as the level rises. */
  rising: ReadingAnswer[];
  /** How the surface swings at the contacts' levels, if that is asked for. */
  slosh: SloshAnswer[];
  /** Its contacts, in the design's order. */
  stages: StageAnswer[];
  /** Force that brings the float back, N for each mm. */
  stiffness_N_per_mm: number;
  /** Levels at which it leaves its lower stop and comes to its upper one, mm. */
  swims_mm: [number, number];
  /** Level and volume of the full tank, if the tank is stated. */
  tank: TankAnswer | null;
}

/** Life by a test, or why there is none to tell. */
export interface LifeAnswer {
  /** What follows for a machine; `None` where its operations a year are not stated, or nothing to tell it from. */
  dangerous: DangerousAnswer | null;
  /** What to know of it, in sentences. */
  says: string[];
  /** What a test says; `None` without one. */
  test: LifeTestAnswer | null;
}

/** A Weibull distribution fitted to a test, with bounds by the likelihood ratio. */
export interface LifeTestAnswer {
  /** Operations by which a tenth has failed: likeliest, low and high. */
  b10: Triple;
  /** Confidence of the bounds, percent. */
  confidence_percent: number;
  /** Units that failed. */
  failures: number;
  /** What they switched, if stated. */
  load: string | null;
  /** Operations that 36.8 % outlive. */
  scale: number;
  /** Shape: likeliest, low and high. */
  shape: Triple;
  /** Units on test. */
  units: number;
}

/** A float in a liquid. */
export interface LiquidAnswer {
  /** Its density at the temperature of the design, kg/m³. */
  density_kg_m3: number;
  /** Draught of the float, mm. */
  draught_mm: number;
  /** The liquid. */
  liquid: string;
  /** By how much every switching level is higher than in the design's liquid, mm; of a float on an arm the same. */
  shift_mm: number;
}

/** A load: the contact's ratings against it, and both followed over time. */
export interface LoadAnswer {
  /** In words: `inductive load on 24 V ± 10 %, direct`. */
  about: string;
  /** What the contact goes through without protection. */
  bare: Switching;
  /** The contact that switches it. */
  contact: string;
  /** What follows, in sentences. */
  findings: string[];
  /** Its name. */
  name: string;
  /** What protects it, if anything that can be realised does. */
  protection: ProtectionAnswer | null;
  /** Why the protection that is asked for cannot serve. */
  refused: string | null;
  /** What must hold, over the tolerances of load and contact. */
  rules: LoadRule[];
  /** What each kind of protection would do. */
  tried: Tried[];
}

/** A rule, its two sides and how they stand. */
export interface LoadRule {
  /** The right side as stated or found. */
  limit: string;
  /** `voltage ≤ switching voltage`. */
  rule: string;
  /** Left over right, percent, over the tolerances of both. */
  share: Band;
  /** What the rule rests on. */
  source: string;
  /** The left side, over the tolerances. */
  value: Band;
  /** Met by every unit, by the nominal one, or by neither. */
  verdict: Verdict;
}

/** Combinations that were lost for one reason. */
export interface Lost {
  /** How many combinations. */
  count: number;
  /** The demand, from 0, where it is one. */
  demand: number | null;
  /** Examples: what was chosen in the cheapest of them. */
  example: ChosenValue[];
  /** Which kind of reason. */
  kind: LostKind;
  /** The reason in words. */
  reason: string;
}

/** Kinds of reasons. */
export type LostKind = "worse" | "dearer" | "out_of_reach" | "nominal" | "tolerance" | "collides" | "no_price" | "faulty";

/** A magnet. */
export interface Magnet {
  /** Direction of polarization in its frame, unit vector. */
  direction: Triple;
  /** True when the sweep moves it. */
  moves: boolean;
  /** Name in the design. */
  name: string;
  /** Its frame where the sweep starts. */
  pose: Pose;
  /** Its frame where the sweep ends. */
  pose_end: Pose;
  /** Its shape, in its frame. */
  shape: Solid;
}

/** A magnet of a grade at the ends of the temperature range, all else nominal. */
export interface MagnetAnswer {
  /** Change of intrinsic coercivity with temperature, % per kelvin of that at 20 °C. */
  coercivity_drift_percent_per_K: number;
  /** Which of `states`, from 0, costs the magnet most, or brings it nearest to its knee. */
  critical: number;
  /** Mean demagnetizing factor along the polarization, from the points its inside is sampled at. */
  demagnetizing_factor: number;
  /** Designation of its grade. */
  grade: string;
  /** Its name in the design. */
  name: string;
  /** Relative recoil permeability. */
  recoil_permeability: number;
  /** Change of remanence with temperature, % per kelvin of that at 20 °C. */
  remanence_drift_percent_per_K: number;
  /** Coldest, then hottest; only one where the temperature has no tolerance. */
  states: MagnetState[];
}

/** A magnet at one temperature, at the most demagnetizing place of the sweep. */
export interface MagnetState {
  /** Share of the volume beyond the knee, %. */
  beyond_knee_percent: number;
  /** Demagnetisation curve of J over H from H = 0 to J = 0; straight between its points. */
  curve: CurvePoint[];
  /** Mean of the field that all others make inside it along its polarization, kA/m; negative opposes. */
  field_from_outside_kA_per_m: number;
  /** Intrinsic coercivity HcJ, kA/m. */
  intrinsic_coercivity_kA_per_m: number;
  /** Opposing field at which the curve leaves its recoil line, kA/m. */
  knee_kA_per_m: number;
  /** Estimated share of the polarization lost for good, after the way back to 20 °C, %. */
  loss_percent: number;
  /** Working point of the magnet's mean. */
  mean: WorkingPoint;
  /** Permeance coefficient −B/(μ0 H) at the mean working point: the slope of its load line. `None` where no field opposes. */
  permeance_coefficient: number | null;
  /** Remanence Br, T. */
  remanence_T: number;
  /** Temperature, °C. */
  temperature_C: number;
  /** Working point of the place inside it with the highest opposing field. */
  worst: WorkingPoint;
  /** Coordinate of the sweep at which the worst point is worst, in the sweep's unit; `None` where nothing changes along the sweep. */
  worst_at: number | null;
}

/** What stands at the head of a map's frame. */
export interface MapHeader {
  /** First and last place across, mm, and how many. */
  across: [number, number, number];
  /** The design beside the text that it is of, or `null` for the text's own. */
  beside: number | null;
  /** True when a finer one of the same follows unless something newer is asked. */
  coarse: boolean;
  /** Name of the contact. */
  contact: string;
  /** Name of what is placed. */
  moves: string;
  /** Where it cuts the third axis, mm. */
  offset: number;
  /** Operate level: low, nominal, high, mT. */
  operate: Triple;
  /** The plane. */
  plane: Plane;
  /** Release level: low, nominal, high, mT. */
  release: Triple;
  /** The text. */
  rev: number;
  /** `map`. */
  say: "map";
  /** The drag, or `null` for the text as it is. */
  seq: number | null;
  /** First and last place up, mm, and how many. */
  up: [number, number, number];
}

/** A fault or warning and its place. */
export interface Mark {
  /** A stable code. */
  code: string;
  /** First unit of the text. */
  from: number;
  /** How to mend it. */
  help: string | null;
  /** The words at the place. */
  label: string;
  /** Line, from 1. */
  line: number;
  /** What is wrong. */
  message: string;
  /** How grave. */
  severity: Severity;
  /** One past the last. */
  to: number;
}

/** A model and its accuracy. */
export interface ModelNote {
  /** How good it is, and how that was measured. */
  accuracy: string;
  /** What it computes, and how. */
  how: string;
  /** What the numbers it makes call it: `Contact`, `Warm coils`. */
  name: string;
  /** Keys into REFERENCES.md. */
  references: string[];
}

/** A motion over time. */
export interface MotionSeries {
  /** When the faces touch or part, ms. */
  changes_ms: number[];
  /** Current of the coil, mA. */
  current_mA: number[];
  /** Magnetic pull, mN. */
  force_mN: number[];
  /** Gap between the irons, µm; that of the contact metals when closed. */
  gap_um: number[];
  /** Since the switching, ms. */
  time_ms: number[];
}

/** A motor or the like near by: a dipole along z of its frame. */
export interface Motor {
  /** Name in the design. */
  name: string;
  /** Its frame. */
  pose: Pose;
}

/** One movement of a contact, followed over time. */
export interface Moving {
  /** How long an arc burned, ms. */
  arc_ms: number;
  /** Current through it then, A. */
  current_A: number[];
  /** Energy in the contact: of arcs, of its resistance until all has settled, mJ. */
  energy_mJ: number;
  /** Greatest current through it, A, behind the picoseconds in which it empties its own capacitance. */
  peak_current_A: number;
  /** Greatest voltage across it, V. */
  peak_voltage_V: number;
  /** Times, ms. */
  time_ms: number[];
  /** Voltage across it then, V. */
  voltage_V: number[];
}

/** A contact that closes and opens. */
export interface MovingContact {
  /** From the first touch to rest at the least, the nominal and the greatest restitution, ms. */
  bounce_ms: Triple;
  /** Closing, from the switching on. */
  closing: MotionSeries;
  /** Its name. */
  contact: string;
  /** How long eddy currents hold flux back in a blade, `μ σ t²/π²`, ms: not in the motion. */
  eddy_ms: number;
  /** Frequency of the free blades with the spring that the operate value asks for, Hz. */
  frequency_Hz: number;
  /** Speed of the first impact, one face against the other, m/s. */
  impact_m_per_s: number;
  /** Opening with the stated suppression, from the switching off. */
  opening: MotionSeries;
  /** From switching on to the first touch, ms. */
  operate_ms: number;
  /** From switching off to parting, with the stated suppression, ms. */
  release_ms: number;
}

/** Why nothing meets all that is demanded. */
export interface Obstacle {
  /** The demand that the nearest arrangement misses by most, from 0; `None` where something else is in the way. */
  demand: number | null;
  /** The arrangement that comes nearest, checked. */
  nearest: Candidate | null;
  /** In a sentence. */
  said: string;
}

/** What to begin with: exactly one of these. */
export interface Open {
  /** An example's name. */
  example?: string | null;
  /** A file of the folder. Edits of it that were never saved come with it. */
  file?: string | null;
  /** A template's name. */
  template?: string | null;
  /** The key of edits that were never saved. */
  unsaved?: string | null;
}

/** An outside magnet, brought near the open door from any side and turned any way, as a dipole. */
export interface Outsider {
  /** What it can do to each contact by itself. */
  contacts: OutsiderAtContact[];
  /** Its magnetic moment, A·m². */
  moment_Am2: number;
  /** Its name in the design or the catalogue. */
  name: string;
  /** Furthest from a contact at which some place and turn of it make every contact show at once what it shows with the door shut, mm from middle to middle; `None` where none does. */
  passes_for_shut_mm: number | null;
}

/** What an outside magnet can do to one contact. Distances from middle to middle, mm; `None` where it would have to be in the same place. */
export interface OutsiderAtContact {
  /** Furthest at which it can change what the contact shows with the door open: close an open one, open a closed one. */
  changes_mm: number | null;
  /** The contact. */
  contact: string;
  /** Furthest at which it can hold the contact closed as the door opens; `None` also of a contact that is open with the door shut, or closed without it. */
  holds_mm: number | null;
}

/** A part of a protection. */
export interface PartAnswer {
  /** `capacitor`. */
  name: string;
  /** `voltage 400 V`. */
  ratings: string[];
  /** `0.33 µF`; empty of a part without a value. */
  value: string;
}

/** A point of the path. */
export interface PathPoint {
  /** World position, mm. */
  at: Triple;
  /** The sweep's coordinate, in the answer's unit. */
  coordinate: number;
  /** Rows of the rotation that turns what moves from its attitude where the sweep starts to the one here; left out where the sweep turns nothing. */
  turned?: [Triple, Triple, Triple] | null;
}

/** A plane, named by the axes to the right and up. */
export type Plane = "xy" | "xz" | "yz";

/** A frame in the world. */
export interface Pose {
  /** Its origin, mm. */
  at: Triple;
  /** Rotation matrix, row by row: world = rows · body + at. */
  rows: [Triple, Triple, Triple];
}

/** What protects a contact. */
export interface ProtectionAnswer {
  /** `rc`. */
  kind: string;
  /** What to buy. */
  parts: PartAnswer[];
  /** How its parts were sized. */
  rule: string;
  /** What the contact goes through with it. */
  with: Switching;
}

/** What made the answer. */
export interface Provenance {
  /** Name of the design file. */
  design: string;
  /** SHA-256 of the design text, hex. */
  design_sha256: string;
  /** Keys of every reference used. */
  references: string[];
  /** Scenes evaluated to find the bands. */
  scenes: number;
  /** Seed of the sampled units. */
  seed: number;
  /** Version of Reedmace. */
  version: string;
}

/** A quantile. */
export interface QuantileAt {
  /** Share of units that lie below, 0 to 1. */
  share: number;
  /** Value. */
  value: number;
  /** Width of the bin it was taken from: the value is no further off than this. */
  within: number;
}

/** A quantity of the design as the answer took it. */
export interface QuantityAnswer {
  /** Line in the design file, from 1; 0 for a value from the catalogue. */
  line: number;
  /** The user's note. */
  note: string | null;
  /** Path in the design: `magnet[slug].size[1]`. */
  path: string;
  /** Where it is from: `measured`, `supplier`, `standard`, `guess`, or not stated. */
  source: string | null;
  /** As the user wrote it. */
  text: string;
  /** True when it carries a tolerance. */
  toleranced: boolean;
}

/** What is read over a stretch of level. */
export interface ReadingAnswer {
  /** Names of the contacts that are closed. */
  closed: string[];
  /** Volume below where it begins, L; `None` without a tank. */
  from_L: number | null;
  /** Level where it begins, in the order of the pass, mm. */
  from_mm: number;
  /** The ladder's output; `None` without one and where its line is open. */
  output: number | null;
  /** Volume below where it ends, L. */
  to_L: number | null;
  /** Level where it ends, mm. */
  to_mm: number;
}

/** What stands at the head of a region's frame. */
export interface RegionHeader {
  /** How many points and how many triangles the surface has within which the contact closes. */
  closes: [number, number];
  /** Name of the contact. */
  contact: string;
  /** The same for where a closed contact is held. */
  holds: [number, number];
  /** Name of what is placed. */
  moves: string;
  /** The text. */
  rev: number;
  /** `region`. */
  say: "region";
}

/** A coil, what it is wound of, and the voltages that it needs over temperature. */
export interface RelayAnswer {
  /** The coil. */
  coil: string;
  /** Surroundings from the coldest to the hottest. */
  rows: RelayRow[];
  /** Voltage across the coil when it is on, V. */
  supply: Band;
  /** What it is wound of, nominal, where that is known. */
  winding: WindingAnswer | null;
}

/** A relay in surroundings of one temperature. */
export interface RelayRow {
  /** Voltage at which the last contact closes, the coil off until then: nominal, and the least and greatest of any contact in any unit, V. */
  operate: Band;
  /** The same with the nominal coil warmed through by the nominal supply, V. */
  operate_warmed_V: number;
  /** Power of the warmed coil at the supply, nominal, mW. */
  power_mW: number;
  /** Voltage at which the last contact opens, the coil off until then, in the same way, V. */
  release: Band;
  /** Resistance of the nominal coil, its wire as warm as the surroundings, Ω. */
  resistance_ohm: number;
  /** How much hotter than the surroundings it gets, nominal, K. */
  rise_K: number;
  /** Temperature of the surroundings, °C. */
  temperature_degC: number;
}

/** One turn of a wheel, and its pulses at each speed that matters; nominal. */
export interface RotorAnswer {
  /** Stretches of a turn over which the contact is closed, from and to, degrees; the last may reach over the end of the turn. */
  closed_deg: ([number, number])[];
  /** The contact that counts. */
  contact: string;
  /** Where a pulse too many is nearest; `None` where the drive has no top between pulses and no dip within one, so that none threatens. */
  double: DoubleAnswer | null;
  /** Window of the filter, ms, if there is one. */
  filter_ms: number | null;
  /** How often it operates in the turn. */
  pulses: number;
  /** Speeds that matter, slowest first, and the fastest that is still counted. */
  rows: RotorRow[];
}

/** Pulses at one speed. */
export interface RotorRow {
  /** `least flow`, `usual flow`, `greatest flow` or `fastest wheel`. */
  at: string;
  /** One pulse more or less in the gate time, over those counted, percent. */
  count_error_percent: number;
  /** Flow, L/min, where the wheel tells one. */
  flow_L_per_min: number | null;
  /** How long it leaves it open in the shortest pause, ms. */
  pause_ms: number;
  /** How long the drive holds the contact closed in the shortest pulse, ms. */
  pulse_ms: number;
  /** Pulses per second. */
  rate_Hz: number;
  /** What operate time, bounce and release time leave of the pulse, ms; none where negative. */
  steady_closed_ms: number;
  /** What they leave of the pause, ms; none where negative. */
  steady_open_ms: number;
  /** Turns per minute. */
  turns_rpm: number;
}

/** One table of the design as a group of fields. */
export interface Section {
  /** Its fields, stated ones and those that may be added. */
  fields: Field[];
  /** Line of its header, from 1; `null` if the text does not have it. */
  line: number | null;
  /** The entry's own name, where it has one. */
  name: string | null;
  /** As in `magnet[slug]`; empty for the file itself. */
  path: string;
  /** True when the table may be taken out. */
  removable: boolean;
  /** What the table describes, one sentence. */
  summary: string;
  /** The table's name: `contact`, `sweep`; `design` for the file itself. */
  table: string;
}

/** How grave a diagnostic is. */
export type Severity = "error" | "warning";

/** A share of units with its confidence interval. */
export interface Share {
  /** Upper end of the 95 % interval. */
  high: number;
  /** Lower end of the 95 % interval. */
  low: number;
  /** Units that meet the demand. */
  met: number;
  /** Units sampled. */
  of: number;
}

/** The surface at one level. */
export interface SloshAnswer {
  /** Up and down at the float, mm. */
  amplitude_mm: number;
  /** Frequencies of the first three waves that a sideways disturbance excites, Hz. */
  frequencies_Hz: Triple;
  /** How long a reading must last before it counts, s. */
  hold_s: number;
  /** The level at which the contact changes, its lowest or highest, whichever asks for the longer hold, mm. */
  level_mm: number;
}

/** A solid, mm. */
export type Solid =
  /** A box along the frame's axes. */
  | {
      /** Its middle. */
      centre: Triple;
      kind: "box";
      /** Its sides. */
      size: Triple;
    }
  /** A cylinder or a tube about the frame's z axis, centred. */
  | {
      /** Diameter of the bore; zero for a solid cylinder. */
      inner_diameter: number;
      kind: "round";
      /** Length. */
      length: number;
      /** Outer diameter. */
      outer_diameter: number;
    }
  /** A sphere, centred. */
  | {
      /** Diameter. */
      diameter: number;
      kind: "sphere";
    }
  /** A surface in triangles: nine numbers each. */
  | {
      kind: "mesh";
      /** x, y and z of each corner of each triangle. */
      triangles: number[];
    };

/** The whole answer to `reedmace spread`. */
export interface SpreadAnswer {
  /** The coordinate in words: `z of slug`. */
  coordinate: string;
  /** One entry per demand, in the design's order. */
  demands: DemandSpread[];
  /** How the units were evaluated. */
  evaluation: Evaluation;
  /** One entry per event that units have: those of the nominal unit in the order it meets them, then others. */
  events: EventSpread[];
  /** One entry per figure that units have, in the order of the design. */
  figures: FigureSpread[];
  /** Version of this result format. */
  format: number;
  /** Which models made the numbers and how good they are. */
  models: ModelNote[];
  /** Units of the whole study; more than `units` where it was cut short or is a part of one. */
  of: number;
  /** What made this answer, and from what. */
  provenance: Provenance;
  /** What each tolerance would buy if it were tighter, most first; empty where every unit meets all demands already. */
  tighter: Tighter[];
  /** The design's title. */
  title: string;
  /** Its unit; empty for the number of a pose. */
  unit: string;
  /** Units evaluated. */
  units: number;
  /** Units that have an event which the search of the worst case did not meet; they count in the shares, and in no entry of `events`. */
  units_with_other_events: number;
}

/** What the spring that the operate value asks for makes of the pull, nominal. */
export interface Sprung {
  /** Contact force at the operate value, mN. */
  force_mN: number;
  /** Stated operate value, AT. */
  operate_AT: number;
  /** Where this spring opens the contact, AT. */
  release_AT: number;
}

/** A contact of the stem, in its main lobe; `None` where the nominal unit has no such level. */
export interface StageAnswer {
  /** Level at which it closes as the level falls. */
  closes_falling: Band | null;
  /** Level at which it closes as the level rises. */
  closes_rising: Band | null;
  /** The contact. */
  contact: string;
  /** How far apart it operates and releases. */
  differential: Band | null;
  /** The same as a ratio of distances. */
  differential_ratio: Band | null;
  /** Level at which it opens as the level falls on. */
  opens_falling: Band | null;
  /** Level at which it opens as the level rises on. */
  opens_rising: Band | null;
  /** The ladder's output with this contact closed alone. */
  output: number | null;
  /** Stretch on which the next contact is closed as well, as the level rises and as it falls; below zero a gap. */
  overlap: [Band | null, Band | null];
  /** The worst verdict of the demands on it; `None` where none is. */
  verdict: Verdict | null;
}

/** What a stem shows. */
export interface StateAnswer {
  /** Names of the contacts that are closed. */
  closed: string[];
  /** The ladder's output; `None` without one and where its line is open. */
  output: number | null;
}

/** A body of steel. */
export interface Steel {
  /** True when the sweep moves it. */
  moves: boolean;
  /** Name in the design. */
  name: string;
  /** The solids that together are its shape, in its frame; they may touch and overlap. */
  parts: Solid[];
  /** Its frame where the sweep starts. */
  pose: Pose;
  /** Its frame where the sweep ends. */
  pose_end: Pose;
}

/** What the steel does to the nominal unit. */
export interface SteelAnswer {
  /** One entry per body, in the design's order. */
  bodies: SteelBodyAnswer[];
  /** Largest change of any contact's drive along the sweep on half as many panels, in percent of the drive or of the operate level, whichever is greater: the cutting may still be wrong by about half of that. */
  discretisation_percent: number;
  /** Every event with the steel and without it, contact by contact, in the order they are met. */
  events: SteelEvent[];
  /** Panels the surfaces of all bodies are cut into. */
  panels: number;
}

/** One body of steel. */
export interface SteelBodyAnswer {
  /** Its alloy, if the design names one. */
  alloy: string | null;
  /** Its name in the design. */
  name: string;
  /** Panels its surface is cut into. */
  panels: number;
  /** Highest flux density inside it along the sweep, T. */
  peak_T: number;
  /** The sweep's coordinate where that is reached. */
  peak_at: number;
  /** Relative permeability it was computed with, nominal. */
  permeability: number;
  /** The highest flux density in percent of saturation. */
  saturated_percent: number | null;
  /** Saturation polarization, T; `None` if neither the design nor an alloy says it. */
  saturation_T: number | null;
}

/** An event with and without the steel, all else nominal. */
export interface SteelEvent {
  /** The contact's name in the design. */
  contact: string;
  /** Forward or back. */
  direction: Direction;
  /** Operate or release. */
  kind: EventKind;
  /** With less without; `None` where either is missing. */
  shift: number | null;
  /** Unit of all three: that of the sweep's coordinate. */
  unit: string;
  /** Where, with the steel; `None` where only the arrangement without it has this event. */
  with: number | null;
  /** Where, without it; `None` where only the steel makes this event. */
  without: number | null;
}

/** A tank filled to a level. */
export interface StrapAnswer {
  /** Half the width of the tank there, seen from its side, mm; `None` of a tank stated by its volumes. */
  half_width_mm: number | null;
  /** The level, mm. */
  level_mm: number;
  /** Volume below it, L. */
  volume_L: number;
}

/** A contact where its drive is strongest along the sweep. */
export interface Strongest {
  /** The sweep's coordinate. */
  at: number;
  /** Highest flux density in blades and leads, closed, T. */
  blade_peak_T: number;
  /** Where along the contact that is, from its middle, mm. */
  blade_peak_at_mm: number;
  /** Pull between the closed blades, mN. */
  force_mN: number;
  /** Over-drive: drive of the open contact there over its operate value. */
  overdrive: number;
  /** What saturation takes off the flux across the closed gap, percent. */
  taken_by_saturation_percent: number;
  /** Unit of the coordinate. */
  unit: string;
}

/** What one kind of suppression does, nominal. */
export interface SuppressionRow {
  /** `none`, `diode`, `zener`, `resistor` or `rc`. */
  kind: string;
  /** Its parts. */
  parts: string;
  /** Greatest voltage across the switch, V; none where nothing bounds it. */
  peak_V: number | null;
  /** When the last contact parts, ms. */
  release_ms: number;
  /** Power that it takes while the coil is on, mW. */
  standing_mW: number;
  /** True of the one that the design has. */
  stated: boolean;
}

/** What is swept. */
export interface SweepAnswer {
  /** The coordinate in words: `z of slug`, `angle of leaf`. */
  coordinate: string;
  /** Coordinate where the forward pass starts. */
  from: number;
  /** `line`, `arc`, `spin`, `table`, `level`, `current` or `voltage`. */
  kind: string;
  /** Names of what moves (empty for a current sweep). */
  moves: string[];
  /** Coordinate where the forward pass ends. */
  to: number;
  /** Unit of the coordinate. */
  unit: string;
}

/** A contact that opens and closes, with every quantity of the load at its hardest. */
export interface Switching {
  /** Closing. */
  closes: Moving;
  /** Opening. */
  opens: Moving;
}

/** The tank. */
export interface TankAnswer {
  /** Level of its lowest place, mm. */
  bottom_mm: number;
  /** Volume of all of it, L. */
  capacity_L: number;
  /** Volume by level, from the lowest place to the highest. */
  strapping: StrapAnswer[];
  /** Level at which it is full, mm. */
  top_mm: number;
}

/** Where a steel target is seen, and what its thickness, steel, size and direction change. Nominal units. */
export interface TargetAnswer {
  /** One entry per contact, in the design's order. */
  contacts: TargetAtContact[];
  /** Unit vector along its way as it comes. */
  direction: Triple;
  /** The steel. */
  steel: string;
  /** What the first contact sees of targets that differ in one thing from the design's: that one as the answer has it, the others by what they differ from it on coarser panels. */
  study: TargetRow[];
  /** Panels that the differences are from, about. */
  study_panels: number;
}

/** Where a contact sees the target. */
export interface TargetAtContact {
  /** Its name. */
  contact: string;
  /** Where distances are told from, m. */
  from_m: Triple;
  /** Where it last changes as the target goes, if it does. */
  gone: TargetPlace | null;
  /** True when the target opens it: it draws the flux away. False when it closes it. */
  opens: boolean;
  /** Where the contact first changes as the target comes, if it does. */
  seen: TargetPlace | null;
}

/** A place of the target on its way. */
export interface TargetPlace {
  /** From its leading face to where distances are told from, along its way; below zero past it. */
  distance_mm: number;
  /** How far it has come since the sweep started. */
  moved_mm: number;
}

/** A target that differs in one thing. */
export interface TargetRow {
  /** Return distance. */
  gone_mm: number | null;
  /** That of this target: `0.75 mm`, `150`, `half as large`, `+x`. */
  is: string;
  /** True of the design's own target. */
  own: boolean;
  /** Detection distance; `None` where the contact does not change. */
  seen_mm: number | null;
  /** `thickness`, `permeability`, `size` or `approach`. */
  what: string;
  /** Why one of them is none: the contact does not change, or the target cannot come that way. */
  why: string | null;
}

/** What a tighter tolerance would buy. */
export interface Tighter {
  /** How much tighter, 0 to 1: 0.1 takes a tenth off both limits. */
  by: number;
  /** Change of the share of units that meet every demand, −1 to 1. */
  gain: number;
  /** Standard error of the gain. */
  gain_error: number;
  /** Its line in the design file, from 1; 0 where the file does not state it. */
  line: number;
  /** Path of the quantity. */
  path: string;
  /** As the user wrote it. */
  text: string;
}

/** How a relay's contacts close and open, nominal. */
export interface TimingAnswer {
  /** The same with all contacts closed, mH. */
  closed_inductance_mH: number;
  /** Each contact whose alloy is known and that operates. */
  contacts: MovingContact[];
  /** What follows, in sentences. */
  findings: string[];
  /** Inductance of the coil with all contacts open, mH. */
  open_inductance_mH: number;
  /** What the kinds of suppression cost, the stated one among them. */
  suppressions: SuppressionRow[];
}

/** What the server says. */
export type ToPage =
  /** The design asked for. */
  | {
      /** Its file in the folder; `null` until it is saved under a name. */
      file: string | null;
      /** The name answers give it. */
      name: string;
      /** True when `text` are edits that were never saved. */
      recovered: boolean;
      /** What the file holds, if `text` are edits that were never saved; else `null`. */
      saved: string | null;
      say: "opened";
      /** Names this session in the addresses of exports. */
      session: string;
      /** Its text, which is `rev` 0. */
      text: string;
    }
  /** Changes for the editor to make in one transaction. */
  | {
      /** In order of place; all count in the text before any of them. */
      changes: Change[];
      /** The text they are for. */
      rev: number;
      say: "patch";
      /** Which message asked. */
      why: "set" | "add" | "remove" | "drop" | "tolerance" | "take";
    }
  /** What a text is. */
  | {
      /** Faults and warnings, in order of place. */
      diagnostics: Mark[];
      /** Where everything is; `null` while faults stand. */
      drawing: Drawing | null;
      /** The form; `null` where the text is no TOML. */
      form: Section[] | null;
      /** The text. */
      rev: number;
      say: "design";
      /** The title, as far as there is one. */
      title: string | null;
    }
  /** Nominal events and drive of a text or a drag. */
  | {
      /** True when it is a rough one and a finer one of the same follows unless something newer is asked. */
      coarse: boolean;
      /** The picture. */
      glance: Glance;
      /** The text. */
      rev: number;
      say: "live";
      /** The drag, or `null` for the text as it is. */
      seq: number | null;
    }
  /** The map sent last is also that of this text or drag. */
  | {
      /** The text. */
      rev: number;
      say: "map_stands";
      /** The drag, or `null` for the text as it is. */
      seq: number | null;
    }
  /** The whole answer: what `reedmace check --json` prints. */
  | {
      /** The answer. */
      answer: Answer;
      /** The text. */
      rev: number;
      say: "answer";
    }
  /** How a spread study stands, or why there is none: what `reedmace spread --json` prints, once it is done. */
  | {
      /** The answer. Until what drives it is found, that is empty in it. */
      answer: SpreadAnswer | null;
      /** True when no more follows of the same. */
      done: boolean;
      /** Why there is none. */
      none: string | null;
      /** The text. */
      rev: number;
      say: "spread";
      /** The place of the tolerance held, or `null` for the text as it is. */
      seq: number | null;
      /** The quantity held, as it would be written. */
      tolerance: string | null;
    }
  /** How far the search for the cheapest arrangement has come. */
  | {
      /** Cost of the cheapest of them. */
      cheapest: number | null;
      /** Combinations done with. */
      done: number;
      /** Arrangements that meet all, so far. */
      found: number;
      /** Seconds left at the pace so far; `null` where there is none yet. */
      left: number | null;
      /** Of how many. */
      of: number;
      /** The text. */
      rev: number;
      say: "searching";
    }
  /** What the search has found, or why there is nothing: what `reedmace choose --json` prints. */
  | {
      /** The answer. */
      answer: ChooseAnswer | null;
      /** Of a design that leaves nothing free: the table that it could begin with. */
      beginning: string | null;
      /** Why there is none. */
      none: string | null;
      /** The text. */
      rev: number;
      say: "chosen";
    }
  /** The newest text with other values: at once nominal events, later the whole answer. */
  | {
      /** What `reedmace check --json` prints of it. */
      answer: Answer | null;
      /** Nominal events and drive, and where everything is. */
      glance: Glance | null;
      /** Why there is neither. */
      none: string | null;
      /** The text. */
      rev: number;
      say: "beside";
      /** Which design. */
      seq: number;
    }
  /** How far long work is. */
  | {
      /** Done. */
      done: number;
      /** Of about so many. */
      of: number;
      /** The text. */
      rev: number;
      say: "progress";
      /** Which work. */
      what: "answer" | "glance" | "map" | "region";
    }
  /** The file holds the text of `rev`. */
  | {
      /** The file. */
      file: string;
      /** The text. */
      rev: number;
      say: "saved";
    }
  /** Not saved: the file was changed outside since it was read. */
  | {
      say: "conflict";
      /** What it holds; `null` when it is gone. */
      text: string | null;
    }
  /** The file was changed outside; nothing unsaved stands against it. */
  | {
      say: "outside";
      /** What it holds now; `null` when it is gone. */
      text: string | null;
    }
  /** What was asked cannot be done. */
  | {
      /** Why. */
      message: string;
      /** The text it is about, if it is about one. */
      rev: number | null;
      say: "fault";
    };

/** Drive at one value of the sweep. */
export interface TraceRow {
  /** The sweep's coordinate. */
  coordinate: number;
  /** Drive of the closed contact, mT, signed. */
  drive_closed_mT: number;
  /** Highest open drive over the tolerances, mT. */
  drive_open_high_mT: number;
  /** Lowest open drive over the tolerances, mT. */
  drive_open_low_mT: number;
  /** Drive of the open contact, mT, signed. */
  drive_open_mT: number;
}

/** What one kind of protection would do, sized by its rule. */
export interface Tried {
  /** What the contact goes through; `None` where it cannot serve. */
  done: TriedResult | null;
  /** Its kind. */
  kind: string;
  /** Its parts with their values; why it cannot serve, of one that does not. */
  parts: string;
}

/** What a contact goes through with a protection, in short. */
export interface TriedResult {
  /** How long an arc burned as it opened, ms. */
  arc_ms: number;
  /** Energy in the contact as it opened, mJ. */
  energy_mJ: number;
  /** Why it does not mend the load: an arc, a voltage or a current beyond what the contact may switch, where that is known. Empty where it does. */
  fails: string;
  /** Greatest current as it closes, A. */
  peak_current_A: number;
  /** Greatest voltage across it as it opens, V. */
  peak_voltage_V: number;
}

/** A leaf on its hinge or a wheel on its shaft, where the sweep starts. */
export interface Turn {
  /** Unit vector along the axis. */
  axis: Triple;
  /** A point on the axis, beside the middle of the first of what turns, mm. */
  centre: Triple;
  /** Unit vector from the axis towards the first of what turns. */
  out: Triple;
  /** From the axis to the opening edge of a door that states it, else to the furthest middle of what turns, mm. */
  reach: number;
  /** It spins right round. */
  wheel: boolean;
}

/** A value and the number of the unit that has it. */
export interface UnitAt {
  /** The unit. */
  unit: number;
  /** Its value; `None` where it has no event to measure. */
  value: number | null;
}

/** How a demand stands. */
export type Verdict = "met" | "at_risk" | "missed";

/** The map wanted. */
export interface View {
  /** Places across and up. */
  cells: [number, number];
  /** Index of the contact. */
  contact: number;
  /** Left, right, bottom, top, mm; `null` frames contact and path. */
  extent: [number, number, number, number] | null;
  /** False for no map at all. */
  map: boolean;
  /** Where it cuts the third axis, mm; `null` where the sweep starts. */
  offset: number | null;
  /** The plane, named by the axes to the right and up. */
  plane: Plane;
}

/** Something the user should know. */
export interface Warning {
  /** Stable code, `W....`. */
  code: string;
  /** What to do about it. */
  help: string;
  /** What and where, one sentence. */
  message: string;
}

/** A coil as it is wound, nominal. */
export interface WindingAnswer {
  /** Share of the winding's section that is copper, percent. */
  copper_percent: number;
  /** Inductance in air, mH; the contacts' iron raises it. */
  inductance_mH: number;
  /** Diameter that the first layer lies on, mm. */
  inner_diameter_mm: number;
  /** `random`, `layered` or `orthocyclic`. */
  lay: string;
  /** From the middle of a layer to that of the next, mm; 0 of a random lay. */
  layer_pitch_mm: number;
  /** Turns of each layer from the inside; none of a random lay. */
  layers: number[];
  /** Length between the flanges, mm. */
  length_mm: number;
  /** Diameter over the last layer, mm. */
  outer_diameter_mm: number;
  /** Turns. */
  turns: number;
  /** Height of the window, mm. */
  window_mm: number;
  /** The wire as the design calls it. */
  wire: string;
  /** Diameter over the enamel, mm. */
  wire_overall_mm: number;
}

/** Where some part of a magnet works. */
export interface WorkingPoint {
  /** Flux density along the polarization, T. */
  b_T: number;
  /** Field inside along the polarization, kA/m; negative opposes. */
  h_kA_per_m: number;
  /** Polarization, T. */
  j_T: number;
  /** Room left before the knee, % of the knee's field; negative beyond it. */
  knee_margin_percent: number;
}

/** What a change of a dimension is worth. */
export interface Worth {
  /** Change of the contact force per micrometre, at the ampere-turns at which the nominal contact operates, mN. */
  force_mN_per_um: number;
  /** The dimension. */
  of: string;
  /** Change of operate per micrometre, AT. */
  operate_AT_per_um: number;
  /** Change of release per micrometre, AT. */
  release_AT_per_um: number;
  /** The dimension of these contacts: nominal, lowest and highest, µm. */
  size_um: Triple;
}
