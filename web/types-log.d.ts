/** What the bake log, the comparison and their tables share. Not served, like types.d.ts. */

interface Work {
  /** The shares compared with the recipe's own; missing until the baker has chosen some. */
  compare?: Entry[];
}
interface Trial {
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
