import { z } from 'zod'
import { Point } from '../../../../shared-core/records/area.ts'
import { Geometry, Illuminant, Level } from '../../../../shared-core/records/colour.ts'
import { CupMeasure, CupTarget } from '../../../../shared-core/records/cup.ts'
import { CustomerJob } from '../../../../shared-core/records/customer-job.ts'
import { Mixture } from '../../../../shared-core/records/mixture.ts'
import { PanelFilter, PanelSort } from '../../../../shared-core/records/panel.ts'
import { Caution, Sha256 } from '../../../../shared-core/records/photo.ts'
import { SheetFit, SheetOnPhoto } from '../../../../shared-core/records/photo-sheet.ts'
import { BoundPart, SpectrumRecord, Texture } from '../../../../shared-core/records/reading.ts'
import { SetupFit } from '../../../../shared-core/records/setup.ts'
import { PanelGroup } from '../../../../shared-core/records/wall.ts'
import type { TrackedTable } from '../../tables.ts'

/**
 * What a row of a stranger's rack must be before it counts. The tables' own CHECKs hold too; here stands what they cannot
 * say: that lists are lists of the right things, that numbers are numbers, that ids and keys cannot lead anywhere.
 */
const Id = z.string().regex(/^[0-9a-zA-Z-]{1,64}$/)
const IdOrNone = Id.nullable()
const Words = z.string().max(200_000)
const Short = z.string().max(4000)
const Name = z.string().min(1).max(400)
const When = z.string().max(60)
const Finite = z.number()
const Whole = z.int()
const Place = Whole.nonnegative()
const CutKey = z.string().regex(/^([0-9a-f]{32})?$/)

const mostJson = 4_000_000

/** Nested more deeply than any formula, it would end whoever walks through it. */
const deepest = 60
const isShallow = (text: string): boolean => {
  let depth = 0
  for (const letter of text) {
    if (letter === '{' || letter === '[') depth++
    else if (letter === '}' || letter === ']') depth--
    if (depth > deepest) return false
  }
  return true
}

/** A column that holds JSON of this form. */
const json = (form: z.ZodType) =>
  z
    .string()
    .max(mostJson)
    .refine((text) => {
      if (!isShallow(text)) return false
      try {
        return form.safeParse(JSON.parse(text)).success
      } catch {
        return false
      }
    })

const Quad = json(z.array(Point).length(4))
const lab = { l: Finite, a: Finite, b: Finite }
const { candidates, formula, parts, checks, decisions } = CustomerJob.shape

export const rowForms: Readonly<Record<TrackedTable, z.ZodType>> = {
  panel: z.looseObject({
    id: Id,
    code: z.string().min(1).max(24),
    title: Short,
    sprayed_by: Short,
    substrate: Short,
    notes: Words,
    created_at: When,
    deleted_at: When.nullable(),
  }),
  tag: z.looseObject({ id: Id, panel_id: Id, position: Place, name: Name }),
  material: z.looseObject({
    id: Id,
    name: Name,
    maker_name: Short,
    density_kg_per_l: Finite.nullable(),
    volume_solids_percent: Finite.nullable(),
    cost_per_l: Finite.nullable(),
    batch: Short,
    data_sheet: Short,
    notes: Words,
    on_hand: Finite.nullable(),
    opened_on: When.nullable(),
    reorder_at: Finite.nullable(),
    data_sheet_sha256: Sha256.nullable(),
    data_sheet_name: z
      .string()
      .regex(/\.(pdf|jpg|png)$/)
      .max(400)
      .nullable(),
    pot_life_min: Finite.nullable(),
    flake_micron: Finite.nullable(),
    replaced_by_id: IdOrNone,
  }),
  mixture: z.looseObject({ id: Id, root_id: Id, name: Short }),
  mixture_part: z.looseObject({
    id: Id,
    mixture_id: Id,
    root_id: Id,
    position: Place,
    amount: Finite,
    material_id: IdOrNone,
    child_id: IdOrNone,
  }),
  gun_setup: z.looseObject({
    id: Id,
    name: Name,
    gun: Short,
    tip_mm: Finite.nullable(),
    inlet_kpa: Finite.nullable(),
    cap_kpa: Finite.nullable(),
    distance_mm: Finite.nullable(),
    overlap_percent: Finite.nullable(),
  }),
  booth_conditions: z.looseObject({
    id: Id,
    temperature_c: Finite.nullable(),
    humidity_percent: Finite.nullable(),
    flash_off_min: Finite.nullable(),
    reducer_grade: Short,
  }),
  layer: z.looseObject({
    id: Id,
    panel_id: Id,
    position: Place,
    name: Short,
    coats: Finite,
    mixture_id: IdOrNone,
    gun_setup_id: IdOrNone,
    booth_id: IdOrNone,
    notes: Words,
  }),
  step: z.looseObject({ id: Id, panel_id: Id, position: Place, coats: Finite, notes: Words }),
  light: z.looseObject({ id: Id, position: Place, name: Name, kelvin: Finite.nullable() }),
  photo: z.looseObject({
    id: Id,
    sha256: Sha256,
    name: Short,
    width: Whole.max(1_000_000),
    height: Whole.max(1_000_000),
    byte_count: Place,
    profile: Short,
    taken_at: When.nullable(),
    camera: Short.nullable(),
    exposure_s: Finite.nullable(),
    f_number: Finite.nullable(),
    iso: Finite.nullable(),
    white_balance: z.enum(['auto', 'manual']).nullable(),
    focal_length_mm: Finite.nullable(),
    light_id: IdOrNone,
    setup_id: IdOrNone,
    flat_photo_id: IdOrNone,
    mm_per_pixel: Finite.nullable(),
    sheet: json(SheetOnPhoto).nullable().optional(),
    laid_out_at: When.nullable(),
    cautions: json(z.array(Caution)),
    added_at: When,
    deleted_at: When.nullable(),
  }),
  card: z.looseObject({ id: Id, photo_id: Id, quad: Quad, ...lab }),
  tile: z.looseObject({ id: Id, photo_id: Id, position: Place, quad: Quad, ...lab }),
  chart: z.looseObject({ id: Id, photo_id: Id, quad: Quad, chart_table: z.enum(['avg30']) }),
  setup: z.looseObject({
    id: Id,
    name: Name,
    camera: Short.nullable(),
    light_id: IdOrNone,
    notes: Words,
    photo_id: IdOrNone,
    fit: json(SetupFit),
    calibrated_at: When,
    created_at: When,
    deleted_at: When.nullable(),
  }),
  known_sheet: z.looseObject({
    id: Id,
    series: Whole,
    light_id: IdOrNone,
    photo_id: IdOrNone,
    fit: json(SheetFit),
    learned_at: When,
    deleted_at: When.nullable(),
  }),
  area: z
    .looseObject({
      id: Id,
      photo_id: Id,
      position: Place.nullable(),
      step_id: IdOrNone,
      kind: z.string(),
      points: json(z.array(Point).min(1).max(4)),
      radius: Finite.nullable(),
      cut_key: CutKey,
    })
    .refine(({ kind, points }) => (JSON.parse(points) as unknown[]).length === (kind === 'round' ? 1 : 4)),
  filing: z.looseObject({ id: Id, photo_id: Id, panel_id: IdOrNone, reference_id: IdOrNone, filed_at: When }),
  reference: z.looseObject({ id: Id, name: Name, notes: Words, created_at: When, deleted_at: When.nullable() }),
  reading: z.looseObject({
    id: Id,
    step_id: IdOrNone,
    reference_id: IdOrNone,
    photo_id: IdOrNone,
    area_id: IdOrNone,
    ...lab,
    illuminant: Illuminant,
    geometry: Geometry,
    level: Level,
    bound90: Finite.positive(),
    parts: json(z.array(BoundPart)),
    cautions: json(z.array(Caution)),
    cut_key: CutKey.nullable(),
    light_id: IdOrNone,
    age_days: Finite.nullable(),
    taken_at: When,
    deleted_at: When.nullable(),
    texture: json(Texture).nullable(),
    setup_id: IdOrNone,
    spectrum: json(SpectrumRecord).nullable(),
    instrument: Short.nullable(),
    bound_shared_photo: Finite.nullable(),
    bound_shared_setup: Finite.nullable(),
  }),
  customer_job: z.looseObject({
    id: Id,
    code: z.string().min(1).max(40),
    title: Name,
    customer: Short,
    reference_id: IdOrNone,
    tolerance: Finite,
    due_on: When.nullable(),
    candidates: json(candidates),
    formula: json(formula).nullable(),
    parts: json(parts),
    checks: json(checks),
    decisions: json(decisions),
    notes: Words,
    created_at: When,
    deleted_at: When.nullable(),
  }),
  cup: z.looseObject({
    id: Id,
    code: z.string().min(1).max(40),
    title: Short,
    customer_job_id: IdOrNone,
    panel_id: IdOrNone,
    mixture: json(Mixture),
    target: json(CupTarget),
    measure: json(CupMeasure),
    cup_ml: Finite.nullable(),
    tip_mm: Finite.nullable(),
    started_at: When,
    mixed_at: When.nullable(),
    mixed_by: Short,
    hardener_at: When.nullable(),
    stand_until: When.nullable(),
    pot_life_until: When.nullable(),
    notes: Words,
  }),
  cup_line: z.looseObject({
    id: Id,
    cup_id: Id,
    position: Place,
    material_id: Id,
    name: Name,
    kind: Name,
    wanted: Finite,
    poured: Finite.nullable(),
    batch: Short,
  }),
  stock_move: z.looseObject({
    id: Id,
    material_id: Id,
    at: When,
    amount: Finite,
    cup_id: IdOrNone,
    batch: Short,
    who: Short,
  }),
  replacement: z.looseObject({
    id: Id,
    at: When,
    who: Short,
    material_id: Id,
    by_material_id: Id,
    panel_ids: json(z.array(Id)),
    customer_job_ids: json(z.array(Id)),
  }),
  saved_search: z.looseObject({
    id: Id,
    name: Name,
    filter: json(PanelFilter.partial()),
    sort: PanelSort,
    grouping: PanelGroup,
    created_at: When,
  }),
}
