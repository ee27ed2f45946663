import { createHash } from 'node:crypto'
import { readdirSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'
import { readPhoto } from '../../electron/photos/read.ts'
import { createRack, type Rack } from '../../electron/rack/opening/open.ts'
import { listCups } from '../../electron/rack/queries/bench/cups.ts'
import { listCustomerJobs } from '../../electron/rack/queries/bench/customer-jobs.ts'
import { listPanels } from '../../electron/rack/queries/panel-list.ts'
import { readPanels } from '../../electron/rack/queries/panel-read.ts'
import { listTray } from '../../electron/rack/queries/photos.ts'
import { describeRack } from '../../electron/rack/queries/rack-info.ts'
import { listReferences } from '../../electron/rack/queries/references.ts'
import { judgeChecks } from '../../electron/service/customer-jobs/judge-checks.ts'
import { makeDemonstration } from '../../electron/service/demonstration/make.ts'
import type { DyeName, GroundName } from '../../electron/service/demonstration/palette.ts'
import { renderPhoto } from '../../electron/service/demonstration/picture/render-photo.ts'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { panelIdeas } from '../../electron/service/demonstration/workshop/panels.ts'
import { shotsOf } from '../../electron/service/demonstration/workshop/shots.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { srgb } from '../../shared-core/colour/spaces.ts'
import { sharesOf } from '../../shared-core/mix/quantities.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { renderTestPhoto } from '../e2e/scene.ts'

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'overground-test-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const sprayed = new Date('2025-06-01T00:00:00Z')
const shotOf = (title: string, seed: string) => {
  const idea = panelIdeas.find((each) => each.title === title)
  const shot = idea && shotsOf(idea, 'P-0001', sprayed, randomFrom(seed))[0]
  if (!shot) throw new Error(`There is no panel ${title}`)
  return shot
}
async function hashOf(title: string, seed: string): Promise<string> {
  const { plan, takenAt } = shotOf(title, seed)
  const exif = { camera: 'x', takenAt, exposureS: 1 / 60, fNumber: 1.8, iso: 100 }
  const { pixels, width, height } = renderPhoto(plan)
  const picture = { pixels, width, height, space: plan.camera.space, quality: 90, onItsSide: false, exif }
  return createHash('sha256')
    .update(await encodeJpeg(picture))
    .digest('hex')
}

describe('the photo renderer', () => {
  it('draws the same photo for the same seed, and another for another', async () => {
    for (const title of ['Old Ember', 'Fenwater, stardrift'])
      expect(await hashOf(title, 'seed 1')).toBe(await hashOf(title, 'seed 1'))
    expect(await hashOf('Old Ember', 'seed 1')).not.toBe(await hashOf('Old Ember', 'seed 2'))
  })

  it.each([
    ['sRGB', false],
    ['Display P3', true],
  ] as const)('writes %s with its profile, time and camera, also on its side', async (space, onItsSide) => {
    const file = join(folder, `tagged-${onItsSide}.jpg`)
    await renderTestPhoto(file, { space, onItsSide })
    const facts = await inspectPhoto(file)
    expect(facts).toMatchObject({ width: 1200, height: 900, format: 'jpeg', profileAssumed: false })
    expect(facts.profile).toContain(space === 'sRGB' ? 'sRGB' : 'P3')
    expect(facts.exposure).toMatchObject({
      takenAt: '2026-05-14T10:20:30',
      camera: 'Test camera',
      iso: 100,
      fNumber: 1.8,
    })
    expect(facts.exposure.exposureS).toBeCloseTo(1 / 60, 5)
  })
})

/**
 * The reading path against the forward model, which knows nothing of cameras. What is left: flake is skewed and read robustly,
 * the clear shows a breath of the room, eight bits and JPEG. Paint that a channel of the file cannot hold is left out:
 * the reading says so itself.
 */
describe('a photo without cast, curve or noise', () => {
  const pairs: [GroundName, DyeName, 'sRGB' | 'Display P3'][] = [
    ['silver', 'Rosehip', 'sRGB'],
    ['silver', 'Halyard', 'Display P3'],
    ['gold', 'Ember', 'sRGB'],
    ['copper', 'Kestrel', 'sRGB'],
    ['charcoal', 'Foxglove', 'sRGB'],
    ['white', 'Quince', 'sRGB'],
    ['white', 'Damson', 'Display P3'],
  ]
  it.each(pairs)(
    'of %s under %s in %s reads as the film model says, to 1.6 dE00 (half of them to 0.8)',
    async (ground, dye, space) => {
      const file = join(folder, `${ground}-${dye}.jpg`)
      const photo = await renderTestPhoto(file, { ground, dye, space, camera: 'even', coats: [0, 1, 2, 4] })
      const card = photo.card && { quad: photo.card, lab: { l: 50, a: 0, b: 0 } }
      const areas = photo.areas.map((quad) => ({ stepId: null, shape: { kind: 'quad' as const, quad } }))
      const { results } = await readPhoto(file, { areas, card }, { tone: 'none' })
      const differences = results.flatMap(({ colour }, i) => {
        const truth = photo.truth[i]
        if (!colour || !truth) return []
        const beyondTheFile = colour.cautions.some(({ code }) => code === 'photo/channel-at-zero')
        return beyondTheFile ? [] : [differenceCiede2000(colour.lab, truth)]
      })
      expect(differences.length).toBeGreaterThanOrEqual(3)
      for (const difference of differences) expect(difference).toBeLessThan(1.6)
      expect(differences.toSorted((a, b) => a - b)[Math.floor(differences.length / 2)]).toBeLessThan(0.8)
    },
  )
})

/**
 * Roughness spreads what a surface mirrors and adds nothing to it (conservation of energy): over a dull panel the lamp's light
 * may not come to more than over a polished one, and no strip of it may be lit up by the lamp's image.
 */
describe('the lamp mirrored in a panel', () => {
  const { plan } = shotOf('Estuary', 'glare')
  const lit = (gloss: number, glare: number) => {
    const camera = { ...plan.camera, cast: [1, 1, 1] as [number, number, number], curve: 0, noise: 0, vignette: 0 }
    const scene = { ...plan, panel: { ...plan.panel, gloss }, lamp: { ...plan.lamp, glare }, camera }
    const { pixels, width, areas } = renderPhoto({ ...scene, tag: null })
    return areas.map(([[left, top], , [right, bottom]]) => {
      let [sum, count] = [0, 0]
      for (let y = Math.round(top); y < bottom; y++)
        for (let x = Math.round(left); x < right; x++, count++)
          sum += srgb.decode(pixels[3 * (y * width + x) + 1]! / 255)
      return sum / count
    })
  }
  const added = (gloss: number) => {
    const without = lit(gloss, 0)
    return lit(gloss, 0.9).map((level, i) => level - without[i]!)
  }
  const total = (levels: readonly number[]) => levels.reduce((sum, level) => sum + level, 0)

  it('puts no more light on dull paint than on polished, and lights up no strip of it', () => {
    const [dull, polished] = [added(0.3), added(1)]
    expect(total(polished)).toBeGreaterThan(0.02)
    expect(total(dull)).toBeGreaterThan(0)
    expect(total(dull)).toBeLessThanOrEqual(total(polished))
    // the card reflects 0.184: a sheen that is a tenth of it moves a dark strip by a few steps of L*, not by its half
    for (const level of dull) expect(level).toBeLessThan(0.0184)
  })
})

describe('the demonstration rack', () => {
  let rack: Rack
  const said: [string, number, number][] = []
  beforeAll(async () => {
    rack = await createRack(join(folder, 'rack'), 'Demonstration')
    await makeDemonstration(rack, { seed: 7, onProgress: (...progress) => said.push(progress) })
  }, 240_000)
  afterAll(() => rack.close())

  it('holds 62 panels over five grounds, two of them for jobs, one planned, one retired, cleared and not', async () => {
    const { panels, total } = await rack.read((db) => listPanels(db, noFilter, 'code'))
    expect(total).toBe(62)
    expect(new Set(panels.map((panel) => panel.ground)).size).toBe(5)
    expect(panels.filter((panel) => panel.status === 'planned')).toHaveLength(1)
    expect(panels.filter((panel) => panel.status === 'retired')).toHaveLength(1)
    expect(panels.filter((panel) => !panel.cleared).length).toBeGreaterThan(3)
    expect(new Set(panels.map((panel) => panel.code)).size).toBe(62)
  })

  it('has a reading for every step that was sprayed, and none for the planned panel', async () => {
    const { panels } = await rack.read((db) => listPanels(db, noFilter, 'code'))
    const bands = panels.flatMap(({ status, bands: own }) => own.map((band) => ({ ...band, status })))
    const planned = bands.filter(({ status }) => status === 'planned')
    expect(planned.map(({ lab }) => lab)).toEqual(planned.map(() => null))
    const unread = bands.filter(({ status, lab, bound90 }) => status !== 'planned' && !(lab && bound90 && bound90 > 0))
    expect(unread).toEqual([])
  })

  it('holds mixtures whose shares add up to the cup', async () => {
    const ids = await rack.db.selectFrom('panel').select('id').execute()
    const panels = await rack.read((db) =>
      readPanels(
        db,
        ids.map(({ id }) => id),
      ),
    )
    let nested = 0
    for (const { mixture } of panels.flatMap((panel) => panel.layers)) {
      if (!mixture) continue
      if (mixture.parts.some((part) => part.mixture)) nested++
      expect(sharesOf(mixture).reduce((sum, { share }) => sum + (share ?? 0), 0)).toBeCloseTo(1, 12)
    }
    expect(nested).toBeGreaterThan(15)
  })

  it('gets darker with every coat, face on, on each panel', async () => {
    const { panels } = await rack.read((db) => listPanels(db, noFilter, 'code'))
    const lighter = panels.flatMap(({ code, bands }) =>
      bands.flatMap((band, i) => {
        const before = bands[i - 1]?.lab
        return before && band.lab && band.lab.l > before.l ? [`${code} at ${band.coats} coats`] : []
      }),
    )
    expect(lighter).toEqual([])
  })

  it('has six references, three photos in the tray, and nothing to undo', async () => {
    const references = await rack.read((db) => listReferences(db))
    expect(references).toHaveLength(6)
    expect(references.filter(({ readings }) => readings[0]?.level === 'typed')).toHaveLength(1)
    // two were photographed again, each beside a check panel
    expect(references.map(({ readings }) => readings.length).toSorted((a, b) => a - b)).toEqual([1, 1, 1, 1, 2, 2])
    expect(await rack.read(listTray)).toHaveLength(3)
    expect(await describeRack(rack.db, rack.folder)).toMatchObject({ undo: null, redo: null })
  })

  it('has three customers’ jobs: one closed with what was sprayed, one with a check panel that is read, one begun', async () => {
    const jobs = await rack.read((db) => listCustomerJobs(db, false))
    expect(jobs.map(({ code, status }) => [code, status])).toEqual([
      ['J-0003', 'open'],
      ['J-0002', 'open'],
      ['J-0001', 'closed'],
    ])
    const [begun, underWay, closed] = jobs
    expect(begun).toMatchObject({ formula: null, checks: [] })
    expect(begun?.candidates.map(({ panelId, stepId }) => [typeof panelId, typeof stepId])).toEqual([
      ['string', 'string'],
      ['string', 'string'],
    ])
    expect(underWay?.parts.map(({ sprayed: done }) => done)).toEqual([null, null, null])
    const cups = await rack.read((db) => listCups(db, { customerJobId: closed!.id, panelId: null }))
    expect(cups.map(({ status }) => status)).toEqual(['mixed'])
    expect(closed?.parts.map(({ sprayed: done }) => done?.cupIds)).toEqual(closed?.parts.map(() => [cups[0]?.id]))
    expect(closed?.decisions.map(({ what }) => what)).toEqual(['accepted', 'note'])
    for (const job of [underWay, closed]) {
      const [judged] = await rack.read((db) => judgeChecks(db, job!))
      expect(judged?.outcome).toMatchObject({ inOnePhoto: true, coats: job?.formula?.coats })
      expect(judged?.outcome.verdict).not.toBe('not-read')
    }
    // two coats where three are wanted
    const [thin] = await rack.read((db) => judgeChecks(db, underWay!))
    expect(thin?.outcome.words).toMatch(/paler|lighter/i)
    expect(thin?.outcome.verdict).not.toBe('within')
  })

  it('has told how far it was, to the end', () => {
    for (const stage of new Set(said.map(([each]) => each))) {
      const steps = said.filter(([each]) => each === stage)
      expect(steps.map(([, done]) => done)).toEqual(steps.map((_, i) => i + 1))
      expect(steps.at(-1)?.[1]).toBe(steps.at(-1)?.[2])
    }
  })

  it('leaves nothing behind when it is stopped half-way', async () => {
    // A temporary folder of its own, so that nothing else comes and goes in it.
    const temporary = await mkdtemp(join(folder, 'temporary-'))
    for (const name of ['TMPDIR', 'TEMP', 'TMP']) vi.stubEnv(name, temporary)
    const stop = new AbortController()
    const other = await createRack(join(folder, 'stopped'), 'Stopped')
    let whileDrawing: string[] = []
    const onProgress = (stage: string) => {
      if (!stage.startsWith('Photo')) return
      whileDrawing = readdirSync(temporary)
      stop.abort(new Error('enough'))
    }
    await expect(makeDemonstration(other, { onProgress, signal: stop.signal })).rejects.toThrow('enough')
    await other.close()
    vi.unstubAllEnvs()
    expect(whileDrawing).toHaveLength(1)
    expect(readdirSync(temporary)).toEqual([])
  })
})
