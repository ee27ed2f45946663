import { decide, type Look, type Told } from '../../../shared-core/find/filing/decide.ts'
import type { KnownPanel } from '../../../shared-core/find/filing/which-panel.ts'
import type { Light } from '../../../shared-core/records/colour.ts'
import type { Found, Proposal } from '../../../shared-core/records/proposal.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import type { Setup } from '../../../shared-core/records/setup.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type Hint, readHints } from '../../rack/queries/hints.ts'
import { type KeptLook, readLooks } from '../../rack/queries/proposals/looks.ts'
import {
  type FiledPhoto,
  listFiled,
  listSetupsBriefly,
  listShots,
  type PilePhoto,
  readKnownSeries,
  readNames,
} from '../../rack/queries/proposals/pile.ts'
import { listLights } from '../../rack/queries/shelf.ts'
import { lightOf, panelsOf } from './said.ts'
import { lightOfSitting, type RetakeOf, retakeOf, type Shot } from './sitting.ts'

/**
 * Notes of looking at photos, read once as long as they stay as they are, and what was decided on them, which stays as long as
 * all that it rests on does (`of`).
 */
export type Looks = Map<string, { noted: string; look: KeptLook; decided?: { of: string; proposal: Proposal } }>

/** Rows that are read, and photos that are decided on, before others have their turn. */
const inOneGo = 100
const othersTurn = () => new Promise<void>((resolve) => setImmediate(resolve))

/**
 * Decides on photos: what each shows, and what is doubtful about it.
 * @param photos  all of the tray, so that they can be compared, and what else is asked for
 * @param looks   is brought up to date
 */
export async function decideAll(
  rack: Rack,
  photos: readonly PilePhoto[],
  looks: Looks,
  settings: Pick<Settings, 'card' | 'cardSizeMm'>,
): Promise<Map<string, Proposal>> {
  const { db } = rack
  await refresh(db, photos, looks)
  const hints = await readHints(
    db,
    photos.map(({ id }) => id),
  )
  const said = photos.map(({ id }) => ({ look: looks.get(id)?.look ?? null, hint: hints.get(id) ?? null }))
  const panels = await panelsOf(db, said)
  const known = await readKnown(
    db,
    photos,
    said,
    panels.map(({ panel }) => panel),
  )
  const proposals = new Map<string, Proposal>()
  for (const [i, photo] of photos.entries()) {
    if (i % inOneGo === inOneGo - 1) await othersTurn()
    const { look, hint } = said[i]!
    const { panel, doubt } = panels[i]!
    const light = lightFor(photo, hint, known)
    const retake = panel && !photo.filed && !photo.isBothKept ? known.retakes(photo, panel) : null
    const twin = look?.alikeId && look.alikeId !== retake?.photoId ? known.twins(look.alikeId, panel) : null
    const told: Told = {
      panel,
      panelDoubt: doubt,
      said: hint && hint.panel + hint.light !== '' ? { panel: hint.panel, light: hint.light } : null,
      lightId: light.lightId,
      isLightUnknown: light.isUnknown,
      setupId: photo.setupId ?? (photo.isMarked ? null : setupFor(photo.camera, light.lightId, known.setups)),
      isSheetKnown: known.series.has(look?.found?.sheet?.print.series ?? -1),
      card: settings.card,
      cardSizeMm: settings.cardSizeMm,
      alike: twin,
      retakeOf: retake,
    }
    proposals.set(photo.id, decideAnew(photo, told, looks))
  }
  return proposals
}

/** Decides only where something is not as it was: after most changes of a rack everything is. */
function decideAnew(photo: PilePhoto, told: Told, looks: Looks): Proposal {
  const kept = looks.get(photo.id)
  const of = JSON.stringify([photo, told])
  if (kept?.decided?.of === of) return kept.decided.proposal
  const proposal = decide(photo, asLook(kept?.look ?? null), told)
  if (kept) kept.decided = { of, proposal }
  return proposal
}

const asLook = (look: KeptLook | null): Look => ({
  state: !look || look.state === 'looking' ? 'waiting' : look.state,
  found: look?.state === 'made' ? look.found : null,
  colours: look?.small?.along ?? [],
  brightest: look?.small?.brightest ?? null,
  why: look?.why ?? null,
})

/** Lets go of what is known of photos that wait no more. */
export function forgetOthers(looks: Looks, photos: readonly PilePhoto[]): void {
  const there = new Set(photos.map(({ id }) => id))
  for (const id of looks.keys()) if (!there.has(id)) looks.delete(id)
}

/** Reads what is not known yet, some at a time. */
async function refresh(db: Rack['db'], photos: readonly PilePhoto[], looks: Looks): Promise<void> {
  const stale = photos.filter(({ id, noted }) => looks.get(id)?.noted !== (noted ?? undefined))
  for (let from = 0; from < stale.length; from += inOneGo) {
    const some = stale.slice(from, from + inOneGo)
    const read = await readLooks(
      db,
      some.map(({ id }) => id),
    )
    for (const { id, noted } of some) {
      const look = read.get(id)
      if (look && noted !== null) looks.set(id, { noted, look })
      else looks.delete(id)
    }
    await othersTurn()
  }
}

type Setups = readonly Pick<Setup, 'id' | 'camera' | 'lightId'>[]
type Known = {
  lights: readonly Light[]
  setups: Setups
  series: ReadonlySet<number>
  /** The photo that looks the same; null where it shows another panel than this one. */
  twins: (alikeId: string, panel: KnownPanel | null) => { name: string; filed: boolean } | null
  shots: ReadonlyMap<string, readonly Shot[]>
  retakes: (photo: PilePhoto, panel: KnownPanel) => RetakeOf | null
}

async function readKnown(
  db: Rack['db'],
  photos: readonly PilePhoto[],
  said: ReadonlyArray<{ look: KeptLook | null }>,
  panels: readonly (KnownPanel | null)[],
): Promise<Known> {
  const names = await readNames(
    db,
    said.flatMap(({ look }) => look?.alikeId ?? []),
  )
  const shownBy = new Map<string, string[]>()
  const tray = new Map<string, PilePhoto[]>()
  for (const [i, photo] of photos.entries()) {
    const panelId = panels[i]?.panel.id
    if (panelId !== undefined) shownBy.set(photo.id, [panelId])
    // one that was said to stay beside the others is no retake of theirs, nor they of it
    if (panelId !== undefined && !photo.filed && !photo.isBothKept)
      tray.set(panelId, [...(tray.get(panelId) ?? []), photo])
  }
  // where no panel was seen there is nothing that could be filed in another's stead
  const unseen = new Set(
    photos.filter((_, i) => said[i]?.look?.state === 'made' && !isPanelSeen(said[i].look.found)).map(({ id }) => id),
  )
  const filed: Map<string, FiledPhoto[]> = Map.groupBy(await listFiled(db, [...tray.keys()]), ({ panelId }) => panelId)
  return {
    lights: await listLights(db),
    setups: await listSetupsBriefly(db),
    series: await readKnownSeries(db),
    twins: (alikeId, panel) => {
      const other = names.get(alikeId)
      if (!other) return null
      const shown = shownBy.get(alikeId) ?? other.panelIds
      return panel && shown.length > 0 && !shown.includes(panel.panel.id) ? null : other
    },
    shots: await shotsOf(db, photos),
    retakes: (photo, { panel }) =>
      retakeOf(photo, tray.get(panel.id) ?? [], filed.get(panel.id) ?? [], ({ id }) => !unseen.has(id)),
  }
}

const isPanelSeen = (found: Found | null): boolean =>
  found !== null && (found.panels.length > 0 || found.sheet !== null)

/** Photos whose light is known, by camera, of the days on which some others were taken. */
async function shotsOf(db: Rack['db'], photos: readonly PilePhoto[]): Promise<Map<string, Shot[]>> {
  const days = new Map<string, string[]>()
  for (const { camera, takenAt, lightId } of photos) {
    // what an archive says may be no time at all
    if (camera === null || takenAt === null || lightId !== null || Number.isNaN(Date.parse(dayOf(takenAt)))) continue
    const seen = days.get(camera)
    if (seen) seen.push(dayOf(takenAt))
    else days.set(camera, [dayOf(takenAt)])
  }
  const shots = new Map<string, Shot[]>()
  for (const [camera, all] of days) {
    const sorted = all.toSorted()
    shots.set(
      camera,
      await listShots(db, camera, { from: dayBeside(sorted[0]!, -1), to: dayBeside(sorted.at(-1)!, 1) }),
    )
  }
  return shots
}

const dayOf = (takenAt: string): string => takenAt.slice(0, 10)

/** A sitting may go on past midnight. */
const dayBeside = (day: string, by: 1 | -1): string =>
  new Date(Date.parse(day) + by * 86_400_000).toISOString().slice(0, 10)

function lightFor(
  { lightId, camera, takenAt }: PilePhoto,
  hint: Hint | null,
  { lights, shots }: Known,
): { lightId: string | null; isUnknown: boolean } {
  if (lightId !== null) return { lightId, isUnknown: false }
  const named = lightOf(hint, lights)
  if (named.lightId !== null || named.isUnknown) return named
  const sat = camera !== null && takenAt !== null ? lightOfSitting(takenAt, shots.get(camera) ?? []) : null
  return { lightId: sat, isUnknown: false }
}

/**
 * The set-up last calibrated for a camera and, where it is known, a light. Where nobody said the light and the camera has set-ups in
 * several, none: any of them would be a guess, and the card or sheet counts alone.
 * @param setups  newest calibration first
 */
function setupFor(camera: string | null, lightId: string | null, setups: Setups): string | null {
  if (camera === null) return null
  const own = setups.filter((setup) => setup.camera === camera)
  if (lightId === null && new Set(own.map((setup) => setup.lightId)).size > 1) return null
  return own.find((setup) => lightId === null || setup.lightId === lightId)?.id ?? null
}
