import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { licences } from '../../renderer/screens/settings/licences.ts'
import { SettingsPlace } from '../../renderer/screens/settings/settings-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { KnownSheet } from '../../shared-core/records/photo-sheet.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, leaveField, prepare, show, takeDown, type } from './mounting.ts'
import { lights } from './sample-rack.ts'
import { setupOf } from './tray-place.tsx'

const table: Answers = {
  'service.describe': () => ({ version: '0.1.0', node: '24.21.0', sqlite: '3.51.0', sharp: '0.35.5', pid: 1 }),
  'settings.save': ({ settings }) => ({ settings }),
  'setups.list': () => ({ setups: [] }),
  'sheets.listKnown': () => ({ sheets: [] }),
}
let client: FakeClient
beforeEach(() => {
  client = prepare(table)
})
afterEach(takeDown)

const field = (host: ParentNode, label: string): HTMLInputElement => {
  const words = [...host.querySelectorAll('label')].find((one) => one.textContent === label)!
  return host.querySelector<HTMLInputElement>(`#${CSS.escape(words.htmlFor)}`)!
}
async function leave(input: HTMLInputElement, text: string) {
  await type(input, text)
  await leaveField(input)
}

describe('settings', () => {
  it('keeps a choice at once', async () => {
    const host = await show(<SettingsPlace />)
    await click(buttonSaying(host, 'Office, light'))
    expect(client.askedOf('settings.save')).toEqual([{ settings: { ...defaultSettings, theme: 'office' } }])
    expect(useStore.getState().settings.theme).toBe('office')
  })

  it('keeps the card’s figures, typed with a comma, and refuses impossible ones', async () => {
    const host = await show(<SettingsPlace />)
    await leave(field(host, 'L'), '49,6')
    expect(client.askedOf('settings.save').at(-1)?.settings.card).toEqual({ l: 49.6, a: 0, b: 0 })
    await leave(field(host, 'b'), '400')
    expect(client.askedOf('settings.save')).toHaveLength(1)
    expect(useStore.getState().settings.card.b).toBe(0)
    expect(host.querySelector('[role=alert]')?.textContent).toContain('Not kept.')
  })

  it('keeps the size of the card once both sides make sense, and forgets it when both are emptied', async () => {
    const host = await show(<SettingsPlace />)
    await leave(field(host, 'Its width, mm'), '85,6')
    expect(client.askedOf('settings.save')).toEqual([])
    expect(host.textContent).toContain('Both sides are needed before the size counts.')
    await leave(field(host, 'Its height, mm'), '-3')
    expect(host.querySelector('[role=alert]')?.textContent).toContain('Write millimetres')
    await leave(field(host, 'Its height, mm'), '54')
    expect(client.askedOf('settings.save').at(-1)?.settings.cardSizeMm).toEqual({ width: 85.6, height: 54 })
    await leave(field(host, 'Its width, mm'), '')
    await leave(field(host, 'Its height, mm'), '')
    expect(useStore.getState().settings.cardSizeMm).toBeNull()
  })

  it('keeps the Lab of the white and the black tile', async () => {
    const host = await show(<SettingsPlace />)
    const [white, black] = ['White tile', 'Black tile'].map((name) => host.querySelector(`[aria-label="${name}"]`)!)
    await leave(white!.querySelector('input')!, '94.1')
    await leave(black!.querySelectorAll('input')[2]!, '-0.6')
    expect(useStore.getState().settings).toMatchObject({
      whiteTile: { l: 94.1, a: 0, b: 0 },
      blackTile: { ...defaultSettings.blackTile, b: -0.6 },
    })
  })

  it('says where files live and what it runs on', async () => {
    const host = await show(<SettingsPlace />)
    expect(host.textContent).toContain('/racks/north-wall')
    expect(host.textContent).toContain('24.21.0')
  })
})

describe('photo sheets', () => {
  const ink = { hex: '#777777', lab: { l: 50, a: 1, b: -2 }, deviation: 0.6 }
  const sheet: KnownSheet = {
    id: 'inkjet',
    series: 41_273,
    lightId: 'tubes',
    photoId: null,
    fit: { version: 1, white: ink, inks: [ink, null, ink], shared90: 1.9, camera: null },
    learnedAt: '2031-05-04T10:00:00.000Z',
  }

  it('say how one becomes known while none is', async () => {
    const host = await show(<SettingsPlace />)
    const block = host.querySelector('[aria-label="Photo sheets"]')!
    expect(block.textContent).toContain('None yet.')
    expect(block.textContent).toContain('with the 24-patch chart in its place')
  })

  it('are listed by number with light, day and how sure they are; forgotten', async () => {
    useStore.setState({ lights })
    client.answer({ 'sheets.listKnown': () => ({ sheets: [sheet] }), 'sheets.forget': () => ({}) })
    const host = await show(<SettingsPlace />)
    const row = host.querySelector('[aria-label="Sheet 41273"]')!
    expect(row.textContent).toMatch(/booth tubes, learnt .*2031/)
    expect(row.textContent).toContain('2 of 3 greys and colours are known')
    expect(row.textContent).toContain('± 1.9')
    await click(buttonSaying(host, 'Forget Sheet 41273'))
    expect(client.askedOf('sheets.forget')).toEqual([{ knownSheetId: 'inkjet' }])
    expect(useStore.getState().notices[0]?.remedy).toContain('Undo brings it back.')
  })
})

describe('set-ups', () => {
  it('explains what one is while there is none', async () => {
    const host = await show(<SettingsPlace />)
    expect(host.querySelector('.settings-setups')?.textContent).toContain('then choose “Keep as set-up…”.')
  })

  it('are listed with camera, light, day and how good they are; renamed and removed', async () => {
    const bench = setupOf('bench', { name: 'Bench phone', lightId: 'tubes' })
    useStore.setState({ lights })
    client.answer({
      'setups.list': () => ({ setups: [bench] }),
      'setups.change': ({ name }) => ({ setup: { ...bench, name: name! } }),
      'setups.remove': () => ({}),
    })
    const host = await show(<SettingsPlace />)
    const row = host.querySelector('.settings-setups li')!
    expect(row.textContent).toMatch(/Phone, booth tubes, calibrated .*2031/)
    expect(row.textContent).toContain('Good: half of the patches')
    const name = row.querySelector('input')!
    await leave(name, '  ')
    expect(name.value).toBe('Bench phone')
    await leave(name, 'Booth phone')
    expect(client.askedOf('setups.change')).toEqual([{ setupId: 'bench', name: 'Booth phone' }])
    await click(buttonSaying(host, 'Remove “Bench phone”'))
    expect(client.askedOf('setups.remove')).toEqual([{ setupId: 'bench' }])
    expect(useStore.getState().notices[0]?.remedy).toContain('Undo brings it back.')
  })
})

describe('the list of licences', () => {
  const read = (path: string) =>
    JSON.parse(readFileSync(join(import.meta.dirname, '../..', path), 'utf8')) as {
      license: string
      dependencies: Record<string, string>
    }

  it('names every package that the program needs to run', () => {
    const listed = new Set(licences.map((one) => one.package))
    const missing = Object.keys(read('package.json').dependencies).filter((name) => !listed.has(name))
    expect(missing).toEqual([])
  })

  // libvips comes in a package for each platform, the typeface on labels states its licence in a file of its own
  const stated = licences.filter((one) => !['sharp-libvips', 'dejavu-fonts-ttf'].includes(one.package))
  it.each(stated)('$name is under $licence, as its own package says', (one) => {
    expect(read(`node_modules/${one.package}/package.json`).license).toBe(one.licence)
  })
})
