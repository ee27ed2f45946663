import { createHash } from 'node:crypto'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { FilmLibrary } from '../../../shared-core/film/recipe.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type FilmRack, readFilmRack } from '../../rack/queries/film-observations.ts'
import { noRackOpen } from '../current-rack.ts'
import { type FilmWorker, startFilmWorker, WorkerLost } from './worker/ask-worker.ts'
import type { FilmAsk, FilmTaskName, FilmTasks } from './worker/tasks.ts'

/** Asks about the rack as it is now, each answered with the fit that belongs to it. */
export type Asking = {
  readonly rack: FilmRack
  readonly ask: <N extends FilmTaskName>(ask: FilmAsk<N>) => Promise<FilmTasks[N]['answer']>
}

/** The film model of the open rack. */
export type Film = {
  /** Works in turn: a call waits for the fit, and for the calls before it. @throws Refusal `rack/none-open`, `service/stopped` */
  use<T>(rack: Rack, work: (asking: Asking) => Promise<T>): Promise<T>
  /** Ends with the rack; waiting calls are refused. */
  forget(): Promise<void>
  /** How often it was fitted since the rack was opened. */
  fitCount(): number
}

/** `print` tells libraries apart; `fitted` is that of the worker's fit. */
type Held = { rack: Rack; film: FilmRack; print: string; worker: FilmWorker | null; fitted: string | null }

export function makeFilm(start: () => FilmWorker = startFilmWorker): Film {
  let held: Held | null = null
  let fits = 0
  /** Rises when a rack is closed: what was asked before is not answered with another. */
  let era = 0
  let turn: Promise<unknown> = Promise.resolve()

  const drop = async () => {
    const worker = held?.worker
    held = null
    fits = 0
    await worker?.end()
  }

  /** Brings what is held to the rack's revision; a change that alters no observation alters no fit. */
  const refresh = async (rack: Rack, mine: number): Promise<Held> => {
    if (era !== mine) throw noRackOpen()
    if (held && held.rack !== rack) await drop()
    const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
    if (held?.film.revision === revision) return held
    const film = await rack.read(readFilmRack)
    if (era !== mine) throw noRackOpen()
    held = { worker: null, fitted: null, ...held, rack, film, print: printOf(film.library) }
    return held
  }

  const ready = async (now: Held): Promise<FilmWorker> => {
    if (held !== now) throw noRackOpen()
    now.worker ??= start()
    const { worker } = now
    if (now.fitted !== now.print) {
      await worker.ask({ what: 'fit', library: now.film.library })
      fits++
      now.fitted = now.print
    }
    return worker
  }

  /** @throws Refusal `rack/none-open` when the rack was closed meanwhile */
  const lose = async (now: Held) => {
    const { worker } = now
    now.worker = null
    now.fitted = null
    await worker?.end()
    if (held !== now) throw noRackOpen()
  }

  /** A worker that was lost is started again once for each call. */
  const once = async <T>(now: Held, work: (worker: FilmWorker) => Promise<T>): Promise<T> => {
    try {
      return await work(await ready(now))
    } catch (error) {
      if (!(error instanceof WorkerLost)) throw error
      await lose(now)
    }
    try {
      return await work(await ready(now))
    } catch (error) {
      if (!(error instanceof WorkerLost)) throw error
      await lose(now)
      throw stoppedTwice()
    }
  }

  return {
    use: (rack, work) => {
      const mine = era
      const answer = turn.then(async () => {
        const now = await refresh(rack, mine)
        return work({ rack: now.film, ask: (ask) => once(now, (worker) => worker.ask(ask)) })
      })
      turn = answer.catch(() => undefined)
      return answer
    },
    forget: async () => {
      era++
      await drop()
      // whoever still reads the rack has done so before it is closed
      await turn
    },
    fitCount: () => fits,
  }
}

/** Equal libraries have equal prints; the order of panels says nothing. */
function printOf({ observations, groundKinds, scatterPerCoat }: FilmLibrary): string {
  const inOrder = observations.toSorted((a, b) => (a.id < b.id ? -1 : 1))
  return createHash('sha256')
    .update(JSON.stringify([inOrder, [...groundKinds], scatterPerCoat]))
    .digest('hex')
}

const stoppedTwice = () =>
  new Refusal(
    'service/stopped',
    'The film model stopped while it was working this out, and again when it was started anew.',
    'Ask once more. If it keeps stopping, restart Overground; panels and readings are not touched by it.',
  )
