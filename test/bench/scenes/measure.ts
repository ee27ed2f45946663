import { noExposure } from '../../../electron/photos/exposure.ts'
import { type LayoutReading, readLayout } from '../../../shared-core/capture/read-layout.ts'
import { calibrateSetup } from '../../../shared-core/capture/setup.ts'
import { type Survey, surveyOf } from '../../../shared-core/capture/surroundings.ts'
import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import type { AreaResult } from '../../../shared-core/contract/photo-calls.ts'
import { differenceBound } from '../../../shared-core/match/compare.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { SetupFit } from '../../../shared-core/records/setup.ts'
import { casesOf, type SceneCase } from './cases.ts'
import { type Group, plannedSet } from './groups.ts'
import type { Facts } from './wish.ts'

export type Reading = { truth: Lab; lab: Lab | null; bound90: number | null; level: string | null; de00: number }

/** The difference of two panels of one photo. */
export type Difference = {
  /** True dE00 of the two. */
  apart: number
  /** |dE00 as read − true dE00|. */
  ofSize: number
  /** dE00 between the second panel and where it would be put from the first panel's true colour by the difference as read. */
  ofPlace: number
  /** 90 % bound that the difference is given. */
  bound90: number
}

/** One photo as it was read. */
export type Measured = {
  group: Group
  set: number
  photo: number
  facts: Facts
  readings: Reading[]
  difference: Difference | null
  /** Codes without their area: asked of the user, or the reason of a refusal. */
  warnings: string[]
  notes: string[]
  /** Only the photo with the chart of a set-up: it calibrates and is not counted. */
  calibrates: boolean
}

/** Cautions that tell something and ask for nothing to be done before the reading is used. */
const noteCodes = new Set(['channel-at-zero', 'no-card', 'untagged'])
/** What a missing answer counts as. */
export const missing = 20

/** Renders and reads one set of photos; where the first shows the chart of a set-up it calibrates the others. */
export async function measureSet(group: Group, set: number, seed: string): Promise<Measured[]> {
  const measured: Measured[] = []
  let setup: SetupFit | null = null
  for await (const one of casesOf(plannedSet(group, set, seed))) {
    const survey = surveyOf(one.pixels, one.profile)
    const calibrates = one.setup !== undefined && measured.length === 0
    if (calibrates) setup = calibrateSetup(one.pixels, one.profile, one.layout, { survey, exposure: noExposure }).fit
    measured.push({
      group,
      set,
      photo: measured.length,
      calibrates,
      ...measure(one, survey, calibrates ? null : setup),
    })
  }
  return measured
}

type Read = Omit<Measured, 'group' | 'set' | 'photo' | 'calibrates'>

function measure(one: SceneCase, survey: Survey, setup: SetupFit | null): Read {
  const tone = one.facts.tone === 'exact' ? 'none' : 'unknown'
  const reading = readLayout(one.pixels, one.profile, one.layout, { tone, survey, setup })
  return { facts: one.facts, ...toldBy(reading, one.truth) }
}

/** What a reading says of paints whose colours are known. */
export function toldBy({ results, photo }: LayoutReading, truths: readonly Lab[]): Omit<Read, 'facts'> {
  const cautions = [
    ...photo,
    ...results.flatMap(({ colour, refused }) => [...(colour?.cautions ?? []), ...(refused ? [refused] : [])]),
  ]
  const isNote = ({ code, weight }: Caution) => weight === 'note' || (weight === undefined && noteCodes.has(bare(code)))
  const codes = (some: Caution[]) => [...new Set(some.map(({ code }) => bare(code)))]
  const readings = results.map(({ colour }, i): Reading => {
    const truth = truths[i]!
    if (!colour) return { truth, lab: null, bound90: null, level: null, de00: missing }
    const de00 = differenceCiede2000(colour.lab, truth)
    return { truth, lab: { ...colour.lab }, bound90: colour.bound90, level: colour.level, de00 }
  })
  return {
    readings,
    difference: differenceOf(readings, results),
    warnings: codes(cautions.filter((caution) => !isNote(caution))),
    notes: codes(cautions.filter(isNote)),
  }
}

const bare = (code: string): string => code.slice(code.indexOf('/') + 1)

function differenceOf([first, second]: Reading[], results: AreaResult[]): Difference | null {
  const colours = results.flatMap(({ colour }) => (colour ? [{ ...colour, photoId: 'this', setupId: null }] : []))
  if (!first?.lab || !second?.lab || !colours[0] || !colours[1]) return null
  const apart = differenceCiede2000(first.truth, second.truth)
  const read = differenceCiede2000(first.lab, second.lab)
  const put: Lab = {
    l: first.truth.l + second.lab.l - first.lab.l,
    a: first.truth.a + second.lab.a - first.lab.a,
    b: first.truth.b + second.lab.b - first.lab.b,
  }
  return {
    apart,
    ofSize: Math.abs(read - apart),
    ofPlace: differenceCiede2000(put, second.truth),
    bound90: differenceBound(colours[0], colours[1], read),
  }
}
