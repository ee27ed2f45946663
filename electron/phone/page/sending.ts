import type { Picture, Shelf } from './pictures.ts'
import { Sha256 } from './sha256.ts'
import { announce, drop, fates, finish, forget, isConnected, piece, Refused, type Standing, Unreached } from './wire.ts'

/** How it stands between this page and the computer. */
export type Link =
  | { state: 'connected' }
  /** It is tried again by itself. */
  | { state: 'unreached'; since: number }
  /** Somebody has to do something first. */
  | { state: 'stopped'; message: string; remedy: string; canGoOn: boolean }

/** Smaller than the computer takes, so that little is sent twice where the connection breaks. */
const pieceBytes = 512 * 1024
const againMs = [500, 1000, 2000, 4000]
const askMs = 1200
/** While nothing is on its way: so late at most it is known that the computer is gone. */
const restMs = 4_000
/** Pictures asked about at once. */
const mostAsked = 40
const mostDamaged = 3

const pause = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms))

/** Sends one picture after the other, and goes on where it was whatever breaks. */
export function makeSending(pictures: Picture[], shelf: Shelf, shown: (picture: Picture | null, link: Link) => void) {
  let link: Link = { state: 'connected' }
  let isRunning = false
  let failures = 0
  let wake = () => {}

  const setLink = (now: Link) => {
    link = now
    shown(null, link)
  }
  const set = (picture: Picture, change: Partial<Picture>) => {
    Object.assign(picture, change)
    shown(picture, link)
  }
  const reached = () => {
    failures = 0
    if (link.state === 'unreached') setLink({ state: 'connected' })
  }

  const meet = (picture: Picture, { fate }: Standing) => {
    if (!fate) return
    const { state, words, isGood } = fate
    const isOver = state !== 'kept'
    if (state === 'refused') set(picture, { state: 'refused', words, isGood: false, isOver: true })
    else if (words !== picture.words || isOver !== picture.isOver) set(picture, { words, isGood, isOver })
    if (isOver) void shelf.put(picture)
  }

  async function sendOne(picture: Picture): Promise<void> {
    const { bytes } = picture
    if (!bytes) return
    const isLeftOut = () => !pictures.includes(picture)
    set(picture, { state: 'sending' })
    const sha256 = await hashOf(bytes)
    for (let damaged = 0; ; ) {
      try {
        let stands = await announce(picture.id, picture.name, picture.size)
        reached()
        while (stands.state === 'coming' && stands.offset < picture.size) {
          set(picture, { sent: stands.offset })
          stands = await piece(picture.id, stands.offset, bytes.slice(stands.offset, stands.offset + pieceBytes))
          reached()
          if (isLeftOut()) return
        }
        set(picture, { sent: picture.size })
        if (stands.state !== 'kept') stands = await finish(picture.id, sha256, picture.panel, picture.light)
        // only now may this phone let go of it
        set(picture, { state: 'arrived', bytes: null })
        await shelf.put(picture)
        meet(picture, stands)
        return
      } catch (error) {
        if (isLeftOut()) return
        // it goes on at another place, or from the beginning: asked anew
        const code = error instanceof Refused ? error.no.code : ''
        if (code === 'phone/damaged' && ++damaged < mostDamaged) continue
        if (code === 'phone/other-place' || code === 'phone/unknown-picture') {
          await pause(askMs / 4)
          if (++damaged < mostDamaged * 4) continue
        }
        throw error
      }
    }
  }

  /** What is done about it when a picture could not be sent. */
  async function after(picture: Picture, error: unknown): Promise<void> {
    set(picture, { state: 'waiting' })
    if (error instanceof Refused) {
      const { status, message, remedy, code } = error.no
      if (status === 401) {
        forget()
        return setLink({ state: 'stopped', message, remedy, canGoOn: false })
      }
      // it stalled, or more was asked than may be at once
      if (status === 429 || status === 408 || code === 'phone/too-many-begun') return pause(1000)
      if ([413, 415, 422].includes(status) && code !== 'phone/too-much') {
        set(picture, { state: 'refused', words: `${message} ${remedy}`, isGood: false, isOver: true, bytes: null })
        await shelf.put(picture)
        return
      }
      if (code === 'phone/not-kept-yet') return pause(2000)
      return setLink({ state: 'stopped', message, remedy, canGoOn: true })
    }
    if (!(error instanceof Unreached)) {
      // the phone itself no longer has the file
      set(picture, {
        state: 'refused',
        words: 'The phone could not read this picture. Take it again.',
        isOver: true,
        bytes: null,
      })
      await shelf.put(picture)
      return
    }
    if (link.state !== 'unreached') setLink({ state: 'unreached', since: Date.now() })
    else setLink(link)
    const rest = againMs[Math.min(failures++, againMs.length - 1)] ?? 0
    await Promise.race([pause(rest), new Promise<void>((resolve) => (wake = resolve))])
  }

  async function run(): Promise<void> {
    if (isRunning) return
    isRunning = true
    try {
      while (link.state !== 'stopped' && isConnected()) {
        const next = pictures.find(({ state, bytes }) => state === 'waiting' && bytes !== null)
        if (!next) return
        try {
          await sendOne(next)
        } catch (error) {
          await after(next, error)
        }
      }
    } finally {
      isRunning = false
    }
  }

  async function askFates(): Promise<void> {
    let rest = 0
    for (;;) {
      await pause(askMs)
      rest += askMs
      const waiting = pictures.filter(({ state, isOver }) => state === 'arrived' && !isOver).slice(-mostAsked)
      const isBusy = pictures.some(({ state }) => state === 'sending')
      if (!isConnected() || link.state === 'stopped' || document.hidden) continue
      if (waiting.length === 0 && (isBusy || rest < restMs)) continue
      rest = 0
      try {
        const told = await fates(waiting.map(({ id }) => id))
        reached()
        for (const picture of waiting) {
          const stands = told[picture.id]
          // connected anew since: the computer has it, and says nothing more of it to this page
          if (stands) meet(picture, stands)
          else set(picture, { isOver: true })
        }
        void run()
      } catch (error) {
        if (error instanceof Refused && error.no.status === 401) {
          forget()
          const { message, remedy } = error.no
          setLink({ state: 'stopped', message, remedy, canGoOn: false })
        } else if (error instanceof Unreached && link.state === 'connected' && !isBusy)
          setLink({ state: 'unreached', since: Date.now() })
      }
    }
  }
  void askFates()

  return {
    link: () => link,
    run: () => void run(),
    /** The network is back, or somebody pressed "Go on". */
    goOn: () => {
      failures = 0
      if (link.state === 'stopped' && isConnected()) setLink({ state: 'connected' })
      wake()
      void run()
    },
    connected: () => {
      setLink({ state: 'connected' })
      wake()
      void run()
    },
    stop: (message: string, remedy: string) => setLink({ state: 'stopped', message, remedy, canGoOn: false }),
    leaveOut: async (picture: Picture) => {
      const at = pictures.indexOf(picture)
      // pressed twice
      if (at < 0) return
      pictures.splice(at, 1)
      await shelf.drop(picture.id)
      // where that cannot be reached, it gives up by itself what nobody goes on with
      if (picture.state !== 'arrived') await drop(picture.id).catch(() => undefined)
    },
  }
}
export type Sending = ReturnType<typeof makeSending>

const hashBytes = 1024 * 1024

async function hashOf(file: Blob): Promise<string> {
  const hash = new Sha256()
  for (let at = 0; at < file.size; at += hashBytes)
    hash.add(new Uint8Array(await file.slice(at, at + hashBytes).arrayBuffer()))
  return hash.end()
}
