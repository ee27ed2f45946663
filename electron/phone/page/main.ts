import { nameOf, newId, openShelf, type Picture, thumbOf } from './pictures.ts'
import { makeRows } from './rows.ts'
import { type Link, makeSending } from './sending.ts'
import { forget, isConnected, pair, Refused } from './wire.ts'

const part = (id: string) => document.querySelector<HTMLElement>(`#${id}`)!
const standing = part('standing')
const panel = part('panel') as HTMLInputElement
const light = part('light') as HTMLInputElement
const goOn = part('go-on')
const clear = part('clear')
const camera = part('camera') as HTMLInputElement
const choose = part('choose') as HTMLInputElement

/** What was typed, for a page that is loaded anew. */
for (const typed of [panel, light]) {
  const key = `overground-phone-${typed.id}`
  typed.value = sessionStorage.getItem(key) ?? ''
  typed.addEventListener('input', () => sessionStorage.setItem(key, typed.value))
}

const longMs = 12_000
const fileBytes = 80 * 1024 ** 2
const scan =
  'On the computer, open “From a phone” in the tray, turn it on and scan its code. What waits here is sent then.'

const shelf = await openShelf()
const pictures = await shelf.all()
/** Where the browser keeps nothing, a reload would lose what has not been sent. */
let keepsNothing = false

const rows = makeRows(part('pictures'), {
  leaveOut: (picture) => {
    void sending.leaveOut(picture)
    draw()
  },
  takeAgain: () => camera.click(),
})
const sending = makeSending(pictures, shelf, (picture, link) => {
  if (picture) rows.renew(picture)
  say(link)
  count()
})
for (const picture of pictures) {
  // what was cut off when the page was closed
  if (picture.state === 'sending') picture.state = 'waiting'
  rows.add(picture)
}

function say(link: Link): void {
  const isLost = link.state === 'unreached' && Date.now() - link.since > longMs
  const isStopped = link.state === 'stopped'
  standing.textContent =
    isStopped || !isConnected()
      ? 'Not connected'
      : link.state === 'unreached'
        ? 'No connection. Trying again …'
        : 'Connected to the computer'
  part('ask').hidden = !isStopped && !isLost
  if (isStopped) {
    part('ask-what').textContent = link.message
    part('ask-do').textContent = link.remedy
  } else if (isLost) {
    part('ask-what').textContent =
      'The computer cannot be reached: Overground was stopped or turned off there, or this phone left the network.'
    part('ask-do').textContent = scan
  }
  goOn.textContent = isLost ? 'Try now' : 'Go on'
  goOn.hidden = !(isLost || (isStopped && link.canGoOn))
}

function count(): void {
  const arrived = pictures.filter(({ state }) => state === 'arrived').length
  const coming = pictures.filter(({ state }) => state === 'waiting' || state === 'sending').length
  part('count').hidden = pictures.length === 0
  const parts = [arrived > 0 ? `${arrived} arrived` : '', coming > 0 ? `${coming} on the way` : '']
  part('count').textContent = parts.filter((words) => words !== '').join(', ') || 'Pictures'
  clear.hidden = arrived === 0
  part('network').hidden = false
}

function draw(): void {
  for (const picture of rows.shown()) if (!pictures.includes(picture)) rows.remove(picture)
  count()
}

async function add(files: Iterable<File>): Promise<void> {
  for (const file of files) {
    const isLarge = file.size > fileBytes
    const picture: Picture = {
      id: newId(),
      name: nameOf(file),
      size: file.size,
      panel: panel.value.trim(),
      light: light.value.trim(),
      addedAt: Date.now(),
      bytes: isLarge ? null : file,
      thumb: null,
      state: isLarge ? 'refused' : 'waiting',
      sent: 0,
      words: isLarge ? 'Larger than 80 MB. Bring it to the computer by cable or card.' : '',
      isGood: false,
      isOver: isLarge,
    }
    pictures.push(picture)
    rows.add(picture)
    count()
    if (isLarge) {
      await shelf.put(picture)
      continue
    }
    if (!(await shelf.put(picture)) && !keepsNothing) {
      keepsNothing = true
      part('network').textContent =
        `Keep this page open until all pictures have arrived: this browser keeps nothing for it. ${part('network').textContent}`
    }
    sending.run()
    picture.thumb = await thumbOf(file)
    rows.renew(picture)
    if (picture.thumb) await shelf.put(picture)
  }
}

for (const input of [camera, choose])
  input.addEventListener('change', () => {
    const files = [...(input.files ?? [])]
    // so that the same file can be chosen again
    input.value = ''
    void add(files)
  })
goOn.addEventListener('click', sending.goOn)
clear.addEventListener('click', () => {
  for (const picture of pictures.filter(({ state }) => state === 'arrived')) void sending.leaveOut(picture)
  draw()
})
addEventListener('online', sending.goOn)
document.addEventListener('visibilitychange', () => {
  if (!document.hidden) sending.goOn()
})
setInterval(() => say(sending.link()), 2000)

// a newer tab of this phone has the pictures now: two would send the same
const tabs = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('overground-phone')
tabs?.addEventListener('message', () => {
  forget()
  sending.stop('This page was opened anew in another tab.', 'Go on there; this one can be closed.')
  // what it shows is no longer so
  for (const id of ['take', 'said', 'list']) part(id).hidden = true
})

async function connect(): Promise<void> {
  const token = location.hash.slice(1)
  if (token !== '') {
    // the code is of no use any more, and stands in no list of pages that were opened
    history.replaceState(null, '', location.pathname)
    try {
      await pair(token)
      tabs?.postMessage('here')
    } catch (error) {
      const no = error instanceof Refused ? error.no : { message: 'The computer cannot be reached.', remedy: scan }
      if (!isConnected()) return sending.stop(no.message, no.remedy)
    }
  }
  if (isConnected()) sending.connected()
  else sending.stop('This phone is not connected.', scan)
}
addEventListener('hashchange', () => void connect())
count()
await connect()
