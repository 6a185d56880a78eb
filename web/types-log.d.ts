/** What the bake log, the comparison, tastings, prices and their tables share. Not served, like types.d.ts. */

interface Replies {
  variants: Schemas["VariantsReply"];
  "tasting-plan": Schemas["TastingPlanReply"];
  "tasting-result": Schemas["TastingResultReply"];
  "recipe-export": Schemas["RecipeExportReply"];
  "share-limit": Schemas["ShareLimitReply"];
}

/** What a compared bread may have of its own; null: as tonight's bread has it. */
type OwnFigure = "hydration_percent" | "scald_liquid_ratio" | "sucrose_percent" | "gluten_percent";
type ComparedBread = Record<"share" | OwnFigure, Entry>;
/** What may limit the scalded share: the most dough for the tin, the longest proof, the most gluten to add. */
type LimitFigure = "dough_mass" | "proof_minutes" | "gluten_percent";
interface Work {
  /** Missing until there is one. */
  limits?: Record<LimitFigure, Entry>;
  /** The breads compared with the recipe's own, by their shares alone or with more; missing until the baker has chosen some. */
  compare?: (Entry | ComparedBread)[];
}
/** price: for a kilogram or a pound, in the baker's own currency. */
interface Price extends Keyed { ingredient: string; price: Entry; per: "kg" | "lb" }
type TastingFigure = "tasters" | "discriminators_percent" | "power_percent" | "significance_percent" | "came" | "right";
/** A blind tasting. by: whether the tasters or the wanted power are given. draw: takes the place of chance, so that the same plan
comes back. chosen, rankings: the answers, by sample and by taster. */
interface Tasting extends Keyed, Record<TastingFigure, Entry> {
  test: "triangle" | "duo_trio" | "paired" | "ranking";
  samples: Sample[];
  by: "tasters" | "power";
  expected: string;
  contains: string;
  draw: number;
  chosen: Entry[];
  rankings: string[];
}
interface Sample extends Keyed { name: string }
interface Notebook {
  /** Missing until there is one. */
  prices?: Price[];
  tastings?: Tasting[];
}
interface SoftnessScore extends Keyed { days: Entry; score: Entry }
/** What bakes of older pages don't say. */
type OfScald = "scald_liquid_ratio" | "gluten_percent";
interface Trial {
  /** What was baked; missing in a bake of an older page. */
  bread?: string;
  /** Softness by day; missing until the first score. */
  points?: SoftnessScore[];
}
interface Section {
  /** The answer in one line, for the section while it is folded. */
  summary?(): string;
}

/** A column of the bake log: a bake, or a loaf of which only scores are known. */
type LogColumn = Trial | Loaf;

// ---- Tables with a column an item

interface GridRow {
  name: string;
  /** The header of the row, and the unit of its figures. */
  label: string;
  unit?: string;
  /** A heading above the rows that follow it. */
  group?: boolean;
  /** A row below the others, ruled off. */
  foot?: boolean;
  /** Its class. */
  kind?: string;
}
interface GridCell {
  content: Child;
  /** Where the faults of its fields are written: below the row, over its whole width. */
  faults?: Element[];
  kind?: string;
}
interface GridColumn {
  head: GridCell;
  cell(row: string): GridCell | null;
  /** Its fields by the name of their row, to be named by row and column. */
  inputs(row: string): HTMLElement[];
  refresh(): void;
  /** The fields of a row that is gone are of no use. */
  drop?(row: string): void;
  forget?(): void;
}
