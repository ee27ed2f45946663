/** Rows of the bench: jobs, cups and what is on hand; see `tables.ts` for how values are kept. */

/** `candidates`, `formula`, `parts`, `checks` and `decisions` are JSON of the records of the same name. */
export type CustomerJobRow = {
  id: string
  code: string
  title: string
  customer: string
  status: string
  reference_id: string | null
  tolerance: number
  due_on: string | null
  candidates: string
  formula: string | null
  parts: string
  checks: string
  decisions: string
  notes: string
  created_at: string
  deleted_at: string | null
}
/** `mixture`, `target` and `measure` are JSON: a cup keeps what was meant, whatever becomes of the formula. */
export type CupRow = {
  id: string
  code: string
  title: string
  customer_job_id: string | null
  panel_id: string | null
  mixture: string
  target: string
  measure: string
  cup_ml: number | null
  tip_mm: number | null
  status: string
  started_at: string
  mixed_at: string | null
  mixed_by: string
  hardener_at: string | null
  stand_until: string | null
  pot_life_until: string | null
  notes: string
}
export type CupLineRow = {
  id: string
  cup_id: string
  position: number
  material_id: string
  name: string
  kind: string
  powder: number
  wanted: number
  poured: number | null
  accepted: number
  batch: string
}
export type StockMoveRow = {
  id: string
  material_id: string
  at: string
  amount: number
  basis: string
  why: string
  cup_id: string | null
  batch: string
  who: string
}
export type ReplacementRow = {
  id: string
  at: string
  who: string
  material_id: string
  by_material_id: string
  panel_ids: string
  customer_job_ids: string
}
