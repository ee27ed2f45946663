/** What stands on a page of paper, before it has a place. Lengths in millimetres. */
export type Column = { widthMm: number; align: 'left' | 'right' }
/** `write`: an empty field to write into by hand. */
export type Cell = { text: string; bold?: boolean } | 'write'

export type Block =
  | { kind: 'heading'; text: string }
  | { kind: 'text'; text: string; size?: 'small' | 'usual' | 'large'; bold?: boolean }
  /** What it is about stands in bold before it. */
  | { kind: 'fact'; about: string; says: string }
  /** Columns from the left edge; words that are too wide for theirs go on below. */
  | { kind: 'table'; columns: readonly Column[]; rows: readonly (readonly Cell[])[]; size: 'usual' | 'large' }
  /** Squares to strike, one for each coat. */
  | { kind: 'boxes'; about: string; says: string; count: number }
  /** Lines to be filled in by hand. */
  | { kind: 'blanks'; labels: readonly string[] }
  /** Flat colours or pictures side by side, touching; null: nobody knows it. */
  | { kind: 'swatches'; of: readonly { under: string; hex: string | null; cut: string | null }[] }
  | { kind: 'rule' }
  /** Stays on one page where it fits on one. */
  | { kind: 'together'; blocks: readonly Block[] }
