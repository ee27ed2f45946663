import { type FileHandle, rename, rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import type { Failure } from '../../shared-core/contract/calls.ts'
import { type BodySource, pieces } from '../http/bodies.ts'
import { RequestRefusal } from '../http/request-refusal.ts'
import { stagingPath } from '../service/link/app-folder.ts'
import { beginsAsPicture, halfIn, hashOf, headBytes, openHalf, syncFolder, unwritable } from './half-file.ts'
import type { PhoneLimits } from './limits.ts'
import type { Fate, Finished } from './messages.ts'
import type { PairedPhone } from './pairing.ts'
import { refusals } from './refusals.ts'

/** A picture as its phone announces it. Its id is made by the phone: 128 random bits, so whoever knows it sent it. */
export type Announced = { id: string; name: string; size: number }
export type Words = { panel: string; light: string }

/** Where a picture stands. */
export type Standing = { state: Upload['state']; offset: number; fate: Fate | null }

type Upload = Announced & {
  phoneId: string
  /** Where its half lies: told by its id, so that it is found again after this program ended. */
  folder: string
  /** Once it is whole, in another folder: whoever takes it in removes that, at any time, even after an end of this program. */
  path: string
  /** Bytes that lie in the file so far. */
  offset: number
  isPicture: boolean
  /** `coming` in pieces, `whole` on the drive, `kept`: the rack will have it. */
  state: 'coming' | 'whole' | 'kept' | 'refused'
  fate: Fate | null
  /** What works on it at present; the next waits for it. */
  work: Promise<unknown>
  /** Pieces of work that are under way or wait, and the number of the last one, counted over all. */
  busy: number
  lastNr: number
  /** Breaks off the piece that is being read: whoever sends the next has given it up. */
  breakOff: (() => void) | null
}

type Limits = Pick<PhoneLimits, 'fileBytes' | 'pieceBytes' | 'sessionBytes' | 'sessionFiles' | 'halfFiles'> &
  Pick<PhoneLimits, 'bodyIdleMs' | 'bodyMs'>

/**
 * Files on their way in. Half a file outlives this program, and the phone that knows its id goes on with it.
 * @param keep     hands over a file that lies whole on the drive; its failure, where the rack cannot have it now
 * @param changed  told when a picture came in whole or met its fate
 */
export function makeUploads(
  staging: string,
  limits: Limits,
  keep: (file: Finished) => Promise<Failure | null>,
  changed: () => void,
) {
  const uploads = new Map<string, Upload>()

  const standing = ({ state, offset, fate }: Upload): Standing => ({ state, offset, fate })
  const mine = (phone: PairedPhone, id: string): Upload => {
    const upload = uploads.get(id)
    if (!upload || upload.phoneId !== phone.id) throw refusals.unknownPicture()
    return upload
  }
  let lastNr = 0
  /** One piece of work on a picture after the other, as long as it is not given up. */
  const inTurn = <T>(upload: Upload, work: () => Promise<T>): Promise<T> => {
    upload.busy++
    upload.lastNr = ++lastNr
    const mineNow = () => {
      if (uploads.get(upload.id) !== upload) throw refusals.unknownPicture()
      return work()
    }
    const turn = upload.work.then(mineNow, mineNow).finally(() => upload.busy--)
    upload.work = turn.catch(() => undefined)
    return turn
  }
  const giveUp = (upload: Upload): Promise<void> =>
    inTurn(upload, async () => {
      if (upload.state !== 'coming') return
      try {
        await rm(upload.folder, { recursive: true, force: true })
      } finally {
        uploads.delete(upload.id)
        changed()
      }
    })
  /** @throws RequestRefusal always; the file has to be closed by then (Windows removes none that is open) */
  const refuse = async (upload: Upload, refusal: RequestRefusal): Promise<never> => {
    const { message, remedy } = refusal.failure
    upload.state = 'refused'
    upload.fate = { state: 'refused', words: `${message} ${remedy}`, isGood: false }
    await rm(upload.folder, { recursive: true, force: true })
    changed()
    throw refusal
  }

  async function announce(phone: PairedPhone, { id, name, size }: Announced): Promise<Standing> {
    if (size === 0) throw refusals.empty()
    if (size > limits.fileBytes) throw refusals.tooLarge(limits.fileBytes)
    const known = uploads.get(id)
    if (known) {
      if (known.size !== size) throw refusals.unreadable()
      // the page was opened anew: the same picture, by a phone that was connected once more
      known.phoneId = phone.id
      // once what has been breaking off is over
      return inTurn(known, async () => standing(known))
    }
    const others = [...uploads.values()].filter(({ phoneId }) => phoneId === phone.id)
    const bytes = others.reduce((sum, other) => sum + other.size, size)
    if (others.length >= limits.sessionFiles || bytes > limits.sessionBytes) throw refusals.tooMuch()
    // a page that was closed, or a picture that was left out with no connection, keeps no other out
    const half = others.filter(({ state }) => state === 'coming')
    const resting = half.filter(({ busy }) => busy === 0).toSorted((a, b) => a.lastNr - b.lastNr)
    const tooMany = half.length + 1 - limits.halfFiles
    if (tooMany > resting.length) throw refusals.tooManyBegun()
    const over = resting.slice(0, Math.max(0, tooMany))
    const upload: Upload = {
      id,
      name,
      size,
      phoneId: phone.id,
      folder: join(staging, `phone-${id}`),
      path: '',
      offset: 0,
      isPicture: false,
      state: 'coming',
      fate: null,
      work: Promise.all(over.map(giveUp)),
      busy: 0,
      lastNr: 0,
      breakOff: null,
    }
    uploads.set(id, upload)
    return inTurn(upload, async () => {
      try {
        const file = await openHalf(upload.folder)
        try {
          // from before this program was started
          const there = (await file.stat()).size
          if (there > size) await file.truncate(0).catch(unwritable)
          upload.offset = there > size ? 0 : there
        } finally {
          await file.close()
        }
      } catch (error) {
        // announced once more, it is begun once more
        uploads.delete(id)
        throw error
      }
      changed()
      return standing(upload)
    })
  }

  /** Adds a piece that begins at `offset`. What of it came before it broke off stays. */
  async function add(phone: PairedPhone, id: string, offset: number, body: BodySource): Promise<Standing> {
    const upload = mine(phone, id)
    upload.breakOff?.()
    return inTurn(upload, async () => {
      if (upload.state !== 'coming' || offset !== upload.offset) throw refusals.otherwhere()
      upload.breakOff = () => body.destroy()
      const file = await openHalf(upload.folder)
      let isPicture = true
      try {
        // somebody cleared it away meanwhile
        const there = (await file.stat()).size
        if (there < upload.offset) {
          upload.offset = there
          throw refusals.otherwhere()
        }
        const most = { bytes: limits.pieceBytes, idleMs: limits.bodyIdleMs, totalMs: limits.bodyMs }
        for await (const bytes of pieces(body, most)) {
          if (upload.offset + bytes.length > upload.size) throw refusals.unreadable()
          for (let at = 0; at < bytes.length; ) {
            // a drive that becomes full takes a part of it
            const { bytesWritten } = await file.write(bytes, at, bytes.length - at, upload.offset).catch(unwritable)
            at += bytesWritten
            upload.offset += bytesWritten
          }
        }
        if (upload.offset >= Math.min(headBytes, upload.size)) isPicture = await looksLikePicture(upload, file)
      } finally {
        upload.breakOff = null
        await file.close()
      }
      if (!isPicture) await refuse(upload, refusals.notAPicture())
      return standing(upload)
    })
  }

  const looksLikePicture = async (upload: Upload, file: FileHandle): Promise<boolean> => {
    upload.isPicture ||= await beginsAsPicture(file)
    return upload.isPicture
  }

  /** Makes a whole file durable, and comes back when the rack will have it. */
  async function finish(phone: PairedPhone, id: string, sha256: string, words: Words): Promise<Standing> {
    const upload = mine(phone, id)
    return inTurn(upload, async () => {
      if (upload.state === 'coming') {
        if (upload.offset !== upload.size) throw refusals.otherwhere()
        await makeWhole(upload, sha256)
      }
      if (upload.state === 'whole') {
        const failure = await keep({ key: id, phone: phone.name, path: upload.path, name: upload.name, ...words })
        if (failure) throw new RequestRefusal(503, failure.code, failure.message, failure.remedy)
        upload.state = 'kept'
        changed()
      }
      return standing(upload)
    })
  }

  async function makeWhole(upload: Upload, sha256: string): Promise<void> {
    const file = await openHalf(upload.folder)
    let isPicture = true
    try {
      isPicture = await looksLikePicture(upload, file)
      if (isPicture && (await hashOf(file)) !== sha256) {
        await file.truncate(0)
        upload.offset = 0
        upload.isPicture = false
        throw refusals.damaged()
      }
      await file.sync().catch(unwritable)
    } finally {
      await file.close()
    }
    if (!isPicture) await refuse(upload, refusals.notAPicture())
    upload.path = await stagingPath(staging, upload.name).catch(unwritable)
    await rename(halfIn(upload.folder), upload.path).catch(unwritable)
    for (const folder of [dirname(upload.path), staging]) await syncFolder(folder)
    upload.state = 'whole'
    // empty by now
    await rm(upload.folder, { recursive: true, force: true })
  }

  return {
    announce,
    add,
    finish,
    /** The painter does not want it sent any more. */
    drop: async (phone: PairedPhone, id: string): Promise<void> => {
      const upload = mine(phone, id)
      upload.breakOff?.()
      await giveUp(upload)
    },
    /** Of this phone's own pictures alone. */
    fates: (phone: PairedPhone, ids: readonly string[]): Record<string, Standing> =>
      Object.fromEntries(
        ids.flatMap((id) => {
          const upload = uploads.get(id)
          return upload?.phoneId === phone.id ? [[id, standing(upload)]] : []
        }),
      ),
    meet: (key: string, fate: Fate): void => {
      const upload = uploads.get(key)
      if (!upload) return
      upload.fate = fate
      if (fate.state === 'refused') upload.state = 'refused'
    },
    count: (phoneId: string): { arrived: number; coming: number } => {
      const states = [...uploads.values()].filter((upload) => upload.phoneId === phoneId).map(({ state }) => state)
      return {
        arrived: states.filter((state) => state === 'kept').length,
        coming: states.filter((state) => state === 'coming' || state === 'whole').length,
      }
    },
  }
}
export type Uploads = ReturnType<typeof makeUploads>
