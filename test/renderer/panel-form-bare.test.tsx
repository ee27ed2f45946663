import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { blankDraft } from '../../renderer/screens/panel-form/draft.ts'
import { PanelForm } from '../../renderer/screens/panel-form/panel-form.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, show, takeDown, type } from './mounting.ts'
import { planAnswers } from './plan-rack.ts'
import { panels, shown, words } from './sample-rack.ts'

/** In the sample rack gold was read bare under clear, copper never (see `knows`). */

let client: FakeClient
beforeEach(() => localStorage.clear())
afterEach(takeDown)

async function formOf(ground: string, coats: number[], change: Partial<Pick<Panel, 'layers' | 'status'>> = {}) {
  const draft = blankDraft('Wren', '2031-05-14')
  const panel = {
    ...shown.panel,
    ...draft,
    id: shown.panel.id,
    code: shown.panel.code,
    layers: draft.layers.map((layer) => (layer.kind === 'ground' ? { ...layer, name: ground } : layer)),
    steps: coats.map((count) => ({ id: `s${count}`, coats: count, notes: '' })),
    ...change,
  } satisfies Panel
  client = prepare({
    ...planAnswers,
    'panels.get': () => ({ panel, summary: panels[26]!, readings: [], photos: [] }),
    'panels.listWords': () => words,
    'panels.nextCode': () => ({ code: 'P-0400' }),
    'panels.save': ({ draft: sent }) => ({ panel: { ...panel, steps: sent.steps } }),
  })
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point' } })
  const host = await show(<PanelForm panelKey={panel.code} />)
  await rest()
  return host
}
const offerIn = (host: ParentNode) => host.querySelector('.bare-offer')
const stepsIn = (host: ParentNode) =>
  [...host.querySelectorAll('label')]
    .find((label) => label.textContent?.startsWith('Coats of candy'))
    ?.querySelector('input')

describe('a bare strip under clear', () => {
  it('is offered to a panel of several steps, and one press adds it and keeps the other steps', async () => {
    const host = await formOf('gold', [2, 4])
    expect(offerIn(host)?.textContent).toContain('A strip of bare ground under clear tells the model most')
    expect(offerIn(host)?.textContent).not.toContain('never read bare')
    await click(buttonSaying(host, 'It has a bare strip'))
    expect(stepsIn(host)?.value.split(/\s+/)).toEqual(['0', '2', '4'])
    expect(offerIn(host)).toBeNull()
    await click(buttonSaying(host, 'Save P-0142'))
    expect(client.askedOf('panels.save')[0]?.draft.steps).toEqual([
      { id: null, coats: 0, notes: '' },
      { id: 's2', coats: 2, notes: '' },
      { id: 's4', coats: 4, notes: '' },
    ])
  })

  it('is not spoken of where there is one, on one step over a ground that is known bare, or without candy', async () => {
    expect(offerIn(await formOf('gold', [0, 2, 4]))).toBeNull()
    await takeDown()
    expect(offerIn(await formOf('gold', [4]))).toBeNull()
    await takeDown()
    const { layers } = blankDraft('', '')
    const bare = layers.filter(({ kind }) => kind !== 'candy')
    expect(offerIn(await formOf('copper', [1, 2], { layers: bare }))).toBeNull()
    await takeDown()
    expect(offerIn(await formOf('gold', [2, 4], { status: 'retired' }))).toBeNull()
  })

  it('says that the ground was never read bare, also on a panel sprayed in one go, as soon as the ground is named', async () => {
    const host = await formOf('gold', [4])
    await type(
      [...host.querySelectorAll('label')]
        .find((label) => label.textContent?.startsWith('Which ground'))
        ?.querySelector('input'),
      'Copper',
    )
    expect(offerIn(host)?.textContent).toContain('copper was never read bare.')
    expect(offerIn(host)?.textContent).toContain('photograph a bare piece under clear')
    await type(
      [...host.querySelectorAll('label')]
        .find((label) => label.textContent?.startsWith('Which ground'))
        ?.querySelector('input'),
      'gunmetal',
    )
    expect(offerIn(host)?.textContent).toContain('gunmetal was never read bare.')
  })

  it('on a planned panel is something to mask off', async () => {
    const host = await formOf('copper', [2, 4], { status: 'planned' })
    expect(offerIn(host)?.textContent).toContain('mask one off')
    await click(buttonSaying(host, 'Leave a bare strip'))
    expect(stepsIn(host)?.value.split(/\s+/)).toEqual(['0', '2', '4'])
  })

  it('is left alone for good when it is not wanted on this form', async () => {
    const host = await formOf('copper', [2, 4])
    await click(buttonSaying(host, 'Not on this one'))
    expect(offerIn(host)).toBeNull()
    await type(stepsIn(host), '1 2 3')
    expect(offerIn(host)).toBeNull()
  })

  it('says on a panel without clear that its strip tells of the raw ground only', async () => {
    const { layers } = blankDraft('', '')
    const raw = layers
      .filter(({ kind }) => kind !== 'clear')
      .map((layer) => (layer.kind === 'ground' ? { ...layer, name: 'gold' } : layer))
    expect(offerIn(await formOf('gold', [2, 4], { layers: raw }))?.textContent).toContain('raw ground only')
  })
})
