/**
 * Hostile inputs through a real service, a few hundred of each kind; `npm run faults` plays many thousands. An input is found
 * again by its number: `node test/faults/fuzz/run-fuzz.ts --target NAME --seed SEED --only NUMBER`.
 */
import { afterAll, expect, it } from 'vitest'
import { fuzzInWords, fuzzTargets, runFuzz } from './run-fuzz.ts'
import { keepRunning } from './running.ts'

/** The long form allows 5 s; here the machine may be anybody's, and only what never comes to an end is a fault. */
const limitMs = 20_000
const counts: Readonly<Record<string, number>> = { pictures: 120, profiles: 60, exif: 60, archives: 24 }

/** One service for all of them, as a painter has one. */
const running = keepRunning(limitMs)
afterAll(() => running.end())

/** A bad profile or EXIF alone is no reason to refuse a photo. */
const unrefused = new Set(['profiles', 'exif'])

it.each(fuzzTargets.map((target) => [target.name, target] as const))(
  '%s',
  { timeout: 240_000 },
  async (name, target) => {
    const seed = Number(process.env['OVERGROUND_SEED'] ?? 20_261_126) || Date.now() % 2 ** 31
    const figures = await runFuzz({ target, count: counts[name] ?? 200, seed, limitMs, running })
    // with its figures in words, should it fail
    expect({ harms: figures.harms, told: fuzzInWords(figures) }).toEqual({ harms: [], told: fuzzInWords(figures) })
    expect(figures.taken + figures.refused).toBe(figures.count)
    expect(figures.taken).toBeGreaterThan(figures.count / 50)
    expect(figures.refused).toBeGreaterThanOrEqual(unrefused.has(name) ? 0 : figures.count / 50)
    expect(figures.memory?.mostMb ?? 0).toBeLessThan(target.mostMb)
  },
)
