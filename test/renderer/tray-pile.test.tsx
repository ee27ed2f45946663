import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useStore } from '../../renderer/state/store.ts'
import { buttonSaying, press, settle, show } from './mounting.ts'
import { clearTray, Place, setTray, tray, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const manyWaiting = (count: number) => Array.from({ length: count }, (_, i) => waiting(`photo-${i}`))
const drawn = (host: ParentNode) => [...host.querySelectorAll<HTMLElement>('.tray-pile a')].map((a) => a.textContent)
const list = (host: ParentNode) => host.querySelector<HTMLElement>('.tray-pile ul')!

describe('a tray of 2,000 photos', () => {
  // the service names fifty at most; the fake one would name them all
  beforeEach(() => tray.client.answer({ 'photos.listFlats': () => ({ photos: [] }) }))

  it('draws and asks for those in sight alone', async () => {
    tray.photos = manyWaiting(2000)
    const host = await show(<Place />)
    await settle()
    expect(host.querySelector('.tray-pile h2')?.textContent).toBe('2000 waiting')
    // the list of a test is 856 high and its rows 76: twelve of them, and some beyond
    expect(drawn(host).length).toBeGreaterThanOrEqual(12)
    expect(drawn(host).length).toBeLessThan(40)
    expect(host.querySelectorAll('.tray-pile img').length).toBe(drawn(host).length)
    const asked = new Set(tray.client.askedOf('photos.getMany').flatMap(({ photoIds }) => photoIds))
    expect(asked.size).toBeLessThanOrEqual(40)
    expect(host.querySelector('.tray-pile li')?.getAttribute('aria-setsize')).toBe('2000')
  })

  it('shows others as it is scrolled', async () => {
    tray.photos = manyWaiting(2000)
    const host = await show(<Place />)
    await act(async () => {
      list(host).scrollTop = 76 * 1000
      list(host).dispatchEvent(new Event('scroll'))
    })
    await settle()
    expect(drawn(host).some((words) => words?.includes('photo-1000.jpg'))).toBe(true)
    expect(drawn(host).some((words) => words?.includes('photo-5.jpg'))).toBe(false)
    expect(drawn(host).length).toBeLessThan(40)
  })

  it('brings the photo in that one walks to', async () => {
    tray.photos = manyWaiting(2000)
    const host = await show(<Place />)
    await press('PageUp')
    await settle()
    expect(location.pathname).toBe('/tray/photo-1999')
    expect(list(host).scrollTop).toBe(2000 * 76 - 856)
  })
})

type Fake = { isFile: boolean; isDirectory: boolean; name: string }
const file = (name: string): Fake & { file: (take: (f: File) => void) => void } => ({
  isFile: true,
  isDirectory: false,
  name,
  file: (take) => take(new File(['x'], name)),
})
/** Entries come in portions, as browsers give them: at most 100 at once, at last none. */
const folder = (name: string, inside: Fake[]) => {
  return {
    isFile: false,
    isDirectory: true,
    name,
    createReader: () => {
      const left = [...inside]
      return { readEntries: (take: (some: Fake[]) => void) => take(left.splice(0, 100)) }
    },
  }
}
const broken = (name: string) => ({
  ...folder(name, []),
  createReader: () => ({ readEntries: (_: unknown, fail: (error: Error) => void) => fail(new Error('no')) }),
})

async function drop(host: ParentNode, entries: Fake[]) {
  const items = entries.map((entry) => ({ kind: 'file', webkitGetAsEntry: () => entry }))
  const files = entries.map(({ name }) => new File(['x'], name))
  const event = Object.assign(new Event('drop', { bubbles: true, cancelable: true }), {
    dataTransfer: { types: ['Files'], items, files },
  })
  await act(async () => host.querySelector('.tray')!.dispatchEvent(event))
  await settle()
}
const taken = () => tray.client.askedOf('photos.takeIn').flatMap(({ files }) => files.map(({ name }) => name))
const said = () => useStore.getState().notices.map(({ message, remedy }) => `${message} ${remedy}`.trim())

describe('dropping', () => {
  it('looks into folders, in order of names, and leaves out what nobody means, with its count', async () => {
    const host = await show(<Place />)
    const many = Array.from({ length: 130 }, (_, i) => file(`IMG_${129 - i}.jpg`))
    const deep = folder('June', [file('z.heic'), file('Thumbs.db'), folder('.git', [file('a.jpg')])])
    await drop(host, [folder('2026', [...many, deep, file('.DS_Store'), file('desktop.ini')]), file('beside.jpg')])
    expect(taken()).toEqual([...Array.from({ length: 130 }, (_, i) => `IMG_${i}.jpg`), 'z.heic', 'beside.jpg'])
    expect(said()).toEqual(['4 hidden or system files were left out.'])
  })

  it('takes plain files as they are, also one whose name begins with a dot', async () => {
    const host = await show(<Place />)
    await drop(host, [file('.hidden.jpg'), file('b.jpg')])
    expect(taken()).toEqual(['.hidden.jpg', 'b.jpg'])
    expect(said()).toEqual([])
  })

  it('says when there was nothing in a folder, or it could not be looked into', async () => {
    const host = await show(<Place />)
    await drop(host, [folder('empty', [file('.DS_Store')])])
    expect(said()).toEqual(['There is no file in what was dropped. 1 hidden or system file was left out.'])
    await drop(host, [broken('locked'), file('a.jpg')])
    expect(said().at(-1)).toContain('locked could not be looked into.')
    expect(taken()).toEqual(['a.jpg'])
  })

  it('stops handing over when asked; what was handed over is taken in', async () => {
    const host = await show(<Place />)
    const go: (() => void)[] = []
    tray.client.stage = async (each) => {
      await new Promise<void>((resolve) => go.push(resolve))
      return `/staged/${each.name}`
    }
    const entries = Array.from({ length: 50 }, (_, i) => file(`${i}.jpg`))
    await drop(host, entries)
    expect(host.textContent).toContain('Handing over 1 of 50')
    await act(async () => buttonSaying(host, 'Stop')?.dispatchEvent(new MouseEvent('click', { bubbles: true })))
    await act(async () => {
      for (const resolve of go) resolve()
    })
    await settle()
    expect(taken()).toEqual(['0.jpg', '1.jpg', '2.jpg', '3.jpg'])
    expect(said()).toEqual(['Stopped: 4 of 50 files were handed over. Choose the rest again when you want them.'])
    expect(host.textContent).not.toContain('Handing over')
  })
})
