import type { Event, Failure } from '../../../shared-core/contract/calls.ts'
import type { PhonePicture } from '../../../shared-core/contract/phone-calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { IntakeItem, JobReport } from '../../../shared-core/records/job.ts'
import { type Found, surely } from '../../../shared-core/records/proposal.ts'
import type { Fate, Finished } from '../../phone/messages.ts'
import { smallPixels } from '../../photos/small-pixels.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { expectedFrom } from '../expected.ts'
import { changeLabel } from '../intake/keeper.ts'
import { makeSitting } from '../intake/sitting.ts'
import type { IntakeSupport } from '../intake/take-all.ts'
import { startIntake } from '../intake.ts'
import { locatePicture } from '../pictures.ts'
import { lookingForCard, type Word, wordOnFound, wordOnPicture } from './quality.ts'

/** What was found in a photo; null while nobody has looked. */
export type FoundIn = (rack: Rack, photoId: string) => Promise<{ found: Found | null } | null>

type Support = {
  intake: IntakeSupport
  foundIn: FoundIn
  /** Tells the phone. */
  meet: (key: string, fate: Fate) => void
  changed: () => void
}

/** Shown at the desk. */
const most = 60

/** Pictures that phones sent: taken into the tray, looked at, and what is said of each. */
export function makeSent({ intake, foundIn, meet, changed }: Support) {
  const { log } = intake
  let pictures: PhonePicture[] = []
  /** By the picture that they take in, so that none is begun twice. */
  const begun = new Map<string, Promise<Failure | null>>()
  /** Intakes under way, by their jobs. */
  const jobs = new Map<string, { rack: Rack; file: Finished }>()
  /** Photos in which panel and card are still looked for, and what they are called here. */
  const awaited = new Map<string, { rack: Rack; key: string }>()
  const ofPhone = () => makeSitting((count) => `${changeLabel(count)} from a phone`)
  let sitting = ofPhone()

  const say = (key: string, state: Fate['state'], { words, isGood }: Word, more: Partial<PhonePicture> = {}) => {
    meet(key, { state, words, isGood })
    pictures = pictures.map((one) => (one.id === key ? { ...one, ...more, words, isGood } : one))
    changed()
  }

  /** A picture lies whole on the drive: its intake is noted in the rack before its phone is told that it arrived. */
  const take = (rack: Rack, file: Finished): Promise<Failure | null> => {
    const known = begun.get(file.key)
    if (known) return known
    const { key: id, path, name, phone, panel, light } = file
    const taking = startIntake(rack, [{ path, name, hint: { cameFrom: 'phone', panel, light } }], {
      ...intake,
      sitting,
    })
      .then((jobId) => {
        jobs.set(jobId, { rack, file })
        const picture = { id, name, phone, photoId: null, sha256: null, words: '', isGood: false }
        pictures = [picture, ...pictures].slice(0, most)
        changed()
        return null
      })
      .catch(async (error: unknown): Promise<Failure> => {
        // it is asked again
        begun.delete(id)
        const expected = await expectedFrom(error, rack)
        if (!(expected instanceof Refusal)) return log.unexpected(error, 'taking over a picture from a phone')
        const { code, message, remedy } = expected
        return { code, message, remedy }
      })
    begun.set(id, taking)
    return taking
  }

  const met = async (rack: Rack, key: string, { fate, photoId, why }: IntakeItem): Promise<void> => {
    if (photoId === null || (fate !== 'taken' && fate !== 'duplicate')) {
      const words = why ? `${why.message} ${why.remedy}` : 'It was left out at the computer.'
      return say(key, 'refused', { words, isGood: false })
    }
    const { sha256 } = await readPhotoRecord(rack.db, photoId)
    const view = await locatePicture(rack, `photo/${sha256}/view`)
    const word = wordOnPicture(await smallPixels(view.path))
    const more = { photoId, sha256 }
    if (fate === 'duplicate')
      return say(key, 'looked-at', { ...word, words: `${sentence(word.words)} This picture was there already.` }, more)
    if (!word.isGood) return say(key, 'looked-at', word, more)
    say(key, 'kept', lookingForCard, more)
    awaited.set(photoId, { rack, key })
    await lookForCard(photoId)
  }

  const lookForCard = async (photoId: string): Promise<void> => {
    const wanted = awaited.get(photoId)
    if (!wanted) return
    // filed or thrown away by now: nothing more is to be said of it
    const looked = await foundIn(wanted.rack, photoId).catch(() => ({ found: null }))
    if (!looked || !awaited.delete(photoId)) return
    say(wanted.key, 'looked-at', wordOnFound(looked.found, surely))
  }

  const report = ({ id, items, state }: JobReport): void => {
    const job = jobs.get(id)
    if (!job) return
    const { rack, file } = job
    const [item] = items
    if (item || state !== 'running') jobs.delete(id)
    if (item)
      void met(rack, file.key, item).catch((error: unknown) => {
        if (!(error instanceof Refusal)) log.unexpected(error, 'looking at a picture from a phone')
        say(file.key, 'looked-at', { words: '', isGood: true })
      })
    else if (state !== 'running')
      say(file.key, 'looked-at', { words: 'The computer has it, and takes it in later.', isGood: false })
  }

  return {
    take,
    /** Waits until each that was handed over is noted in its rack, or refused. */
    settled: async (): Promise<void> => void (await Promise.all(begun.values())),
    list: () => pictures,
    follow: (event: Event): void => {
      if (event.name === 'job.progressed') report(event.data)
      if (event.name === 'proposals.made') for (const photoId of awaited.keys()) void lookForCard(photoId)
    },
    forget: (): void => {
      pictures = []
      begun.clear()
      sitting = ofPhone()
      awaited.clear()
    },
  }
}

const sentence = (words: string): string => (/[.…]$/.test(words) ? words : `${words}.`)
