/** What the modules of the page share, for editors and for tests/web/test_types.py. It is not served. The replies of the service
come from the types that the test makes from openapi/openapi.json. */

type Schemas = import("../tests/web/build/schema").components["schemas"];

// ---- The service

interface Replies {
  breakdown: Schemas["BreakdownReply"];
  "hydration-correction": Schemas["HydrationCorrectionReply"];
  "pan-fill": Schemas["PanFillReply"];
  scaling: Schemas["ScalingReply"];
  "sugar-budget": Schemas["SugarBudgetReply"];
  "trial-fit": Schemas["TrialFitReply"];
  "loaf-plan": Schemas["LoafPlanReply"];
  keeping: Schemas["KeepingReply"];
  "recipe-import": Schemas["RecipeImportReply"];
}
type Call = keyof Replies;
type Reply = Replies[Call];

interface Facts {
  [labels: `labels?language=${string}`]: Schemas["LabelsFacts"];
  names: Schemas["NamesFacts"];
  units: Schemas["UnitsFacts"];
  pans: Schemas["PansFacts"];
  sources: Schemas["SourcesFacts"];
}

/** The scalded share, and points of water off the optimum for it. */
interface ShareAndWater { share: number; off: number; formula?: object }

/** A call to make. The body is not typed: what a baker typed goes out as it is, and the service says what is wrong with it. */
interface ServiceRequest<C extends Call = Call> {
  call: C; body: object;
  show?: "result";        // without working, sources and notes
  reply?: Replies[C];     // where it is known already, as a part of another
  /** The place on the page of a field of the body, such as "formula/<line>/mass". */
  place(pointer: string): string;
}

interface Api {
  /** POST /v1/<name>. Throws Refused or Unreachable. */
  call<C extends Call>(name: C, body: object, signal?: AbortSignal, show?: string): Promise<Replies[C]>;
  /** GET /v1/<name>, asked once. */
  facts<F extends keyof Facts>(name: F): Promise<Facts[F]>;
}

type ProblemFault = Schemas["ProblemFault"];

/** Something wrong with an entry. */
interface Fault {
  detail: string;
  place?: string;
  code?: string;
  pointer?: string;
  given?: unknown;
  /** The nearest value that would work, or several to choose from. */
  nearest?: unknown;
  /** Whether it is shown at the very field that it is about. */
  exact?: boolean;
  /** The language of the detail; English when missing. */
  lang?: string;
  values?: Record<string, number | string>; options?: Schemas["ProblemOption"][];
  /** For the author of a formula, who knows ingredients by the names of the catalogue. */
  asWritten?: boolean;
}
interface PlacedFault extends Fault { place: string }

// ---- The work

/** What a number field holds: a number in g, cm, cm3 or degC, null when empty, a text that is not a number as typed. */
type Entry = number | string | null;
type Part = "scald" | "dough";
type System = "metric" | "us";
type Quantity = "mass" | "length" | "volume" | "temperature";
interface Keyed { key: string }

type Composition = Record<string, unknown>;
interface Line extends Keyed { ingredient: string; amount: Entry; part: Part; composition?: Composition }
interface Stage extends Keyed { name: string; minutes: Entry; temperature: Entry }
interface WaterPoint extends Keyed { share: Entry; hydration: Entry }
/** A formula as the service sends it. */
interface WireFormula {
  name?: string;
  lines: { ingredient: string; mass: number; part?: Part; composition?: Composition }[];
  scald_evaporation?: number;
}
interface Formula {
  name: string;
  lines: Line[];
  scald_evaporation: Entry;
  /** What the amounts are: masses, or percent of flour. */
  by: "mass" | "percent";
  /** The flour to come back to from percent, g. */
  flour: number | null;
}
/** A line of the bread that is in the bowl, in g: what was weighed, and what was to be weighed before rounding. */
interface Tick { bread: string; row: string; weighed: number; exact: number }

type PanFields = Record<"length" | "width" | "depth" | "top_length" | "top_width" | "base_length" | "base_width" | "top_diameter"
  | "base_diameter" | "volume" | "mass" | "temperature", Entry>;
type PanEntries = PanFields & { shape: string; kind: string };
type WaterOption = "scald_liquid_ratio" | "hydration_percent" | "gluten_percent";
type FlourFigure = "moisture_percent" | "absorption_percent" | "base_moisture_percent" | "base_absorption_percent";
type BreadFigure = "dough_mass" | "fill_percent" | "loaf_volume" | "bake_loss_percent" | "scalded_share_percent" | "specific_volume" | "pan_ratio";
type PlanFigure = "flour_temperature" | "liquid_temperature" | "room_temperature" | "core_temperature" | "scald_mass"
  | "container_mass" | "holding_hours" | "holding_temperature" | "target" | "temperature_rise" | "scald_temperature"
  | "others_temperature" | "tap_temperature";

/** Everything a baker enters for one bread. */
interface Work {
  formula: Formula;
  share: Entry;
  water: { hold: string; scald_liquids: string[]; curve: WaterPoint[]; flour: Record<FlourFigure, Entry> } & Record<WaterOption, Entry>;
  pan: PanEntries;
  pans: Entry;
  lid: boolean | null;
  fill_percent: Entry;
  bake_loss_percent: Entry; cooling_loss_percent: Entry;
  bread: Record<BreadFigure, Entry> & { kind: string; calibration: object | null; pan: PanEntries | null };
  stages: Stage[]; untimed?: boolean; // the times are the example's, and nobody's until one is changed
  yeast_tolerance: string;
  damaged_starch_percent: Entry;
  plan: Record<PlanFigure, Entry> & { method: "pour_over" | "cooked"; stirred: string; ready_at: string; before: Stage[]; after: Stage[] };
  weigh: Record<"handling_percent" | "resolution" | "fine_resolution" | "fine_below", Entry>;
  /** A text is a tick of an older page, and no longer counts. */
  ticked: (Tick | string)[];
}
type State = Work & { version?: number; units: System };

type VolumeKind = "loaf_volume" | "fill_percent" | "crown_height";
type TrialFigure = VolumeKind | "scalded_share_percent" | "hydration_percent" | "dough_mass" | "baked_mass" | "proof_minutes" | OfScald;
interface Trial extends Keyed, Record<Exclude<TrialFigure, OfScald>, Entry>, Partial<Record<OfScald, Entry>> { name: string; volume_by: VolumeKind; pan: PanEntries }
interface Loaf extends Keyed { name: string; points: SoftnessScore[] }
interface SavedBread extends Keyed { name: string; saved: number; work: Work; answers: Partial<Answers> | null }
interface Notebook { breads: SavedBread[]; trials: Trial[]; loaves: Loaf[]; keeping: { direction: "falls" | "rises"; limit: Entry } }

/** A state that is saved at every change. */
interface Store<S> {
  key: string;
  state: S;
  fresh: S;
  /** change((state) => { state.share = 30; }) */
  change(alter: (state: S) => void): void;
  /** Overwrites nothing from now on: what is saved belongs to another page. */
  leave(): void;
  /** Takes over a state that another window of the page has saved. */
  takeOver(state: S): void;
}
type Storage_ = Pick<Storage, "getItem" | "setItem" | "removeItem">;

/** What is wrong with something that came into the page, and where. */
interface SchemaFault { at: (string | number)[]; code: string; key?: string; count?: number; most?: number }

// ---- Answers

interface Answers {
  formula: Replies["breakdown"];
  water: Replies["hydration-correction"];
  fill: Replies["pan-fill"];
  /** The same pan at the share of the formula; null when the share does not move. */
  "fill-before": Replies["pan-fill"] | null;
  sugar: Replies["sugar-budget"];
  weigh: Replies["scaling"];
  trials: Replies["trial-fit"];
  /** Water and loaf by what the bakes teach, used or not; null when refused. */
  "taught-water": Replies["hydration-correction"] | null; taught: Replies["pan-fill"] | null;
}
type Step = keyof Answers;

/** The entries that answers depend on. */
interface Entries { work: State; trials: Trial[] }
/** One run of calls: a copy of the entries, and the replies to it. */
interface Run extends Entries {
  replies: Partial<Answers>;
  /** What each reply depends on, as a text to compare. */
  of?: Partial<Record<Step, string>>;
  units?: Units;
}
type KeptAnswers = Partial<Answers> & { trialsOf?: string };

/** How a run asks once the parts that load later are there. */
interface Asking {
  /** The asking of one run: a plan may answer for several steps. */
  askerOf(work: Work, units: Units, ask: Ask, signal: AbortSignal): Ask;
  /** Asks about the corrected formula, and the loaf that comes of it. */
  also(work: Work, units: Units, corrected: Replies["hydration-correction"], filled: Replies["pan-fill"] | null, ask: Ask): Promise<unknown>;
}
type Ask = <C extends Call>(step: Step, request: ServiceRequest<C>) => Promise<Replies[C] | null>;
/** The calls of a run: ask() gives null for a refused one; allAsked() says that the last is in flight. */
type Job = (ask: Ask, allAsked: () => void, signal: AbortSignal) => Promise<void>;
/** What a runner calls: delivered() after some have been answered. */
interface Listener {
  began(): void; delivered?(): void;
  answered(step: Step, reply: Reply): void; refused(step: Step, faults: PlacedFault[]): void;
  unreachable(): void; settled(): void;
}

/** The answers with the entries they are for. Only this knows whether answers are for the entries as they are now: whatever is
weighed, ticked, printed, saved or compared comes from now(). */
interface AnswersNow {
  hold(run: Run, step: Step, reply: Answers[Step] | undefined): void;
  /** A refused step has no answer, even if it had one before. */
  refuse(run: Run, step: Step): void;
  clear(): void;
  belongs(step: Step): boolean;
  /** The bread that a step was answered for last. */
  nameOf(step: Step): string | undefined;
  /** The replies for the entries as they are now; null for one that does not apply to them. */
  now(): Partial<Answers>;
  /** Whether the entries as they are now are answered as far as the amounts need, and none is refused. */
  complete(): boolean;
  /** What the amounts to weigh depend on. */
  entries(): string;
}

// ---- The bench: what the parts of the page work with

interface Texts {
  /** The language, or the region where it has words of its own. */
  lang: string;
  (name: string, values?: Record<string, unknown>): string;
  has(name: string): boolean;
  /** Loads the texts of the parts that load later. */
  more(part?: "more" | "series"): Promise<void>;
  /** A module, once its texts are there too. */
  moreFor<M>(loading: Promise<M>): Promise<M>;
}

interface Units {
  wire: Record<Quantity, string>;
  unit(quantity: string): string | undefined;
  inward(value: number, quantity: string): number; outward(value: number, quantity: string): number;
}
type UnitTable = Schemas["UnitsFacts"]["quantities"];

/** The ingredients of the catalogue. */
interface Names {
  list: HTMLDataListElement;
  /** What the page calls an ingredient. */
  label(name: string): string;
  /** The catalogue's name for a spelling, or the text itself. */
  name(text: string): string; has(name: string): boolean;
  /** Loads the names in every language. */
  learn(): Promise<void>;
}

interface Spot { fault(faults: Fault[]): void }         // a place that shows faults
/** Shows each fault at its field, or at the nearest place above it. */
interface Board {
  register(place: string, spot: Spot): void; forget(place: string): void;
  /** Removes every fault; the next answers bring back those that remain. */
  clear(): void;
  /** Replaces the faults of one step. A fault that two steps report is shown once. */
  show(step: string, faults: PlacedFault[]): void;
}

interface Band { low: number; high: number }
interface Estimate extends Band { best: number; evidence: string }
type Value = number | null | undefined;
interface Figures {
  /** What the page calls a unit. */
  unitWord(unit?: string): string;
  text(value: number, quantity?: string, digits?: number): string;
  volume(value: number): string; dough(value: number): string; // of a tin, in litres from one on; a mass of dough
  /** A number with its unit; a dash for none. */
  figure(value: Value, quantity?: string, digits?: number): HTMLElement;
  /** The best value, then the band with its evidence. */
  estimate(value: Estimate, quantity: string, digits?: number): Child[];
  band(value: Estimate, quantity: string, digits?: number): HTMLElement;
  /** The band alone, for tables. */
  range(value: Band, digits?: number): HTMLElement | null;
  onScale(line: { mass: number; resolution: number }, of?: number): HTMLElement;        // with the decimals of its scale; in ounces a small one in grams
  /** A mass in a table, each with the same decimals. */
  weight(value: Value): HTMLElement;
}

/** What writes figures. */
interface FiguresBench { t: Texts; locale: string; units(): Units }
/** What fields and answers need: the page's bench and the panel's have it. */
interface FieldsBench extends FiguresBench { board: Board; api: Api; names: Names }

interface SharedBench extends FieldsBench {
  state: State;
  pans: Schemas["PanShape"][];
  isLiquid(name: string): boolean;
  /** Changes the work, and calls the service again. */
  change(alter: (work: State) => void): void;
}
/** last: the newest reply to each step. */
interface PanelBench extends SharedBench { last: Partial<Answers> }

interface Bench extends SharedBench {
  notebook: Store<Notebook>;
  storage: Storage_;
  language: string;
  /** A fresh work. */
  pattern: Work;
  unused: SchemaFault[];        // what of the saved work and notebook can't be used
  /** The place on the page, once the parts that load later are there. */
  place: { keep(): void } | null;
  answers: AnswersNow;
  /** Loads the units and the pans, which most first answers don't need. */
  learnTables(): Promise<void>;
  /** Changes what no answer depends on. */
  keep(alter: (work: State) => void): void;
  changeNotebook(alter: (book: Notebook) => void): void;
  /** A copy of the work by itself, as a notebook or a link carries it. */
  work(): Work;
  redraw(): void;
  notice(...content: (Node | string)[]): void;
  showAnswers(answers: KeptAnswers): void;
  takeOver(key: string | null, text: string): Promise<boolean>;
  switchLanguage(to: string): void;
}
/** What the bench calls after a change. */
interface PageOfBench {
  /** Calls the service again. data-state of <main> says how far the answers are, for styles and for tests. */
  recalculate(): void;
  /** Writes every field again from the state. */
  redraw(): void;
  /** Says whether the answers are for the entries: data-answers of <main> is "current", "coming" or "old". Amounts that are not
  current leave the screen when typing pauses, or at once when late. */
  mark(late?: boolean): void;
  /** Says that changes can't be saved. */
  notSaved(why?: string): void;
  notice(...content: (Node | string)[]): void;
  /** Shows answers that are known already: kept from the last time, or saved with a bread. */
  showAnswers(answers: KeptAnswers): void;
}

// ---- Elements, fields and sections

type Child = Node | string | false | null | undefined | Child[];
interface Attributes {
  on?: Record<string, (event: any) => unknown>;      // the handler knows its event by the name it listens for
  [name: string]: unknown;
}

interface Field { node: HTMLElement; refresh(): void; forget?(): void }
interface InputField extends Field { input: HTMLInputElement }
/** Takes the nearest value of a fault. */
type Accept = ((value: any) => void) & { say?(value: any): string };      // the nearest value of a fault, of whatever kind

interface Reading { number?: number; nothing?: true; unclear?: number[]; why?: string }
/** Reads an amount as a number in the field's own unit; unclear: its two readings; why: the text that says why it is none, if one does. */
type ReadAmount = (text: string, field: { quantity: string; locale: string; units: Units }) => Reading;

/** The field that a fault is shown at. say(): writes a number as the field does; isShare: limits are rounded to what bakers use. */
type AtField = { label?: string; input?: HTMLElement; isShare?: boolean; accept?: Accept; say?(value: any): string; read?(text: string): Reading };

interface NumberOptions {
  label: string;
  /** "mass" and the like, "percent", "minutes", "number"; a function for one that changes. */
  quantity: string | (() => string);
  get(): Entry | undefined;
  set(value: Entry): void;
  place?: string;
  optional?: boolean;        // may stay empty
  hint?: string | null;
  hideLabel?: boolean;
  unitText?: string; isShare?: boolean;
  placeholder?: string;
}
type Choices = [value: string, label: string][];
interface ChoiceOptions { label: string; choices: Choices | (() => Choices); get(): string; set(value: string): void; place?: string; hint?: string }
interface RadioOptions { label: string; choices: Choices; get(): string; set(value: string): void; hint?: string }
interface TextOptions {
  label: string;
  get(): string;
  set(value: string): void;
  place?: string; list?: string; hideLabel?: boolean; accept?: Accept;
  placeholder?: string;
}
interface SliderOptions {
  label: string; place: string;
  get(): Entry;
  set(value: Entry): void;
  min: number; max: number; step: number;
  marks(): number[];
}
/** The kinds of a thing, each with its fields and what they measure; "?": may stay empty. */
type Kinds = Record<string, Record<string, string>>;
interface KindOptions {
  label: string;
  texts: string;        // the group of texts: "pan" for panKind and panField
  kinds: Kinds;
  get(): string; set(kind: string): void;
  read(name: string): Entry; write(name: string, value: Entry): void;
  place: string;
  hint?: string;
  offered?(kind: string): boolean;
}

interface Row { node: HTMLElement; refresh(): void; forget?(): void; focus?(): void }

/** A note or a caution of a reply. own: the text in the language of the page. */
interface Said { code: string; text: string; values?: Record<string, number | string>; own?: string }
interface Caution extends Said { defer_to: string }
interface Answer {
  node: HTMLElement;
  show(...replies: any[]): boolean | void;      // each section takes its own; whether they are new
  /** Writes the same answer again, because what it is compared with has changed. */
  redraw(): void;
  /** The answer no longer fits the entries. It stays readable and says so. */
  old(...words: (Node | string)[]): void;
  /** Says something above the answer, until the next one. */
  say(...words: (Node | string)[]): void;
  /** Takes the answer away. */
  withdraw(): void;
}
interface Section {
  node: HTMLElement;
  /** Room for a chart. */
  room?: HTMLElement;
  refresh(): void;
  /** Of a section with an answer of the chain: the step it shows, and the replies beside it that it needs. */
  step?: Step;
  beside?: Step[];
  answer?: Answer;
  /** What its fold says while it is closed. */
  summary?(): string;
  /** Marks the share of the recipe as it is; null while that is not known. */
  markShareOf?(formula: Answers["formula"] | null): void;
  /** Offers the pans to start from, once they are loaded. */
  offerPans?(): void;
}
interface PlanSections { sections: [string, Section][]; cautions(): Caution[]; recalculate(): void; old(): void }
type FillSection = Section & { room: HTMLElement };
type SugarSection = Section & { room: HTMLElement };
type TonightSection = Section & { step: Step; answer: Answer };
/** Why there is nothing to weigh. */
interface Why { matter: string; toDo: string; fault: boolean; hopeless: boolean }
type WeighSection = Section & {
  /** Follows data-answers. */
  follow(how: string, why: Why): void;
  /** Opens the card by itself; goes to what is wrong. */
  bake(): void; fix(): Promise<void>;
  printCode(): void; paper: HTMLElement; scale: HTMLElement;
};

type WeighOutLine = Answers["weigh"]["weigh_out"][0];
/** A line to tick off. exact: the amount before it was rounded for the scale. */
interface TickRow { line: WeighOutLine; exact: number; node: Element; box: HTMLInputElement; what: Node; was: Node; much: Element }

// ---- The documentation

/** The renderer of the package flask-swagger-ui. */
declare const SwaggerUIBundle: { (settings: object): void; presets: { apis: unknown } };
