import type { Output } from '../../../shared-core/contract/calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { isHeldBack } from '../../../shared-core/find/filing/decide.ts'
import { briefly } from '../../../shared-core/find/filing/doubts.ts'
import type { Proposal } from '../../../shared-core/records/proposal.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import { photoAbsent } from '../../rack/queries/photos.ts'
import { noteSaid, type Sayings } from '../../rack/queries/proposals/looks.ts'
import { type PilePhoto, readOutOfPile, readPile } from '../../rack/queries/proposals/pile.ts'
import type { Log } from '../log.ts'
import { decideAll, forgetOthers, type Looks } from './board.ts'
import type { LookAt } from './look-at-photo.ts'
import { makeLooker } from './looker.ts'

/** What photos of the tray seem to show. */
export type Proposals = {
  follow(rack: Rack): void
  wake(): void
  /** Something was said of photos, in a way that changes no record. */
  heard(): void
  /** @throws Refusal `photo/absent` */
  get(rack: Rack, photoId: string): Promise<Proposal>
  overview(rack: Rack): Promise<Output<'proposals.overview'>>
  /** @throws Refusal `photo/absent`, `panel/absent` */
  again(rack: Rack, photoId: string, panelId: string | null): Promise<Proposal>
  /** Notes what the painter says of it. @throws Refusal `photo/absent` */
  say(rack: Rack, photoId: string, said: Omit<Sayings, 'panelId'>): Promise<Proposal>
  /** As `get`, of this photo and those of its panel alone, of which hundreds are filed one after the other; null: it does not wait. */
  decideNow(rack: Rack, photoId: string): Promise<Proposal | null>
  leave(): Promise<void>
}

type Board = { of: string; pile: readonly PilePhoto[]; proposals: ReadonlyMap<string, Proposal> }
type Support = { log: Log; settings: () => Settings; onMade: () => void; lookAt: LookAt | null }

/** Whoever shows proposals is told at most so often. */
const tellEveryMs = 500

/** @param support  `lookAt` null: nobody looks at photos in the background */
export function makeProposals({ log, settings, onMade, lookAt }: Support): Proposals {
  /** Rises with whatever is noted of a photo. */
  let notes = 0
  let looks: Looks = new Map()
  let board: Promise<Board> | null = null
  let boardOf = ''
  const tell = throttled(onMade, tellEveryMs)
  const noted = () => {
    notes++
    tell()
  }
  const looker = lookAt ? makeLooker(lookAt, log, noted) : null

  /** All of the tray, decided on once for each state of the rack. */
  const tray = async (rack: Rack): Promise<Board> => {
    const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
    const { card, cardSizeMm } = settings()
    const of = JSON.stringify([rack.folder, revision, notes, card, cardSizeMm])
    if (board && boardOf === of) return board
    boardOf = of
    const mine = (async () => {
      const pile = await readPile(rack.db)
      forgetOthers(looks, pile)
      return { of, pile, proposals: await decideAll(rack, pile, looks, { card, cardSizeMm }) }
    })()
    board = mine
    mine.catch(() => {
      if (board === mine) board = null
    })
    return mine
  }

  const proposalFor = async (rack: Rack, photoId: string): Promise<Proposal> => {
    const inTray = (await tray(rack)).proposals.get(photoId)
    if (inTray) return inTray
    const photo = await readOutOfPile(rack.db, photoId)
    if (!photo) throw photoAbsent()
    const alone = await decideAll(rack, [photo], new Map(), settings())
    return alone.get(photoId)!
  }

  /** What was said last stands, however long what was said before takes. */
  let saying: Promise<unknown> = Promise.resolve()
  /** @returns whether it could be kept: nothing is written where a rack is only looked at */
  const note = (rack: Rack, photoId: string, said: Sayings): Promise<boolean> => {
    const mine = saying.then(async () => {
      if (!(await readOutOfPile(rack.db, photoId))) throw photoAbsent()
      if (said.panelId != null) await readPanel(rack.db, said.panelId)
      if (rack.access.mode !== 'full') return false
      await rack.verify()
      await noteSaid(rack.db, photoId, said)
      return true
    })
    saying = mine.catch(() => undefined)
    return mine
  }

  return {
    follow: (rack) => {
      looks = new Map()
      board = null
      looker?.follow(rack)
    },
    wake: () => looker?.wake(),
    heard: noted,
    get: async (rack, photoId) => {
      const proposal = await proposalFor(rack, photoId)
      if (proposal.state === 'waiting') looker?.next(photoId)
      return proposal
    },
    overview: async (rack) => {
      const { pile, proposals } = await tray(rack)
      const all = pile.flatMap(({ id }) => proposals.get(id) ?? [])
      return {
        ready: all.flatMap(({ photoId, panelId, panelCode, ...one }) =>
          isReady({ panelId, ...one }) ? [{ photoId, panelId: panelId!, panelCode: panelCode! }] : [],
        ),
        doubtful: all.flatMap((one) =>
          one.state === 'waiting' || isReady(one)
            ? []
            : [{ photoId: one.photoId, panelCode: one.panelCode, why: one.doubts[0] ? briefly(one.doubts[0]) : '' }],
        ),
        waiting: all.filter(({ state }) => state === 'waiting').length,
      }
    },
    again: async (rack, photoId, panelId) => {
      const isFresh = panelId === null
      // another panel has other photos, and who looks again is asked again
      const said = { panelId, withdrawn: false, bothKept: false, ...(isFresh ? { declined: false } : {}) }
      if (!(await note(rack, photoId, said))) return proposalFor(rack, photoId)
      await looker?.now(photoId, isFresh)
      noted()
      return proposalFor(rack, photoId)
    },
    say: async (rack, photoId, said) => {
      if (await note(rack, photoId, said)) noted()
      return proposalFor(rack, photoId)
    },
    decideNow: async (rack, photoId) => {
      const last = await (board ?? tray(rack))
      const panelId = last.proposals.get(photoId)?.panelId ?? null
      const alikeId = looks.get(photoId)?.look.alikeId
      const peers = last.pile.filter(
        ({ id }) =>
          // the one that looks the same counts only where it shows the same panel
          id !== photoId && (id === alikeId || (panelId !== null && last.proposals.get(id)?.panelId === panelId)),
      )
      const together = [photoId, ...peers.map(({ id }) => id)]
      const now = await Promise.all(together.map((id) => readOutOfPile(rack.db, id)))
      const waiting = now.flatMap((photo) => (photo && !photo.filed ? [photo] : []))
      if (waiting[0]?.id !== photoId) return null
      return (await decideAll(rack, waiting, looks, settings())).get(photoId) ?? null
    },
    leave: async () => {
      await looker?.leave()
      await board?.catch((error: unknown) => {
        if (!(error instanceof Refusal)) log.unexpected(error, 'deciding on the tray')
      })
      board = null
      looks = new Map()
    },
  }
}

/** It may be filed unseen. */
export const isReady = (one: Pick<Proposal, 'state' | 'layout' | 'panelId' | 'doubts'>): boolean =>
  one.state === 'made' && one.panelId !== null && (one.layout?.areas.length ?? 0) > 0 && !isHeldBack(one)

/** Calls at once, and then not again before the time is over; the last is not lost. */
function throttled(call: () => void, everyMs: number): () => void {
  let last = Number.NEGATIVE_INFINITY
  let timer: NodeJS.Timeout | undefined
  const now = () => {
    timer = undefined
    last = performance.now()
    call()
  }
  return () => {
    if (timer) return
    const wait = last + everyMs - performance.now()
    if (wait <= 0) return now()
    timer = setTimeout(now, wait)
    timer.unref()
  }
}
