/**
 * The profile reader against Little CMS, which sharp carries: a profile is written into a picture, sharp converts
 * its pixels to Display P3, our reader takes the same pixels to Lab. Real profiles: those built into sharp and those of
 * the photos in ../shared/photos, where present. Formulas of the curve types: ICC.1:2010 clause 10.15, table 65.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { crc32, deflateSync } from 'node:zlib'
import * as fc from 'fast-check'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { parseIcc } from '../../shared-core/colour/icc.ts'
import { type Rgb, xyzToLab } from '../../shared-core/colour/lab.ts'
import { adobeRgbProfile, decodeTable, type RgbProfile, srgbProfile } from '../../shared-core/colour/profile.ts'
import { rgbToXyz } from '../../shared-core/colour/spaces.ts'
import {
  curveTag,
  descriptionTag,
  localisedTag,
  matrixProfile,
  parametricTag,
  profileBytes,
  srgbColorants,
  type TagBytes,
  xyzTag,
} from './icc-bytes.ts'

function parsed(bytes: Uint8Array): RgbProfile {
  const result = parseIcc(bytes)
  if (!result.ok) throw new Error(`refused: ${result.why}`)
  return result.profile
}

const why = (bytes: Uint8Array): string => {
  const result = parseIcc(bytes)
  return result.ok ? `read as ${result.profile.name}` : result.why
}

async function builtIn(name: 'srgb' | 'p3' | 'cmyk'): Promise<Buffer> {
  const image = sharp({ create: { width: 2, height: 2, channels: 3, background: '#808080' } })
  const { icc } = await sharp(await image.withIccProfile(name).jpeg().toBuffer()).metadata()
  if (icc === undefined) throw new Error(`sharp gave no profile for ${name}`)
  return icc
}

/** 7 × 7 × 7 colours of the cube, two codes in from the walls, where rounding would be clipping. */
const cube: number[] = []
for (let r = 0; r < 7; r++)
  for (let g = 0; g < 7; g++)
    for (let b = 0; b < 7; b++) cube.push(...[r, g, b].map((v) => 15 + Math.round((v / 6) * 225)))
const count = cube.length / 3

function labOf(profile: RgbProfile, codes: ArrayLike<number>, at: number, top: number) {
  const [r, g, b] = profile.decode.map((curve, k) => curve((codes[at * 3 + k] ?? 0) / top)) as [number, number, number]
  const rgb: Rgb = { r, g, b }
  return xyzToLab(rgbToXyz(profile.toXyzD50, rgb))
}

/** A 16-bit PNG of the cube whose numbers belong to `icc`: an `iCCP` chunk behind the header (PNG 1.2, 4.2.2.4). */
async function taggedPng(icc: Buffer): Promise<Buffer> {
  const values = Uint16Array.from(cube, (v) => v * 257)
  const png = await sharp(values, { raw: { width: count, height: 1, channels: 3 } })
    .toColourspace('rgb16')
    .png()
    .toBuffer()
  const body = Buffer.concat([Buffer.from('iCCPtest\0\0'), deflateSync(icc)])
  const frame = Buffer.alloc(8)
  frame.writeUInt32BE(body.length - 4, 0)
  frame.writeUInt32BE(crc32(body), 4)
  const behindHeader = 8 + 25
  return Buffer.concat([
    png.subarray(0, behindHeader),
    frame.subarray(0, 4),
    body,
    frame.subarray(4),
    png.subarray(behindHeader),
  ])
}

/**
 * Largest dE00 between the cube read through the profile by us and by Little CMS: sharp works on 16 bits in its own
 * compact Display P3.
 */
async function worstAgainstLittleCms(icc: Buffer): Promise<number> {
  const png = await taggedPng(icc)
  expect((await sharp(png).metadata()).icc?.equals(icc)).toBe(true)
  const { data, info } = await sharp(png)
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true })
  const theirs = new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2)
  const profile = parsed(icc)
  const working = parsed(await builtIn('p3'))
  let worst = 0
  let compared = 0
  for (let i = 0; i < count; i++) {
    const codes = theirs.subarray(i * info.channels, i * info.channels + 3)
    // sharp clips what Display P3 cannot hold
    if (codes.some((v) => v === 0 || v === 65_535)) continue
    compared++
    worst = Math.max(worst, differenceCiede2000(labOf(profile, cube, i, 255), labOf(working, codes, 0, 65_535)))
  }
  expect(compared).toBeGreaterThan(count / 3)
  return worst
}

const gammaTable = Array.from({ length: 1024 }, (_, i) => Math.round(65_535 * (i / 1023) ** 2))
const srgbParameters = [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045]

/** A curve of one function type at one place. */
const at = (type: number, values: number[], v: number) =>
  parsed(matrixProfile(parametricTag(type, values))).decode[0](v)

// every curve here begins at 0: Little CMS would otherwise compensate the black point
describe('curves', () => {
  it.each([
    ['no entries: identity', curveTag([]), 4],
    ['gamma in u8Fixed8', curveTag([Math.round(1.8 * 256)]), 2],
    ['table of 1024', curveTag(gammaTable), 2],
    ['table of 1024', curveTag(gammaTable), 4],
    ['function 0', parametricTag(0, [2.2]), 4],
    ['function 1', parametricTag(1, [2, 1.05, -0.05]), 4],
    ['function 2', parametricTag(2, [2, 0.82, 0.2, -0.04]), 4],
    ['function 3', parametricTag(3, srgbParameters), 4],
    ['function 4', parametricTag(4, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045, 0, 0]), 4],
    ['function 4 with offsets', parametricTag(4, [2, 0.92, 0.08, 0.25, 0.05, -0.003376, 0]), 4],
  ] as const)('%s agrees with Little CMS', async (_name, curve, version) => {
    const name = version === 2 ? descriptionTag('Shop scanner') : localisedTag([['enUS', 'Shop scanner']])
    expect(await worstAgainstLittleCms(matrixProfile(curve, name, { version }))).toBeLessThan(0.15)
  })

  it('follow table 65 at single places, worked by hand', () => {
    expect(at(0, [2], 0.5)).toBeCloseTo(0.25, 6)
    expect(at(1, [2, 1, -0.25], 0.75)).toBeCloseTo(0.25, 6)
    expect(at(1, [2, 1, -0.25], 0.2)).toBe(0)
    expect(at(2, [2, 1, -0.25, 0.125], 0.75)).toBeCloseTo(0.375, 6)
    expect(at(2, [2, 1, -0.25, 0.125], 0.2)).toBeCloseTo(0.125, 6)
    expect(at(3, [2, 0.5, 0.5, 0.25, 0.25], 0.5)).toBeCloseTo(0.5625, 6)
    expect(at(3, [2, 0.5, 0.5, 0.25, 0.25], 0.125)).toBeCloseTo(0.03125, 6)
    expect(at(4, [2, 0.5, 0.5, 0.25, 0.25, 0.125, 0.0625], 0.5)).toBeCloseTo(0.6875, 6)
    expect(at(4, [2, 0.5, 0.5, 0.25, 0.25, 0.125, 0.0625], 0.125)).toBeCloseTo(0.09375, 6)
  })

  it('interpolate between the entries of a table', () => {
    const curve = parsed(matrixProfile(curveTag([0, 65_535, 0]))).decode[0]
    expect([0, 0.25, 0.5, 0.75, 1].map(curve)).toEqual([0, 0.5, 1, 0.5, 0])
  })

  it('fill tables for 8 and 16 bits', () => {
    const [r, g, b] = decodeTable(adobeRgbProfile, 8)
    expect(r).toHaveLength(256)
    expect(g).toBe(r)
    expect(b[128]).toBeCloseTo((128 / 255) ** (563 / 256), 12)
    const wide = decodeTable(srgbProfile, 16)[0]
    expect(wide).toHaveLength(65_536)
    expect([wide[0], wide[65_535]]).toEqual([0, 1])
  })
})

describe('real profiles', () => {
  it('of sharp are known by name and agree with Little CMS', async () => {
    expect(parsed(await builtIn('srgb')).name).toBe('sRGB')
    expect(parsed(await builtIn('p3')).name).toBe('Display P3')
    expect(await worstAgainstLittleCms(await builtIn('p3'))).toBeLessThan(0.15)
  })

  it('for ink are refused as such', async () => expect(why(await builtIn('cmyk'))).toBe('not-rgb'))

  const photos = fileURLToPath(new URL('../../../shared/photos/', import.meta.url))
  it.skipIf(!existsSync(photos))(
    'of real photos are known by name (skipped where ../shared/photos is absent)',
    async () => {
      for (const [file, name] of [
        ['r01_studio_even.jpg', 'sRGB'],
        ['r08_p3_gamut.jpg', 'Display P3'],
        ['r10_phone_p3_a.jpg', 'Display P3'],
        ['r11_phone_p3_b.jpg', 'Display P3'],
      ] as const) {
        const { icc } = await sharp(join(photos, file)).metadata()
        expect(parsed(icc ?? new Uint8Array()).name).toBe(name)
      }
    },
  )
})

describe('names', () => {
  const gamma = curveTag([Math.round(1.4 * 256)])

  it('come from the description when the space is not a known one', () => {
    expect(parsed(matrixProfile(gamma)).name).toBe('Shop scanner')
    expect(
      parsed(
        matrixProfile(
          gamma,
          localisedTag([
            ['deDE', 'Werkstatt'],
            ['enGB', 'Workshop'],
          ]),
        ),
      ).name,
    ).toBe('Workshop')
    expect(parsed(matrixProfile(gamma, localisedTag([['deDE', 'Grün\u0007']]))).name).toBe('Grün')
    expect(parsed(matrixProfile(gamma, xyzTag(0, 0, 0))).name).toBe('unnamed profile')
  })

  it('come from primaries and curves together', () => {
    expect(parsed(matrixProfile(parametricTag(3, srgbParameters))).name).toBe('sRGB')
    // the primaries of sRGB with another curve are not sRGB
    expect(parsed(matrixProfile(curveTag([Math.round(1.8 * 256)]))).name).toBe('Shop scanner')
    const adobe: TagBytes[] = [
      // Adobe RGB (1998) Color Image Encoding, 2005-05, ICC profile: colorants under D50 (value from memory)
      ['rXYZ', xyzTag(0.60974, 0.31111, 0.01947)],
      ['gXYZ', xyzTag(0.20528, 0.62567, 0.06087)],
      ['bXYZ', xyzTag(0.14919, 0.06322, 0.74457)],
    ]
    const curve = curveTag([563])
    const bytes = profileBytes([...adobe, ['rTRC', curve], ['gTRC', curve], ['bTRC', curve]])
    expect(parsed(bytes).name).toBe('Adobe RGB (1998)')
  })
})

/** A refusal with one of the four reasons, or a profile that computes numbers within 0..1 and has a short name. */
function isSound(bytes: Uint8Array): boolean {
  const result = parseIcc(bytes)
  if (!result.ok) return ['not-icc', 'not-rgb', 'lut-only', 'broken'].includes(result.why)
  const { name, toXyzD50, decode } = result.profile
  const values = decode.flatMap((curve) => [0, 0.04, 0.5, 0.999, 1].map(curve))
  return name.length <= 100 && toXyzD50.every(Number.isFinite) && values.every((v) => v >= 0 && v <= 1)
}

describe('refusals', () => {
  const good = matrixProfile(parametricTag(3, srgbParameters))
  const curve = curveTag([563])
  const trc: TagBytes[] = [
    ['rTRC', curve],
    ['gTRC', curve],
    ['bTRC', curve],
  ]
  const lut: TagBytes = ['A2B0', Buffer.concat([Buffer.from('mft2'), Buffer.alloc(60)])]

  it('name what is wrong', () => {
    expect(why(new Uint8Array())).toBe('not-icc')
    expect(why(Buffer.from('A text file, not a profile. '.repeat(20)))).toBe('not-icc')
    expect(why(profileBytes([], { space: 'GRAY' }))).toBe('not-rgb')
    expect(why(profileBytes([lut]))).toBe('lut-only')
    expect(why(profileBytes([lut], { connection: 'Lab ' }))).toBe('lut-only')
    expect(why(profileBytes([]))).toBe('broken')
    expect(why(good.subarray(0, good.length - 40))).toBe('broken')
    // primaries that do not add up to D50, or lie on a line
    expect(
      why(profileBytes([['rXYZ', xyzTag(1, 1, 1)], ['gXYZ', xyzTag(1, 1, 1)], ['bXYZ', xyzTag(1, 1, 1)], ...trc])),
    ).toBe('broken')
    const third = xyzTag(0.9642 / 3, 1 / 3, 0.8249 / 3)
    expect(why(profileBytes([['rXYZ', third], ['gXYZ', third], ['bXYZ', third], ...trc]))).toBe('broken')
    expect(why(profileBytes([...srgbColorants, ['rTRC', curve], ['gTRC', curve]]))).toBe('broken')
    expect(why(matrixProfile(parametricTag(9, [1])))).toBe('broken')
    expect(why(matrixProfile(parametricTag(0, [0])))).toBe('broken')
  })

  it('leave the matrix in use when there are tables as well', () => {
    expect(parsed(profileBytes([...srgbColorants, ...trc, lut])).toXyzD50[0]).toBeCloseTo(0.43607, 4)
  })

  it('meet a count that reaches beyond the end', () => {
    const long = curveTag([0, 65_535])
    long.writeUInt32BE(0xffffffff, 8)
    expect(why(matrixProfile(long))).toBe('broken')
    const tags = Buffer.from(good)
    tags.writeUInt32BE(0xffffffff, 128)
    expect(why(tags)).toBe('broken')
  })

  it('are values for any bytes whatever, and what is read stays finite', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 600 }), (bytes) => {
        expect(isSound(bytes)).toBe(true)
      }),
      { numRuns: 300 },
    )
    // a good profile with a few bytes overwritten, then cut
    const change = fc.tuple(fc.nat(good.length - 1), fc.nat(255))
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 12 }), fc.nat(good.length), (changes, cut) => {
        const bytes = Uint8Array.from(good)
        for (const [place, value] of changes) bytes[place] = value
        expect(isSound(bytes)).toBe(true)
        expect(isSound(bytes.subarray(0, cut))).toBe(true)
      }),
      { numRuns: 3000 },
    )
  })
})
