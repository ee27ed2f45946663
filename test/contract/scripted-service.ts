/**
 * A service for tests of its hosts: it speaks the same messages, keeps no rack and does what the call's name says. What
 * it was asked is kept in a file, so that it can be looked at after it ended. Run as a child, its script in its environment.
 */
import { appendFileSync } from 'node:fs'
import type { Ask, FromService } from '../../shared-core/contract/calls.ts'

const diary = process.env.SCRIPT_DIARY ?? ''
const script = new Set((process.env.SCRIPT ?? '').split(' '))
const send = (message: FromService) => void process.send?.(message)
const answer = (id: number, value: unknown) => send({ answer: { id, ok: true, value } })
const note = (line: string) => appendFileSync(diary, `${line}\n`)

note(`start ${process.pid}`)
if (script.has('ends-at-once')) process.exit(3)

let folder: string | undefined
process.on('message', (ask: Ask) => {
  const { id, name, input } = ask
  if (name !== 'service.ping') note(`${name} ${JSON.stringify(input)}`)
  switch (name) {
    case 'rack.open':
      if (script.has('ends-when-opening')) process.exit(4)
      folder = (input as { folder: string }).folder
      send({ event: { name: 'rack.opened', data: {} } })
      return answer(id, { folder })
    case 'rack.makeDemonstration':
      folder = (input as { folder: string }).folder
      answer(id, { jobId: 'j' })
      return send({ event: { name: 'rack.opened', data: {} } })
    case 'rack.describe':
      return answer(id, { rack: folder === undefined ? null : { folder } })
    case 'rack.close':
      folder = undefined
      return answer(id, {})
    case 'photos.takeIn':
      return undefined // never answers
    case 'panels.save':
      if (!script.has('hangs')) return answer(id, input)
      for (;;); // works for ever, and hears nothing
    case 'check.start':
      // holds the process as reading a whole database does
      for (const until = Date.now() + 1200; Date.now() < until; );
      return answer(id, { jobId: 'j' })
    case 'service.ping':
      return answer(id, { inspected: script.has('is-debugged') })
    case 'service.describe':
      return answer(id, { pid: process.pid, nodeOptions: process.env.NODE_OPTIONS ?? null })
    case 'settings.get':
      // the longer one is asked to wait, the later the answer
      setTimeout(() => answer(id, input), (input as { wait: number }).wait)
      return undefined
    default:
      return answer(id, input)
  }
})
process.on('disconnect', () => {
  if (script.has('never-leaves')) return
  setTimeout(() => {
    note('left')
    process.exit(0)
  }, 100)
})
if (script.has('never-leaves')) setInterval(() => undefined, 1000)
