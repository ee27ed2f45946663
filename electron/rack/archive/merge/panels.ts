import type { Choice, ComparedPanel, PanelFate } from '../../../../shared-core/records/archive.ts'
import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'
import { alter, comeIn, freeId, keyOf, type Merging } from './merging.ts'
import { derivedId } from './operations.ts'
import { goingRows, putBuild, removeBuild } from './panel-build.ts'
import { contentOf, differences, isProbablySame, type Known, type PanelUnit, panelUnit } from './panel-unit.ts'
import { bringFilings } from './photos.ts'
import { bringReadings, readingsToBring } from './readings.ts'
import { text } from './sides.ts'
import { idHere } from './things.ts'

/** A panel of theirs, and the one here that it is held against. */
export type Pair = {
  theirs: PanelUnit
  ours: PanelUnit | null
  fate: PanelFate | 'same'
  what: string[]
  /** By their step's id. */
  steps: Map<string, string>
}

const toOurs =
  (m: Merging): Known =>
  (table, id) =>
    idHere(m, table, id)
const asItIs: Known = (_, id) => id

const copyId = (id: string): string => derivedId(id, 'kept both')

/** Panels here by what makes them probably the same as one of theirs. */
export type Likely = (panel: Row) => Row[]

export function pairUp(m: Merging, panel: Row, likely: Likely): Pair {
  const theirs = panelUnit(m.theirs, panel)
  const id = text(panel.id)
  const itself = m.ours.get('panel', id)
  if (itself) return compared(m, theirs, panelUnit(m.ours, itself), false)
  const content = contentOf(theirs, toOurs(m))
  for (const candidate of likely(panel)) {
    const ours = panelUnit(m.ours, candidate)
    const sameCode = text(candidate.code).toLowerCase() === text(panel.code).toLowerCase()
    if ((sameCode && isProbablySame(content, contentOf(ours, asItIs))) || shareAPhoto(m, id, text(candidate.id)))
      return compared(m, theirs, ours, true)
  }
  const readings = theirs.steps.reduce((sum, step) => sum + readingsToBring(m, 'step_id', text(step.id), null), 0)
  return {
    theirs,
    ours: null,
    fate: 'new',
    what: counted([readings, 'reading'], [photosOf(m, id), 'photo']),
    steps: new Map(),
  }
}

const photosOf = (m: Merging, panelId: string): number =>
  m.theirs.all(
    'select distinct filing.photo_id from filing join photo on photo.id = filing.photo_id where panel_id = ? and photo.deleted_at is null',
    panelId,
  ).length

const shasOf = (side: Merging['ours'], panelId: string): string[] =>
  side
    .all(
      'select photo.sha256 from filing join photo on photo.id = filing.photo_id where panel_id = ? and photo.deleted_at is null',
      panelId,
    )
    .map((row) => text(row.sha256))

/** All photos of one are photos of the other. */
function shareAPhoto(m: Merging, theirId: string, ourId: string): boolean {
  const [theirs, ours] = [shasOf(m.theirs, theirId), new Set(shasOf(m.ours, ourId))]
  const shared = theirs.filter((sha256) => ours.has(sha256)).length
  return shared > 0 && (shared === theirs.length || shared === ours.size)
}

function compared(m: Merging, theirs: PanelUnit, ours: PanelUnit, isOther: boolean): Pair {
  const steps = stepsHere(theirs, ours)
  const facts = differences(contentOf(theirs, toOurs(m)), contentOf(ours, asItIs))
  if (codeToTake(m, theirs, ours) !== null) facts.unshift('code')
  if (stepChanges(theirs, ours, steps).length > 0) facts.push('coats of its steps')
  const readings = theirs.steps.reduce((sum, step) => {
    const here = steps.get(text(step.id)) ?? null
    return sum + readingsToBring(m, 'step_id', text(step.id), here) + statesToBring(m, text(step.id), here)
  }, 0)
  const ourPhotos = new Set(shasOf(m.ours, text(ours.panel.id)))
  const photos = shasOf(m.theirs, text(theirs.panel.id)).filter((sha256) => !ourPhotos.has(sha256)).length
  const isInTrash = ours.panel.deleted_at !== null
  const what = [...facts, ...counted([readings, 'reading'], [photos, 'photo'])]
  const fate = isInTrash
    ? 'in-trash-here'
    : what.length === 0
      ? 'same'
      : isOther
        ? 'probably-same'
        : fateOf(m, theirs, ours, facts)
  return { theirs, ours, fate, what, steps }
}

/** Readings that are here in another state, and where theirs went on. */
function statesToBring(m: Merging, theirStep: string, here: string | null): number {
  if (here === null) return 0
  return m.theirs.all('select * from reading where step_id = ?', theirStep).filter((row) => {
    const old = m.ours.get('reading', text(row.id))
    const differs = old && old.step_id === here && Object.keys(row).some((name) => row[name] !== old[name])
    return differs && m.verdict('reading', text(row.id)) === 'there'
  }).length
}

function fateOf(m: Merging, theirs: PanelUnit, ours: PanelUnit, facts: readonly string[]): PanelFate {
  // only readings and photos to add: nothing here is contradicted
  if (facts.length === 0) return 'changed-there'
  const verdicts = new Set<string>()
  const of = (table: TrackedTable, a: Iterable<Row>, b: Iterable<Row>) => {
    const [left, right] = [a, b].map((rows) => new Map([...rows].map((row) => [text(row.id), row]))) as [
      Map<string, Row>,
      Map<string, Row>,
    ]
    for (const id of new Set([...left.keys(), ...right.keys()])) {
      const [theirRow, ourRow] = [left.get(id), right.get(id)]
      if (theirRow && ourRow && Object.keys(theirRow).every((name) => theirRow[name] === ourRow[name])) continue
      verdicts.add(m.verdict(table, id))
    }
  }
  of('panel', [theirs.panel], [ours.panel])
  of('tag', theirs.tags, ours.tags)
  of('layer', theirs.layers, ours.layers)
  of('booth_conditions', theirs.booths.values(), ours.booths.values())
  of('mixture', theirs.mixtures, ours.mixtures)
  of('mixture_part', theirs.parts, ours.parts)
  of('step', theirs.steps, ours.steps)
  const [only] = verdicts
  if (verdicts.size !== 1 || only === 'both') return 'changed-both'
  return only === 'there' ? 'changed-there' : 'changed-here'
}

/** Which of our steps a step of theirs is: by its id, else the next with as many coats. */
function stepsHere(theirs: PanelUnit, ours: PanelUnit): Map<string, string> {
  const free = new Map(ours.steps.map((step) => [text(step.id), step]))
  const here = new Map<string, string>()
  for (const { id } of theirs.steps) if (free.delete(text(id))) here.set(text(id), text(id))
  for (const step of theirs.steps) {
    if (here.has(text(step.id))) continue
    const alike = [...free.values()].find(({ coats }) => coats === step.coats)
    if (!alike) continue
    free.delete(text(alike.id))
    here.set(text(step.id), text(alike.id))
  }
  return here
}

type StepChange = { step: Row; here: string | null }

/** Steps of theirs that are not here, or are otherwise here. Of ours, none goes: readings may hang on it. */
const stepChanges = (theirs: PanelUnit, ours: PanelUnit, steps: ReadonlyMap<string, string>): StepChange[] =>
  theirs.steps.flatMap((step) => {
    const here = steps.get(text(step.id)) ?? null
    const old = ours.steps.find(({ id }) => id === here)
    return old && old.coats === step.coats && old.notes === step.notes && old.position === step.position
      ? []
      : [{ step, here }]
  })

/** Their code, where it is another and free here. */
function codeToTake(m: Merging, theirs: PanelUnit, ours: PanelUnit): string | null {
  const code = text(theirs.panel.code)
  return theirs.panel.id === ours.panel.id && code !== ours.panel.code && m.codes.isFree('panel', code) ? code : null
}

export const counted = (...counts: (readonly [number, string])[]): string[] =>
  counts.flatMap(([count, word]) => (count === 0 ? [] : [`${count} ${word}${count === 1 ? '' : 's'}`]))

/** Carries out what was chosen for a panel. @returns our panel's id, or null where it stays out */
export function takePanel(m: Merging, pair: Pair, choice: Choice, stepIds: Map<string, string>): string | null {
  const { theirs, ours, fate } = pair
  if (!ours) return choice === 'mine' ? null : addPanel(m, pair, stepIds)
  const here = text(ours.panel.id)
  if (choice === 'both') return keepBoth(m, theirs, stepIds)
  if (fate === 'in-trash-here' && choice === 'mine') return null
  if (choice === 'theirs' && fate !== 'same') becomeTheirs(m, pair)
  for (const [theirStep, ourStep] of pair.steps) stepIds.set(theirStep, ourStep)
  // readings and photos of both stay, whatever is chosen
  bringMeasured(m, theirs, here, stepIds, choice === 'theirs', false)
  return here
}

function bringMeasured(
  m: Merging,
  theirs: PanelUnit,
  here: string,
  stepIds: ReadonlyMap<string, string>,
  theirsCounts: boolean,
  copy: boolean,
): void {
  bringFilings(m, 'panel_id', text(theirs.panel.id), here, `of ${here}`)
  const stepHere = (id: string) => stepIds.get(id) ?? null
  for (const { id } of theirs.steps) {
    const step = stepIds.get(text(id))
    if (step !== undefined) bringReadings(m, text(id), { of: 'step_id', here: step, stepHere, theirsCounts, copy })
  }
}

function addPanel(m: Merging, { theirs }: Pair, stepIds: Map<string, string>): string {
  const id = text(theirs.panel.id)
  return putPanel(m, theirs, id, (table, rowId) => freeId(m, table, rowId, `of ${id}`), stepIds, false)
}

/** Theirs beside ours, under ids that follow from theirs: taken in once more, it is found. */
function keepBoth(m: Merging, theirs: PanelUnit, stepIds: Map<string, string>): string {
  const id = copyId(text(theirs.panel.id))
  const steps = new Map(theirs.steps.map((step) => [text(step.id), copyId(text(step.id))]))
  if (m.ours.get('panel', id)) {
    for (const [theirStep, ourStep] of steps) if (m.ours.get('step', ourStep)) stepIds.set(theirStep, ourStep)
    return id
  }
  return putPanel(m, theirs, id, (_, rowId) => copyId(rowId), stepIds, true)
}

function putPanel(
  m: Merging,
  theirs: PanelUnit,
  id: string,
  idFor: (table: TrackedTable, id: string) => string,
  stepIds: Map<string, string>,
  copy: boolean,
): string {
  const code = m.codes.take('panel', text(theirs.panel.code))
  m.given.set(id, code)
  comeIn(m, 'panel', { ...theirs.panel, id, code, deleted_at: null })
  for (const step of theirs.steps) {
    const here = idFor('step', text(step.id))
    stepIds.set(text(step.id), here)
    comeIn(m, 'step', { ...step, id: here, panel_id: id })
  }
  putBuild(m, theirs, id, idFor)
  bringMeasured(m, theirs, id, stepIds, true, copy)
  return id
}

/** Our panel says what theirs says. Its build is put in anew where it differs; its steps stay, with what hangs on them. */
function becomeTheirs(m: Merging, { theirs, ours, steps }: Pair): void {
  if (!ours) return
  const here = text(ours.panel.id)
  const isSame = theirs.panel.id === ours.panel.id
  const code = codeToTake(m, theirs, ours)
  const { title, status, sprayed_on, sprayed_by, substrate, notes } = theirs.panel
  const facts = { title, status, sprayed_on, sprayed_by, substrate, notes } as Row
  // out of the trash, where its own code may have been given to another meanwhile
  const ourCode = text(ours.panel.code)
  const back =
    ours.panel.deleted_at === null
      ? {}
      : { deleted_at: null, ...(code === null ? { code: m.codes.take('panel', ourCode) } : {}) }
  alter(m, 'panel', here, { ...facts, ...(code === null ? {} : { code: m.codes.take('panel', code) }), ...back })
  const [theirContent, ourContent] = [contentOf(theirs, toOurs(m)), contentOf(ours, asItIs)]
  const buildDiffers =
    JSON.stringify([theirContent.tags, theirContent.layers]) !== JSON.stringify([ourContent.tags, ourContent.layers])
  if (buildDiffers) {
    removeBuild(m, ours)
    const going = new Set(goingRows(ours))
    putBuild(m, theirs, here, (table, id) => {
      const isOurs = m.ours.get(table, id) !== undefined
      return isSame && (!isOurs || going.has(keyOf(table, id))) ? id : derivedId(id, `of ${here} ${table}`)
    })
  }
  for (const { step, here: ourStep } of stepChanges(theirs, ours, steps)) {
    const { position, coats, notes: said } = step
    if (ourStep !== null) alter(m, 'step', ourStep, { position, coats, notes: said } as Row)
    else {
      const id = freeId(m, 'step', text(step.id), `of ${here}`)
      comeIn(m, 'step', { ...step, id, panel_id: here })
      steps.set(text(step.id), id)
    }
  }
}

export function describePair({ theirs, ours, fate, what }: Pair): Omit<ComparedPanel, 'newCode'> | null {
  if (fate === 'same') return null
  const { id, code, title } = theirs.panel
  return {
    id: text(id),
    code: text(code),
    title: text(title),
    fate,
    ours: ours && { id: text(ours.panel.id), code: text(ours.panel.code), title: text(ours.panel.title) },
    what,
  }
}
