import { parentPort, workerData } from 'node:worker_threads'
import { openDoor } from './door.ts'
import type { FromThread, PhoneStart, ToThread } from './messages.ts'

/** The door for phones in a thread of its own: however much is asked of it, the service goes on. */
const port = parentPort
if (!port) throw new Error('The door for phones runs as a worker.')
const tell = (told: FromThread) => port.postMessage(told)
const door = openDoor(workerData as PhoneStart, tell)
port.on('message', (ask: ToThread) => void door.then((open) => open?.hear(ask)))
