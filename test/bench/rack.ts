import { cpSync, existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { startHost } from '../e2e/hosts.ts'
import { makeBigRack } from './big-rack/make.ts'
import { median } from './rack/median.ts'
import { openToFullGrid } from './rack/opening.ts'
import { type Scrolled, scrollThrough } from './rack/scrolling.ts'

const built = fileURLToPath(new URL('../../out/main/loopback.js', import.meta.url))
const [small, large] = [1000, 10_000]
const rounds = 5

/**
 * A rack of 10,000 panels beside one of 1,000: how long it takes to open until the first grid is full, and how it scrolls from top
 * to bottom in 20 seconds. Times come with those of an empty page scrolled alike.
 *   npm run bench -- rack [FOLDER-OF-1000 FOLDER-OF-10000]
 * Racks that are given are copied; without any they are made from a seed.
 */
export async function run(given: string[]): Promise<void> {
  if (!existsSync(built)) throw new Error('The application is not built: npm run build')
  const work = mkdtempSync(join(tmpdir(), 'bench-rack-'))
  try {
    const folders = [small, large].map((panels) => join(work, String(panels)))
    for (const [i, folder] of folders.entries()) {
      const source = given[i]
      if (source) cpSync(source, folder, { recursive: true, preserveTimestamps: true })
      else await makeBigRack(folder, [small, large][i]!, 1)
    }
    await opening(folders[0]!, folders[1]!)
    await scrolling(folders[1]!)
  } finally {
    rmSync(work, { recursive: true, force: true })
  }
}

const ms = (value: number): string => `${value.toFixed(0)} ms`

async function opening(few: string, many: string): Promise<void> {
  const host = await startHost()
  try {
    // the first opening looks a copied rack through, which is not what is measured
    for (const folder of [few, many]) await openToFullGrid(host, folder)
    const times: [number, number][] = []
    for (let round = 0; round < rounds; round++)
      times.push([await openToFullGrid(host, few), await openToFullGrid(host, many)])
    const ratio = median(times.map(([a, b]) => b / a))
    console.log(
      `to the first full grid: ${large} panels ${ms(median(times.map(([, b]) => b)))}, ` +
        `${small} panels ${ms(median(times.map(([a]) => a)))}, ${ratio.toFixed(2)} times`,
    )
  } finally {
    await host.stop()
  }
}

async function scrolling(folder: string): Promise<void> {
  const host = await startHost()
  try {
    await openToFullGrid(host, folder)
    const runs: Scrolled[] = []
    for (let round = 0; round < rounds; round++) {
      runs.push(await scrollThrough(host, folder))
      const { frame, blank, task, work, cards, empty } = runs[round]!
      console.log(
        `scrolled ${cards} panels: longest frame ${ms(frame)}, longest task ${ms(task)} (work ${ms(work)}), longest blank ${ms(blank)}; ` +
          `an empty page ${ms(empty)}`,
      )
    }
    const of = (pick: (one: Scrolled) => number) => ms(median(runs.map(pick)))
    console.log(
      `median of ${rounds}: longest frame ${of((one) => one.frame)}, longest blank ${of((one) => one.blank)}, ` +
        `longest frame of an empty page ${of((one) => one.empty)}`,
    )
  } finally {
    await host.stop()
  }
}
