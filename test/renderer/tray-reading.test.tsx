import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { weighedParts } from '../../renderer/parts/bound-parts.ts'
import { textureInWords } from '../../renderer/screens/tray/slip/reading/texture-words.ts'
import { whatHelps } from '../../renderer/screens/tray/slip/reading/what-helps.ts'
import type { BoundPart, ReadColour } from '../../shared-core/records/reading.ts'
import { show } from './mounting.ts'
import { readings } from './sample-rack.ts'
import { clearTray, Place, proposed, setTray, tray, waitForReading, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const parts: BoundPart[] = [
  { cause: 'light', de00: 0.4, words: 'light falls off across the area' },
  { cause: 'camera', de00: 3, words: 'the camera', shared: 'photo' },
  { cause: 'area', de00: 0.1, words: 'size of the area' },
]
const colour = (more: Partial<ReadColour>): ReadColour => ({ ...readings[0]!, parts, cautions: [], ...more })
const nothing = { tiles: false, flat: false, setups: false }

async function showReading(more: Partial<ReadColour>, photo: ReadColour['cautions'] = []): Promise<HTMLElement> {
  tray.photos = [waiting('first', proposed)]
  tray.client.answer({
    'photos.read': () => ({
      results: [{ colour: colour(more), refused: null }],
      photo,
      cardCheck: 'not-checked',
    }),
  })
  const host = await show(<Place />)
  await waitForReading()
  return host
}

describe('why ± is that large', () => {
  it('names the largest part first, and which parts the whole photo shares', async () => {
    const host = await showReading({ bound90: 3.04 })
    const why = host.querySelector('.tray-why')!
    expect(why.querySelector('summary')?.textContent).toBe('Why ± 3.0')
    expect([...why.querySelectorAll('.tray-parts > div')].map((part) => part.textContent)).toEqual([
      'the camerathe same for all that is in this photo3.0',
      'light falls off across the area0.4',
      'size of the area0.1',
    ])
    expect(why.textContent).toContain('What is shared cancels when two panels of one photo are compared.')
    expect(why.querySelector('.tray-helps')?.textContent).toContain('Calibrate a set-up once with the chart')
  })

  it('adds up the parts that change nothing', () => {
    const small = [0.1, 0.2, 0.2].map((de00): BoundPart => ({ cause: `c${de00}`, de00, words: 'small' }))
    const { main, rest } = weighedParts([...small, parts[1]!])
    expect(main).toEqual([parts[1]])
    expect(rest).toBeCloseTo(0.3, 9)
    // a single small one keeps its name
    expect(weighedParts([small[0]!, parts[1]!])).toEqual({ main: [parts[1], small[0]], rest: null })
  })

  it('says what would make it smaller, for what counts, and nothing that is done already', () => {
    expect(whatHelps(parts, 'card', nothing)).toEqual([
      'Lay the 24-patch chart in the picture, or white and black tiles beside the card.',
      'Calibrate a set-up once with the chart: later photos then need only the card.',
    ])
    expect(whatHelps(parts, 'card', { ...nothing, setups: true })[1]).toContain('Choose the set-up')
    const uneven: BoundPart[] = [{ cause: 'light', de00: 2, words: 'light' }, parts[1]!]
    expect(whatHelps(uneven, 'chart', { ...nothing, tiles: true })[0]).toContain('blank-sheet photo')
    expect(whatHelps(uneven, 'chart', { ...nothing, tiles: true, flat: true }).join()).not.toContain('blank-sheet')
    expect(whatHelps([parts[1]!], 'chart', { ...nothing, tiles: true })).toEqual([])
  })
})

describe('cautions', () => {
  it('warn with what to do; notes are said quietly, without a triangle', async () => {
    const host = await showReading(
      { cautions: [{ code: 'a', message: 'Uneven film or uneven light.', remedy: 'Turn the panel.' }] },
      [{ code: 'b', message: 'A tone-mapping map was left out.', remedy: '', weight: 'note' }],
    )
    const warned = [...host.querySelectorAll('.tray-readings .warn')].map((one) => one.textContent)
    expect(warned).toEqual(['Area 1: Uneven film or uneven light. Turn the panel.'])
    expect(host.querySelector('.tray-note')?.textContent?.trim()).toBe('A tone-mapping map was left out.')
  })

  it('the level is said plainly with every reading', async () => {
    const host = await showReading({ level: 'set-up' })
    expect(host.querySelector('.tray-readings')?.textContent).toContain('by the card and its set-up')
    expect(host.querySelector('.tray-chosen')?.textContent).toContain('by the card and its set-up')
  })
})

describe('grain and glints', () => {
  const settings = { decimal: 'point' as const }
  it('are told with the scale where it is known', () => {
    const texture = { coarsenessPercent: 7.42, grainMm: 0.31, glintsPerCm2: 12.4, glintContrast: 1.5 }
    expect(textureInWords(texture, settings)).toEqual([
      'Coarseness 7.4 %: its light varies that much, in grains of about 0.3 mm.',
      '12 glints per cm², about 2.5 times as bright as the paint around them.',
    ])
  })
  it('and without it, with what would give it', () => {
    const texture = { coarsenessPercent: 7.42, grainMm: null, glintsPerCm2: null, glintContrast: 0.8 }
    expect(textureInWords(texture, settings)).toEqual([
      'Coarseness 7.4 %: its light varies that much.',
      'Glints are about 1.8 times as bright as the paint around them.',
      'How large its grain is, and how many glints: needs the size of the grey card, in Settings.',
    ])
  })
  it('smooth paint is called smooth', () => {
    const texture = { coarsenessPercent: 0.02, grainMm: null, glintsPerCm2: null, glintContrast: 0 }
    expect(textureInWords(texture, settings)).toEqual(['Smooth: no grain and no glints are seen.'])
  })
  it('stand with the chosen area', async () => {
    const host = await showReading({
      texture: { coarsenessPercent: 3, grainMm: 0.08, glintsPerCm2: 0, glintContrast: 0 },
    })
    expect(host.querySelector('.tray-texture')?.textContent).toContain('in grains of about 0.08 mm')
    expect(host.querySelector('.tray-texture')?.textContent).toContain('No glints stand out.')
  })
})
