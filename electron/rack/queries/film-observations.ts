import { type Kysely, sql } from 'kysely'
import { dyeLoad } from '../../../shared-core/film/forward.ts'
import type { FilmLibrary, FilmObservation } from '../../../shared-core/film/recipe.ts'
import type { LeftOut } from '../../../shared-core/records/film.ts'
import type { MaterialRef } from '../../../shared-core/records/mixture.ts'
import type { GunSetup } from '../../../shared-core/records/panel.ts'
import type { Tables } from '../tables.ts'
import { buildOf, type GroundSeen, type PanelBuild, type StepBuild, stepOf } from './film-build.ts'
import { type NamedGround, nameGrounds } from './film-grounds.ts'
import { type FilmReadings, readFilmReadings } from './film-readings.ts'
import { readLayers } from './panel-read.ts'
import { listMaterials } from './shelf.ts'

/** A sprayed step, read or not: what stands beside predictions of the same recipe. */
export type FilmStep = {
  panelId: string
  code: string
  stepId: string
  ground: string
  under: { id: string; coats: number } | null
  over: { id: string; coats: number } | null
  /** The dyes' shares of the cup where there is one candy; empty on bare ground; null for candies of several cups. */
  dyes: { id: string; share: number }[] | null
  coats: number
  gunId: string | null
  isCleared: boolean
  readings: FilmReadings
}

/** The whole rack as the film model takes it, with the names of what it calls by ids. */
export type FilmRack = {
  revision: number
  library: FilmLibrary
  /** The step of each observation, by the id of its reading. */
  stepOfReading: ReadonlyMap<string, FilmStep>
  /** The newest first. */
  steps: readonly FilmStep[]
  candies: readonly { id: string; name: string; onShelf: boolean }[]
  grounds: readonly NamedGround[]
  midCoats: readonly { id: string; name: string }[]
  guns: readonly GunSetup[]
  leftOut: readonly LeftOut[]
}

/**
 * Sprayed and retired panels that are not in the trash, and their readings of the face. A fixed number of queries
 * whatever the rack's size.
 */
export async function readFilmRack(db: Kysely<Tables>): Promise<FilmRack> {
  const { revision } = await db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
  const rows = await sprayedSteps(db)
  const panelIds = [...new Set(rows.map((row) => row.panel_id))]
  const layers = await readLayers(db, panelIds)
  const materials = await listMaterials(db)
  const density = new Map(materials.map(({ id, densityKgPerL }) => [id, densityKgPerL]))
  const densityOf = ({ id }: MaterialRef) => (id === null ? null : (density.get(id) ?? null))
  const readings = await readFilmReadings(db)

  const leftOut: LeftOut[] = []
  const built: { row: StepRow; build: StepBuild }[] = []
  const guns = new Map<string, GunSetup>()
  const names = new Map<string, string>()
  for (const [panelId, steps] of Map.groupBy(rows, (row) => row.panel_id)) {
    const own = layers.get(panelId) ?? []
    const coats = steps.map((step) => step.coats)
    const build: PanelBuild | string = buildOf(own, coats, densityOf)
    for (const layer of own) {
      if (layer.kind === 'candy' && layer.gunSetup?.id) guns.set(layer.gunSetup.id, layer.gunSetup)
    }
    for (const row of steps) {
      const step = typeof build === 'string' ? build : stepOf(build, row.coats)
      if (typeof step === 'string') leftOut.push(named(row, step))
      else built.push({ row, build: step })
    }
  }
  for (const { build } of built) {
    for (const mid of [build.under, build.over]) if (mid && !names.has(mid.id)) names.set(mid.id, mid.name)
  }
  const { list: grounds, idOf } = nameGrounds(groundsByPanel(built))
  const cleared = new Set(
    [...layers].flatMap(([id, own]) => (own.some(({ kind, coats }) => kind === 'clear' && coats > 0) ? [id] : [])),
  )

  const observations: FilmObservation[] = []
  const stepOfReading = new Map<string, FilmStep>()
  const steps: FilmStep[] = []
  for (const { row, build } of built) {
    const step: FilmStep = {
      panelId: row.panel_id,
      code: row.code,
      stepId: row.id,
      ground: idOf(build.ground),
      under: build.under && { id: build.under.id, coats: build.under.coats },
      over: build.over && { id: build.over.id, coats: build.over.coats },
      dyes: build.candies.length > 1 ? null : (build.candies[0]?.dyes ?? []),
      coats: build.coats,
      gunId: build.gunId,
      isCleared: cleared.has(row.panel_id),
      readings: readings.get(row.id) ?? { usable: [], why: 'It has not been read yet.', cuts: {} },
    }
    steps.push(step)
    if (step.readings.usable.length === 0) leftOut.push(named(row, step.readings.why))
    for (const { id, lab, noise, shared, finish } of step.readings.usable) {
      const { ground, under, over, coats, gunId: gun } = step
      const dyes = loadsOf(build)
      observations.push({ id, panel: row.panel_id, lab, noise, shared, finish, ground, under, over, coats, gun, dyes })
      stepOfReading.set(id, step)
    }
  }
  return {
    revision,
    library: {
      observations,
      groundKinds: new Map(grounds.map(({ id, kind }) => [id, kind])),
      scatterPerCoat: null,
    },
    stepOfReading,
    steps,
    candies: materials.flatMap(({ id, name, kind, onShelf }) =>
      kind === 'concentrate' ? [{ id, name, onShelf }] : [],
    ),
    grounds,
    midCoats: [...names].map(([id, name]) => ({ id, name })).toSorted((a, b) => (a.id < b.id ? -1 : 1)),
    guns: [...guns.values()].toSorted((a, b) => (a.name < b.name ? -1 : 1)),
    leftOut,
  }
}

type StepRow = { id: string; coats: number; panel_id: string; code: string }

/** The newest panels first. */
const sprayedSteps = (db: Kysely<Tables>): Promise<StepRow[]> =>
  db
    .selectFrom('step')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .select(['step.id', 'step.coats', 'step.panel_id', 'panel.code'])
    .where('panel.deleted_at', 'is', null)
    // a retired panel still teaches; a planned one has nothing to teach
    .where('panel.status', 'in', ['sprayed', 'retired'])
    .orderBy(sql`coalesce(panel.sprayed_on, substr(panel.created_at, 1, 10))`, 'desc')
    .orderBy('panel.created_at', 'desc')
    .orderBy('step.panel_id')
    .orderBy('step.position')
    .execute()

const named = ({ panel_id: panelId, code, id: stepId }: StepRow, why: string): LeftOut => ({
  panelId,
  code,
  stepId,
  why,
})

/** Each panel counts once for each ground that its steps show. */
function groundsByPanel(built: readonly { row: StepRow; build: StepBuild }[]): GroundSeen[] {
  const seen = new Map<string, Set<GroundSeen>>()
  for (const { row, build } of built) {
    const own = seen.get(row.panel_id)
    if (own) own.add(build.ground)
    else seen.set(row.panel_id, new Set([build.ground]))
  }
  return [...seen.values()].flatMap((own) => [...own])
}

/** Loads of the same dye in several candies add up. */
function loadsOf({ candies }: StepBuild): { id: string; load: number }[] {
  const loads = new Map<string, number>()
  for (const { coats, dyes } of candies)
    for (const { id, share } of dyes) loads.set(id, (loads.get(id) ?? 0) + dyeLoad(coats, share))
  return [...loads].map(([id, load]) => ({ id, load }))
}
