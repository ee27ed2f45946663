import { act } from 'react'
import { useStore } from '../../renderer/state/store.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import type { Found, Proposal } from '../../shared-core/records/proposal.ts'
import { settle } from './mounting.ts'
import { panel } from './sample-rack.ts'
import { cardQuad, madeOf, panelQuad, stage, tray } from './tray-place.tsx'

/** What the tray tells of photos that were looked at. */

export const steps = panel.steps.map(({ id }) => id!)
/** The panel in as many bands as it has steps, named from the top. */
export const foundLayout: Layout = {
  areas: steps.map((stepId, i) => {
    const [top, bottom] = [100 + (600 * i) / steps.length, 100 + (600 * (i + 1)) / steps.length]
    const quad: Quad = [
      [100, top],
      [400, top],
      [400, bottom],
      [100, bottom],
    ]
    return { stepId, shape: { kind: 'quad', quad } }
  }),
  card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } },
}
export const symbol: Found['symbols'] = [
  {
    text: panel.code,
    quad: [
      [900, 10],
      [950, 10],
      [950, 60],
      [900, 60],
    ],
  },
]
export const foundOf = (more: Partial<Found> = {}): Found => ({
  panels: [{ quad: panelQuad, confidence: 0.9, steps: [] }],
  cards: [{ quad: cardQuad, confidence: 0.9 }],
  chart: null,
  sheet: null,
  symbols: symbol,
  ...more,
})
/** All that filing needs, and nothing against it. */
export const good = (photoId: string, more: Partial<Proposal> = {}): Proposal =>
  madeOf(photoId, {
    found: foundOf(),
    layout: foundLayout,
    panelId: panel.id,
    panelCode: panel.code,
    panelTitle: panel.title,
    lightId: 'tubes',
    stage: 'cleared',
    ...more,
  })
export const doubt = (code: string, message: string): Caution => ({ code, message, remedy: 'Look at it.' })

/** A newer answer of the service is told of. */
export async function toldAnew() {
  await act(async () => useStore.setState((s) => ({ looked: s.looked + 1 })))
  await settle()
  await settle()
}
export const onStage = async () => act(async () => stage(document).focus())
export const filed = () => tray.client.askedOf('photos.file')

/** Filing takes a photo out of the tray, as the service does. */
export function takeOut() {
  tray.client.answer({
    'photos.file': ({ photoId, layout }) => {
      tray.photos = tray.photos.filter(({ id }) => id !== photoId)
      return { readings: [], results: layout.areas.map(() => ({ colour: null, refused: null })) }
    },
  })
}
