import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { watchFolder } from '../../renderer/commands/tray/watch-folder.ts'
import { WatchedDialog } from '../../renderer/screens/tray/watched/watched-dialog.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { hideWatched } from '../../renderer/state/watched.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { WatchedFolder } from '../../shared-core/contract/watch-calls.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown, type } from './mounting.ts'

const card: WatchedFolder = {
  id: 'card',
  path: '/media/card',
  since: '2026-11-26T08:00:00.000Z',
  isOn: true,
  lookedAt: null,
  taken: 12,
  refused: 1,
  coming: 2,
  trouble: null,
}

let client: FakeClient
let folders: WatchedFolder[]
let photosThere: number
beforeEach(() => {
  folders = []
  photosThere = 37
  client = prepare({
    'watched.list': () => ({ folders }),
    'watched.look': ({ path }) => {
      if (path === '/nowhere') throw new Refusal('watched/no-folder', 'It is no folder.', 'Choose another.')
      return { path, photos: photosThere }
    },
    'watched.add': ({ path }) => {
      const folder = { ...card, path, taken: 0, refused: 0, coming: 0 }
      folders = [folder]
      return { folder }
    },
    'watched.turn': ({ on }) => {
      folders = folders.map((folder) => ({ ...folder, isOn: on }))
      return { folder: folders[0] ?? card }
    },
    'watched.remove': () => {
      folders = []
      return {}
    },
  })
})
afterEach(async () => {
  await takeDown()
  hideWatched()
})

const open = async () => {
  const page = await show(<WatchedDialog />)
  await act(async () => void watchFolder.run(useStore.getState()))
  await settle()
  return page
}
const name = async (page: HTMLElement, path: string) => {
  await type(page.querySelector('input'), path)
  await click(buttonSaying(page, 'Watch this folder'))
}

describe('watched folders', () => {
  it('asks what becomes of photos that lie there already', async () => {
    const page = await open()
    await name(page, '/media/card')
    expect(page.textContent).toContain('37 photos lie there already')
    expect(client.askedOf('watched.add')).toEqual([])
    await click(buttonSaying(page, 'Only new ones'))
    expect(client.askedOf('watched.add')).toEqual([{ path: '/media/card', takeThoseThere: false }])
    expect(page.querySelector('li')?.textContent).toContain('No photo has come yet')

    await name(page, '/media/other')
    await click(buttonSaying(page, 'Take in all 37, too'))
    expect(client.askedOf('watched.add')[1]).toEqual({ path: '/media/other', takeThoseThere: true })
  })

  it('asks nothing about an empty folder, and says what is wrong with one that is none', async () => {
    photosThere = 0
    const page = await open()
    await name(page, '/nowhere')
    expect(page.querySelector('[role="alert"]')?.textContent).toContain('It is no folder. Choose another.')
    await name(page, '/media/card')
    expect(client.askedOf('watched.add')).toEqual([{ path: '/media/card', takeThoseThere: false }])
  })

  it('tells what came, what is on the way and what could not be read, and turns watching off', async () => {
    folders = [card]
    const page = await open()
    const line = () => page.querySelector('li')?.textContent ?? ''
    expect(line()).toContain('12 photos taken in, 2 on the way, 1 could not be read as a photo.')
    await click(buttonSaying(page, 'Pause'))
    expect(line()).toContain('Paused')
    await click(buttonSaying(page, 'Go on watching'))
    expect(client.askedOf('watched.turn')).toEqual([
      { folderId: 'card', on: false },
      { folderId: 'card', on: true },
    ])
    await click(buttonSaying(page, 'Stop watching'))
    expect(client.askedOf('watched.remove')).toEqual([{ folderId: 'card' }])
    expect(page.querySelector('li')).toBeNull()
  })

  it('says calmly that a card is not there', async () => {
    const trouble = { code: 'watched/gone', message: 'This folder is not there just now.', remedy: 'Connect it again.' }
    folders = [{ ...card, trouble: { ...trouble, weight: 'note' } }]
    const page = await open()
    expect(page.querySelector('li .fine')?.textContent).toBe('This folder is not there just now. Connect it again.')
    expect(page.querySelector('.warn')).toBeNull()
  })
})
