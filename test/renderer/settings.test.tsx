import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { licences } from '../../renderer/screens/settings/licences.ts'
import { SettingsPlace } from '../../renderer/screens/settings/settings-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, leaveField, prepare, show, takeDown, type } from './mounting.ts'

const table: Answers = {
  'service.describe': () => ({ version: '0.1.0', node: '24.21.0', sqlite: '3.51.0', sharp: '0.35.5', pid: 1 }),
  'settings.save': ({ settings }) => ({ settings }),
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

  it('says where files live and what it runs on', async () => {
    const host = await show(<SettingsPlace />)
    expect(host.textContent).toContain('/racks/north-wall')
    expect(host.textContent).toContain('24.21.0')
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
