/** A column of a table: what it holds, in which unit. */
export interface Column {
  readonly head: string;
  readonly unit?: string;
  /** True for a column of numbers. */
  readonly number?: boolean;
  /** True where only who hears the table needs the head: a column of buttons. */
  readonly spoken?: boolean;
}
