import { parentPort } from 'node:worker_threads'
import { readSymbols } from '../symbols/read-symbols.ts'
import type { SymbolsTask } from './task.ts'

/** Reads symbols beside whoever looks for panels in the same photo: the two take about as long. */
const port = parentPort
if (!port) throw new Error('Reading symbols of a photo that is looked at runs as a worker.')
port.on('message', ({ grey, hints }: SymbolsTask) => {
  void readSymbols(grey, hints).then((symbols) => port.postMessage(symbols))
})
