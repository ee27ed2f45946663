import { openRack, type Rack } from '../../../electron/rack/opening/open.ts'

/** One of many that want the same rack at the same moment: told to begin, says what came of it, and lets go when told. */
export type Told = { open: string } | { close: true }
export type Said = { result: 'opened' } | { result: 'refused'; code: string; message: string } | { result: 'closed' }

let rack: Rack | null = null
const say = (said: Said) => process.send?.(said)

process.on('message', (told: Told) => {
  if ('close' in told) {
    void Promise.resolve(rack?.close()).then(() => {
      rack = null
      say({ result: 'closed' })
    })
    return
  }
  openRack(told.open).then(
    (opened) => {
      rack = opened
      say({ result: 'opened' })
    },
    (error: { code?: string; message: string }) =>
      say({ result: 'refused', code: error.code ?? 'no code', message: error.message }),
  )
})
process.on('disconnect', () => process.exit(0))
process.send?.({ result: 'closed' } satisfies Said)
