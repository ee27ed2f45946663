import { v7 } from 'uuid'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import type { Card } from '../../../shared-core/records/area.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { addReading } from '../../rack/queries/readings.ts'
import { addReference } from '../../rack/queries/references.ts'
import { filePhoto, fileReference } from '../filing.ts'
import { locatePicture } from '../pictures.ts'
import { takeInPhoto } from '../take-in.ts'
import { typedReading } from '../typed-colour.ts'
import type { RenderedPhoto } from './picture/render-photo.ts'
import type { Shot } from './workshop/shots.ts'

/** A drawn photo on its way into the rack, by the same functions that serve the screens. */
export type Filing = {
  rack: Rack
  shot: Shot
  lightId: string | null
  path: string
  /** Where areas and card lie is known from the drawing; their colours are not used. */
  picture: Omit<RenderedPhoto, 'pixels'>
}

const told = ({ shot, lightId }: Filing) => ({
  lightId,
  view: shot.view,
  stage: shot.stage,
  setupId: null,
  flatPhotoId: null,
})

const cardOf = ({ picture }: Filing): Card | null => picture.card && { quad: picture.card, lab: { l: 50, a: 0, b: 0 } }

export async function takeToTray({ rack, path, shot }: Filing): Promise<void> {
  await takeInPhoto(rack, path, shot.name)
}

export async function fileToPanel(filing: Filing, panel: Panel): Promise<void> {
  const { rack, path, shot, picture } = filing
  const { photoId } = await takeInPhoto(rack, path, shot.name)
  const areas = picture.areas.map((quad, i) => {
    const stepId = panel.steps[i]?.id
    if (!stepId) throw new Error(`${panel.code} has fewer steps than its photo shows.`)
    return { stepId, shape: { kind: 'quad' as const, quad } }
  })
  const layout = { areas, card: cardOf(filing) }
  const { readings } = await filePhoto(rack, {
    photoId,
    panelId: panel.id,
    layout,
    ageDays: shot.ageDays,
    ...told(filing),
  })
  await makeCuts(rack, readings)
}

export async function fileAsReference(filing: Filing, name: string): Promise<void> {
  const { rack, path, shot, picture } = filing
  const { photoId } = await takeInPhoto(rack, path, shot.name)
  const [quad] = picture.areas
  if (!quad) throw new Error(`${name} shows no paint.`)
  const area = { stepId: null, shape: { kind: 'quad' as const, quad } }
  const { readings } = await fileReference(rack, { photoId, name, area, card: cardOf(filing), ...told(filing) })
  await makeCuts(rack, readings)
}

/** One photo of the reference above and its check panel below: read for both. */
export async function fileCheck(filing: Filing, panel: Panel, referenceId: string): Promise<void> {
  const { rack, path, shot, picture } = filing
  const { photoId } = await takeInPhoto(rack, path, shot.name)
  const [above, below] = picture.areas
  const stepId = panel.steps[0]?.id
  if (!above || !below || !stepId) throw new Error(`${panel.code} is not in its photo.`)
  const card = cardOf(filing)
  const layout = { areas: [{ stepId, shape: { kind: 'quad' as const, quad: below } }], card }
  const circumstances = told(filing)
  const { readings } = await filePhoto(rack, {
    photoId,
    panelId: panel.id,
    layout,
    ageDays: shot.ageDays,
    ...circumstances,
  })
  const area = { stepId: null, shape: { kind: 'quad' as const, quad: above } }
  const reference = await fileReference(rack, { photoId, name: '', referenceId, area, card, ...circumstances })
  await makeCuts(rack, [...readings, ...reference.readings.filter((reading) => reading.photoId === photoId)])
}

/** The wall shows cut-outs: made now, it is whole when it opens. */
async function makeCuts(rack: Rack, readings: readonly Reading[]): Promise<void> {
  const cuts = readings.flatMap(({ cut }) => cut ?? [])
  await Promise.all(cuts.map((cut) => locatePicture(rack, `cut/${cut}`)))
}

/** A reference that came in figures, from an instrument of 45:0 geometry. */
export async function typeReference(rack: Rack, { name, lab }: { name: string; lab: Lab }): Promise<void> {
  const id = v7()
  await rack.change({ label: `add reference ${name}` }, async (change) => {
    await addReference(change, id, name)
    const typed = { lab, illuminant: 'D50', observer: '2', geometry: '45:0', bound90: 0.6 } as const
    const reading = typedReading({ ...typed, view: 'face', stage: 'cured', lightId: null }, { referenceId: id })
    await addReading(change, reading)
  })
}
