import { cpSync, rmSync } from 'node:fs'
import { ended, openIn, settled } from '../kit/shop-service.ts'
import { act, type Life } from './life.ts'

/** What the service is doing when it is killed. Each goes on until it is. */
export type Moment = {
  name: string
  /** The kill comes at a moment between its beginning and so many milliseconds later. */
  withinMs: number
  /** Done before the time runs. */
  prepare?: (life: Life) => Promise<void>
  work: (life: Life) => Promise<void>
}

const edits: Moment = {
  name: 'edits, undo and redo',
  withinMs: 250,
  work: async (life) => {
    for (;;) await act(life)
  },
}

const intake: Moment = {
  name: 'intake, with edits',
  withinMs: 900,
  work: async (life) => {
    const files = life.photos(40)
    life.intake = { files, promised: false, undoing: false }
    // what is undone now and then would be the intake
    life.shop.forgetHistory()
    await life.service.call('photos.takeIn', { files: files.map(({ path, name }) => ({ path, name })) })
    life.intake.promised = true
    for (;;) {
      const next = life.shop.edit()
      life.pending = next
      await life.shop.perform(next, life.service.call)
      life.pending = null
      await new Promise((resolve) => setTimeout(resolve, 5))
    }
  },
}

const intakeUndone: Moment = {
  name: 'undo and redo of an intake',
  withinMs: 300,
  prepare: async (life) => {
    const files = life.photos(60)
    await life.service.call('photos.takeIn', { files: files.map(({ path, name }) => ({ path, name })) })
    await settled(life.service)
    life.shop.forgetHistory()
    life.intake = { files, promised: true, undoing: true }
  },
  work: async ({ service }) => {
    for (;;) {
      await service.call('history.undo', {})
      await service.call('history.redo', {})
    }
  },
}

const bulk: Moment = {
  name: 'bulk edit',
  withinMs: 200,
  work: async (life) => {
    for (;;) {
      const next = life.random.chance(0.5) || life.shop.past.length === 0 ? life.shop.tagMany() : life.shop.undo()
      life.pending = next
      await life.shop.perform(next, life.service.call)
      life.pending = null
    }
  },
}

const backup: Moment = {
  name: 'backup, with edits',
  withinMs: 500,
  work: async (life) => {
    for (;;) {
      const { jobId } = (await life.service.call('backups.make', {})) as { jobId: string }
      await act(life)
      await ended(life.service, jobId)
    }
  },
}

const closing: Moment = {
  name: 'closing and opening',
  withinMs: 500,
  work: async (life) => {
    for (;;) {
      await act(life)
      await life.service.call('rack.close', {})
      await openIn(life.service, life.place)
    }
  },
}

const restoring: Moment = {
  name: 'restore',
  withinMs: 900,
  prepare: async (life) => {
    const { jobId } = (await life.service.call('backups.make', {})) as { jobId: string }
    const job = await ended(life.service, jobId)
    if (job.state !== 'done') throw new Error(`backups.make: ${job.error?.message}`)
    const { backups } = (await life.service.call('backups.list', { folder: life.place.rack, thorough: true })) as {
      backups: { file: string }[]
    }
    const file = backups[0]?.file
    if (file === undefined) throw new Error('A backup was made and is not listed.')
    life.backup = { file, panels: life.shop.panels, tray: new Set(life.tray) }
    for (let i = 0; i < 5; i++) await act(life)
  },
  work: async (life) => {
    life.restoring = true
    const asked = { folder: life.place.rack, file: life.backup?.file }
    for (;;) {
      const { jobId } = (await life.service.call('backups.restore', asked)) as { jobId: string }
      await ended(life.service, jobId)
    }
  },
}

export const moments: readonly Moment[] = [edits, intake, bulk, intakeUndone, closing, backup, restoring]

/** A rack of an earlier version is copied into place and opened. */
export const migrating = (racks: readonly string[]): Moment => ({
  name: 'migration',
  withinMs: 700,
  prepare: async (life) => {
    rmSync(life.place.rack, { recursive: true, force: true })
    cpSync(life.random.pick(racks), life.place.rack, { recursive: true })
  },
  work: async (life) => {
    await openIn(life.service, life.place)
    for (;;) await life.service.call('panels.listWords', {})
  },
})
