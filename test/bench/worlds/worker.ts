import { parentPort } from 'node:worker_threads'
import type { GroupName } from './groups.ts'
import { groups } from './groups.ts'
import { type Measured, measureRack } from './measure.ts'
import { type Met, measureSuggestions } from './suggest.ts'

/** What a worker can be asked: how well a rack predicts, and how well it meets colours. */
export type Job = { group: GroupName; seed: string }
export type Answers = { predict: Measured; suggest: Met[] }
export type Ask = { [K in keyof Answers]: { what: K; job: Job } }[keyof Answers]

const port = parentPort
if (!port) throw new Error('Worlds are measured in a worker.')
port.on('message', ({ what, job: { group, seed } }: Ask) => {
  port.postMessage(what === 'predict' ? measureRack(group, seed) : measureSuggestions(groups[group].rack(seed), seed))
})
