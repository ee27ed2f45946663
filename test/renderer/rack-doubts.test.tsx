import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { findSuspects } from '../../renderer/commands/rack/find-suspects.ts'
import { RackPlace } from '../../renderer/screens/rack/rack-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Suspect } from '../../shared-core/records/film.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, show, takeDown } from './mounting.ts'
import { panels, rackInfo, wallAnswers } from './sample-rack.ts'

let client: FakeClient
beforeEach(() => {
  // the page of a test has no size; the wall hangs what is in sight
  for (const side of ['clientWidth', 'offsetWidth'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(1280)
  for (const side of ['clientHeight', 'offsetHeight'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(620)
  client = prepare(wallAnswers)
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point' } })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

describe('a panel that does not fit the rest', () => {
  const suspect = (panelId: string, more: Partial<Suspect> = {}): Suspect => ({
    panelId,
    code: panels.find(({ id }) => id === panelId)!.code,
    stepId: `${panelId}-s2`,
    coats: 2,
    readingId: `${panelId}-reading`,
    read: { l: 60, a: 0, b: 0 },
    expected: { l: 40, a: 0, b: 0 },
    de00: 19.8,
    allowed90: 4.7,
    reason: 'misread',
    words: 'Probably misread. Photograph it again with the card.',
    ...more,
  })
  const marks = (host: ParentNode) => [...host.querySelectorAll<HTMLButtonElement>('button.rack-doubt')]

  it('has a mark with its reason, asked for after the wall hangs', async () => {
    const id = panels[0]!.id
    client.answer({
      'film.listSuspects': () => ({
        suspects: [suspect(id), suspect(id, { coats: 4, readingId: 'again', words: 'Probably too thick.' })],
      }),
    })
    const host = await show(<RackPlace />)
    expect(host.querySelectorAll('.rack-card').length).toBeGreaterThan(5)
    expect(client.askedOf('film.listSuspects')).toEqual([])
    expect(marks(host)).toEqual([])
    await wallRest()
    expect(client.askedOf('film.listSuspects')).toHaveLength(1)
    expect(marks(host).map((mark) => mark.getAttribute('aria-label'))).toEqual([
      `${panels[0]!.code} does not fit the rest: 2 coats: Probably misread. Photograph it again with the card. ` +
        '4 coats: Probably too thick.',
    ])
    await click(marks(host)[0])
    const dialog = host.querySelector('dialog')
    expect(dialog?.textContent).toContain('Probably misread. Photograph it again with the card.')
    expect(dialog?.textContent).toContain('Read 19.8 from what its formula should give; ± 4.7 is allowed.')
    expect(location.pathname).toBe('/rack')
    await click(buttonSaying(dialog!, 'Close'))
    expect(host.querySelector('dialog')).toBeNull()
  })

  it('is asked for once in a revision', async () => {
    await show(<RackPlace />)
    await wallRest()
    await takeDown()
    await show(<RackPlace />)
    await wallRest()
    expect(client.askedOf('film.listSuspects')).toHaveLength(1)
    await act(async () => useStore.getState().setRack({ ...rackInfo, revision: 8 }))
    await wallRest()
    expect(client.askedOf('film.listSuspects')).toHaveLength(2)
  })

  it('keeps the keys that press its mark from the wall', async () => {
    client.answer({ 'film.listSuspects': () => ({ suspects: [suspect(panels[0]!.id)] }) })
    const host = await show(<RackPlace />)
    await wallRest()
    await act(async () => marks(host)[0]?.focus())
    await press('Enter')
    expect(location.pathname).toBe('/rack')
    await press(' ')
    expect(useStore.getState().chosen).toEqual([])
    await press('ArrowRight')
    expect((document.activeElement as HTMLElement | null)?.dataset.panel).toBe(panels[1]!.id)
  })

  it('is looked for on demand in a large rack, and the command says so', async () => {
    useStore.setState({ rack: { ...rackInfo, folder: '/racks/long-wall', panelCount: 5000 } })
    await show(<RackPlace />)
    await wallRest()
    expect(client.askedOf('film.listSuspects')).toEqual([])
    expect(findSuspects.missing(useStore.getState())).toBeNull()
    await act(async () => findSuspects.run(useStore.getState()))
    await wallRest()
    expect(client.askedOf('film.listSuspects')).toHaveLength(1)
    expect(useStore.getState().notices.at(-1)?.remedy).toContain('takes minutes')
    expect(findSuspects.missing(useStore.getState())).toContain('It is being looked for')
  })

  /** Longer than the wall waits before it asks. */
  const wallRest = () =>
    act(async () => {
      await new Promise((resolve) => setTimeout(resolve, 1100))
    })
})
