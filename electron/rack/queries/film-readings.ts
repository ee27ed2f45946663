import { type Kysely, sql } from 'kysely'
import { sharesOf } from '../../../shared-core/capture/shared-errors.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import { samplingFault, spectrumToLab } from '../../../shared-core/colour/spectrum.ts'
import type { FilmObservation } from '../../../shared-core/film/recipe.ts'
import type { Finish } from '../../../shared-core/records/film.ts'
import type { SpectrumRecord } from '../../../shared-core/records/reading.ts'
import type { Tables } from '../tables.ts'

/** A reading that the film model can take, as it takes it. */
export type FilmReading = Pick<FilmObservation, 'id' | 'lab' | 'noise' | 'shared' | 'finish'> & {
  bound90: number
  takenAt: string
  /** Otherwise it was measured or typed. */
  fromPhoto: boolean
}
export type FilmReadings = {
  /** The newest first. */
  usable: FilmReading[]
  /** Why none is usable, in words; empty when one is. */
  why: string
  /** Key of the newest cut-out by finish. */
  cuts: Partial<Record<Finish, string>>
}

/** Mean length of an error whose 90 % point is 1: both of the length of a unit normal in three dimensions, 1.5958 / 2.5003. */
const meanOfBound = 1 / 1.57
/** No reading is trusted more than this, in dE00 (mean length). Set by judgement. */
const leastNoise = 0.3

/** Readings of sprayed panels by step. */
export async function readFilmReadings(db: Kysely<Tables>): Promise<Map<string, FilmReadings>> {
  const rows = await db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .select([
      'step.id as step_id',
      'reading.id',
      'reading.l',
      'reading.a',
      'reading.b',
      'reading.illuminant',
      'reading.observer',
      'reading.level',
      'reading.view',
      'reading.stage',
      'reading.bound90',
      'reading.photo_id',
      'reading.setup_id',
      'reading.bound_shared_photo',
      'reading.bound_shared_setup',
      'reading.cut_key',
      'reading.taken_at',
    ])
    // only where the colour itself is not the one that is wanted
    .select(
      sql<string | null>`case when reading.illuminant = 'D50' and reading.observer = '2' then null
        else reading.spectrum end`.as('spectrum'),
    )
    .where('reading.deleted_at', 'is', null)
    .where('panel.deleted_at', 'is', null)
    .where('panel.status', 'in', ['sprayed', 'retired'])
    .orderBy('reading.taken_at', 'desc')
    .orderBy('reading.id', 'desc')
    .execute()
  return new Map([...Map.groupBy(rows, (row) => row.step_id)].map(([id, own]) => [id, usableOf(own)]))
}

type Row = {
  id: string
  l: number
  a: number
  b: number
  illuminant: string
  observer: string
  level: string
  view: string
  stage: string
  bound90: number
  photo_id: string | null
  setup_id: string | null
  bound_shared_photo: number | null
  bound_shared_setup: number | null
  cut_key: string | null
  taken_at: string
  spectrum: string | null
}

const finishOf = (stage: string): Finish => (stage === 'cleared' || stage === 'cured' ? 'cleared' : 'uncleared')

function usableOf(rows: readonly Row[]): FilmReadings {
  const faces = rows.filter(({ view }) => view === 'face')
  const calibrated = faces.filter(({ level }) => level !== 'uncalibrated' && level !== 'predicted')
  const coloured = calibrated.flatMap((row) => {
    const lab = labOf(row)
    return lab ? [{ row, lab }] : []
  })
  // wet paint is another colour: it stands in only where nobody read it dry
  const hasDry = coloured.some(({ row }) => row.stage === 'dry')
  const usable = coloured
    .filter(({ row }) => row.stage !== 'wet' || !hasDry)
    .map(({ row, lab }) => asFilmReading(row, lab))
  const why =
    usable.length > 0
      ? ''
      : calibrated.length > 0
        ? 'It was read under another illuminant or observer, and without a spectrum that could tell its colour under D50.'
        : faces.length > 0
          ? 'Its photos were read without a card, so that nobody knows how far off they are.'
          : 'It was read near the glare or at the flop, not at its face.'
  const cuts: FilmReadings['cuts'] = {}
  for (const { cut_key, stage } of faces) if (cut_key !== null) cuts[finishOf(stage)] ??= cut_key
  return { usable, why, cuts }
}

/** D50, 2°; null where the reading is not, and cannot be computed to it. */
function labOf({ l, a, b, illuminant, observer, spectrum }: Row): Lab | null {
  if (illuminant === 'D50' && observer === '2') return { l, a, b }
  if (spectrum === null) return null
  const { startNm, stepNm, values } = JSON.parse(spectrum) as SpectrumRecord
  const at = { startNm, stepNm, count: values.length }
  return samplingFault(at) === null ? spectrumToLab(values, at) : null
}

function asFilmReading(row: Row, lab: Lab): FilmReading {
  const shares = sharesOf({
    bound90: row.bound90,
    photoId: row.photo_id,
    setupId: row.setup_id,
    sharedPhoto: row.bound_shared_photo,
    sharedSetup: row.bound_shared_setup,
  })
  const shared: { by: string; noise: number }[] = []
  let own = shares.own
  const share = (by: string | null, kind: string, bound: number) => {
    // an error of a photo or set-up that is not named is shared with nobody
    if (by === null) own = Math.hypot(own, bound)
    else if (bound > 0) shared.push({ by: `${kind} ${by}`, noise: bound * meanOfBound })
  }
  share(row.photo_id, 'photo', shares.photo)
  share(row.setup_id, 'set-up', shares.setup)
  return {
    id: row.id,
    lab,
    noise: Math.max(leastNoise, own * meanOfBound),
    shared,
    finish: finishOf(row.stage),
    bound90: row.bound90,
    takenAt: row.taken_at,
    fromPhoto: row.photo_id !== null,
  }
}
