import { parentPort, workerData } from 'node:worker_threads'
import { performHeif } from './perform.ts'
import type { HeifTask } from './task.ts'

/** One file, one task, one answer: the memory that decoding took goes with the worker. */
const port = parentPort
if (!port) throw new Error('The HEIF decoder runs as a worker.')
const answer = performHeif(workerData as HeifTask)
const moved = answer.ok && answer.what === 'decode' ? [answer.pixels.data.buffer as ArrayBuffer] : []
port.postMessage(answer, moved)
