/** Light that falls off over a photo, told by what lies around the panel or by a blank sheet. */
import { rmSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { blankSheet } from '../../electron/photos/blank-sheet.ts'
import { plainCamera } from '../../shared-core/capture/camera/model.ts'
import { type BlankSheet, evenLight, lightOver } from '../../shared-core/capture/light-map.ts'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { words } from '../../shared-core/capture/words.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import { freshFolder } from '../rack/fresh.ts'
import { type LabTriple, rect } from './capture-scene.ts'
import { boards, even, inner, linearCamera, pictureOf, type Thing } from './other-camera.ts'

const card: Thing = { quad: rect(20, 150, 100, 270), lab: [50, 0, 0] }
const panels: Thing[] = [
  { quad: rect(480, 60, 580, 170), lab: [46, 26, 18] },
  { quad: rect(480, 230, 580, 360), lab: [62, -14, -22] },
]
const layout: Layout = {
  areas: panels.map(({ quad }) => ({ stepId: null, shape: { kind: 'quad', quad: inner(quad) } })),
  card: { quad: inner(card.quad), lab: { l: 50, a: 0, b: 0 } },
}
/** A lamp at the left: its light falls to 0.55 of itself, and a little from top to bottom. */
const falling = (x: number, y: number): LabTriple => {
  const v = 0.8 * Math.exp(-0.6 * x - 0.08 * y)
  return [v, v, v]
}
const take = (background: (x: number, y: number) => LabTriple, lit = falling, things = [card, ...panels]) =>
  pictureOf({ things, camera: linearCamera, background, lit })
const sheet: BlankSheet = {
  pixels: pictureOf({
    things: [],
    camera: linearCamera,
    background: even([80, 0, 0]),
    lit: falling,
    width: 320,
    height: 224,
  }),
  profile: srgbProfile,
}

function read(background: (x: number, y: number) => LabTriple, flat: BlankSheet | null = null, lit = falling) {
  // linear light in the file, and it is said to be so: what is left is the light's own
  const { results, photo } = readLayout(take(background, lit), srgbProfile, layout, { tone: 'none', flat })
  const errors = results.map(({ colour }, i) =>
    new Color('lab', [colour!.lab.l, colour!.lab.a, colour!.lab.b]).deltaE(new Color('lab', panels[i]!.lab), '2000'),
  )
  return { worst: Math.max(...errors), least: Math.min(...errors), codes: photo.map(({ code }) => code) }
}

function mapOver(background: (x: number, y: number) => LabTriple, flat: BlankSheet | null = null) {
  const pixels = take(background)
  const cautions: Caution[] = []
  const outlines = [card, ...panels].map(({ quad }) => quad)
  const map = lightOver(pixels, plainCamera, { survey: surveyOf(pixels, srgbProfile), flat, outlines }, cautions)
  return { map, cautions }
}

const grey = even([70, 1, 3])

describe('light that falls off steeply', () => {
  it('over an even bench top is taken out; over boards it is not, and no map is made', () => {
    expect(read(grey).worst).toBeLessThan(1)
    expect(read(boards).least).toBeGreaterThan(4)
    expect(mapOver(boards)).toEqual({ map: null, cautions: [] })
  })

  it('is taken out by a photo of a blank sheet, whatever lies around', () => {
    expect(read(boards, sheet).worst).toBeLessThan(1)
    expect(read(grey, sheet).worst).toBeLessThan(1)
  })

  it('is told as it was laid over the photo, and a place’s light becomes what it is in the middle', () => {
    for (const [background, flat, from] of [
      [grey, null, 'surroundings'],
      [boards, sheet, 'blank-sheet'],
    ] as const) {
      const { map, cautions } = mapOver(background, flat)
      expect(cautions).toEqual([])
      expect(map?.from).toBe(from)
      const [middle] = falling(0.5, 0.5)
      for (const [x, y] of [
        [0.1, 0.2],
        [0.5, 0.5],
        [0.9, 0.3],
        [0.8, 0.9],
      ] as const) {
        const seen = falling(x, y)
        for (const v of evenLight(seen, [600 * x, 420 * y], map!)) expect(v / middle).toBeCloseTo(1, 1)
      }
      const [v] = evenLight(falling(0.9, 0.3), [540, 126], map!)
      expect(Math.abs(v / middle - 1)).toBeLessThan(0.02)
    }
  })

  it('does no harm where there is none', () => {
    const flatLight = (): LabTriple => [0.6, 0.6, 0.6]
    expect(read(grey, null, flatLight).worst).toBeLessThan(0.5)
    expect(read(boards, null, flatLight).worst).toBeLessThan(0.5)
  })

  it('is not taken from a sheet that is none, or was held another way; that is told', () => {
    const patterned = { ...sheet, pixels: pictureOf({ things: [], camera: linearCamera, background: boards }) }
    const upright = {
      ...sheet,
      pixels: pictureOf({ things: [], camera: linearCamera, background: grey, width: 224, height: 320 }),
    }
    expect(mapOver(boards, patterned)).toEqual({ map: null, cautions: [words.flatStructured] })
    expect(mapOver(boards, upright)).toEqual({ map: null, cautions: [words.flatOtherWay] })
    expect(read(boards, patterned).codes).toContain('photo/flat-structured')
    // even surroundings still tell
    expect(mapOver(grey, upright).map?.from).toBe('surroundings')
  })
})

describe('the file of a blank sheet', () => {
  const pictureFile = (number: number, width = 1400, height = 980) =>
    sharp({ create: { width, height, channels: 3, background: { r: number, g: number, b: number } } })
      .png()
      .toBuffer()
  /** Always of the same time, so that with the same size only what is kept can tell. */
  function save(path: string, bytes: Buffer) {
    writeFileSync(path, bytes)
    utimesSync(path, 1_700_000_000, 1_700_000_000)
  }
  const spoil = (path: string, { length }: Buffer) => save(path, Buffer.alloc(length, 7))

  it('is made small: 512 pixels at most, numbers as they were', async () => {
    const path = join(freshFolder(), 'sheet.png')
    save(path, await pictureFile(201))
    const { pixels, profile } = await blankSheet(path)
    expect([pixels.width, pixels.height, pixels.bits]).toEqual([466, 326, 8])
    expect(pixels.data.every((v) => v === 201)).toBe(true)
    expect(profile.name).toBe('sRGB')
  })

  it('is the mean of its pixels, block by block', async () => {
    const path = join(freshFolder(), 'stripes.png')
    const [width, height] = [1024, 600]
    const data = Buffer.alloc(width * height * 3)
    for (let i = 0; i < width * height; i++) data.fill(i % 2 ? 220 : 180, 3 * i, 3 * i + 3)
    await sharp(data, { raw: { width, height, channels: 3 } })
      .png()
      .toFile(path)
    const { pixels } = await blankSheet(path)
    expect([pixels.width, pixels.height]).toEqual([512, 300])
    expect(pixels.data.every((v) => v === 200)).toBe(true)
  })

  it('is decoded once and kept until another is asked for', async () => {
    const folder = freshFolder()
    const [one, other] = [join(folder, 'one.png'), join(folder, 'other.png')]
    const bytes = await pictureFile(200)
    save(one, bytes)
    save(other, await pictureFile(190))
    const first = await blankSheet(one)
    spoil(one, bytes)
    expect(await blankSheet(one)).toBe(first)
    expect((await blankSheet(other)).pixels.data[0]).toBe(190)
    await expect(blankSheet(one)).rejects.toBeInstanceOf(Refusal)
  })

  it('that cannot be read is refused, and tried again the next time', async () => {
    const path = join(freshFolder(), 'sheet.png')
    const bytes = await pictureFile(200)
    spoil(path, bytes)
    await expect(blankSheet(path)).rejects.toBeInstanceOf(Refusal)
    save(path, bytes)
    expect((await blankSheet(path)).pixels.data[0]).toBe(200)
    rmSync(path)
    await expect(blankSheet(path)).rejects.toBeInstanceOf(Refusal)
  })

  it('written anew is decoded anew', async () => {
    const path = join(freshFolder(), 'sheet.png')
    save(path, await pictureFile(200))
    await blankSheet(path)
    writeFileSync(path, await pictureFile(180))
    expect((await blankSheet(path)).pixels.data[0]).toBe(180)
  })
})
