import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makePace } from '../../electron/phone/pace.ts'
import { nameOf } from '../../electron/phone/page/pictures.ts'
import { Sha256 } from '../../electron/phone/page/sha256.ts'

/** What the phone's page computes by itself, and how it looks. */

const ours = (...pieces: Uint8Array[]) => {
  const hash = new Sha256()
  for (const piece of pieces) hash.add(piece)
  return hash.end()
}

describe('SHA-256', () => {
  // NIST, "Examples with Intermediate Values": SHA-256 of FIPS 180-4, one block and two
  test.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('of “%s” as published', (text, wanted) => {
    expect(ours(Buffer.from(text))).toBe(wanted)
  })
  test('of any bytes in any pieces, as OpenSSL has it', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 200 }), { maxLength: 8 }), (pieces) => {
        expect(ours(...pieces)).toBe(createHash('sha256').update(Buffer.concat(pieces)).digest('hex'))
      }),
    )
  })
})

test('a picture that its phone gives no name of its own is called by when it was taken', () => {
  const at = new Date(2024, 4, 17, 9, 5, 3).getTime()
  const named = (name: string) => nameOf(new File(['x'], name, { lastModified: at }))
  expect(['image.jpg', 'image.HEIC', 'photo.jpeg', 'image', ''].map(named)).toEqual([
    'Phone 2024-05-17 09.05.03.jpg',
    'Phone 2024-05-17 09.05.03.heic',
    'Phone 2024-05-17 09.05.03.jpeg',
    'Phone 2024-05-17 09.05.03.jpg',
    'Phone 2024-05-17 09.05.03.jpg',
  ])
  expect(['IMG_0042.HEIC', '20240517_090503.jpg', 'door, teal.png'].map(named)).toEqual([
    'IMG_0042.HEIC',
    '20240517_090503.jpg',
    'door, teal.png',
  ])
})

test('a pace lets its burst through, then what its time gives', () => {
  let now = 0
  const may = makePace({ burst: 3, perSecond: 10 }, () => now)
  const many = (count: number) => Array.from({ length: count }, may).filter(Boolean).length
  expect(many(9)).toBe(3)
  now = 100
  expect(many(9)).toBe(1)
  now = 250
  expect(many(9)).toBe(1)
  now = 10_000
  expect(many(9)).toBe(3)
})

describe('its look', () => {
  const css = readFileSync(new URL('../../electron/phone/page/phone.css', import.meta.url), 'utf8')
  const html = readFileSync(new URL('../../electron/phone/page/phone.html', import.meta.url), 'utf8')
  /** WCAG 2.2, relative luminance of a grey and contrast ratio. */
  const luminance = (grey: string) => {
    const v = Number.parseInt(grey.slice(1, 3), 16) / 255
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
  }
  const contrast = (a: string, b: string) => {
    const [high, low] = [luminance(a), luminance(b)].toSorted((x, y) => y - x)
    return (high! + 0.05) / (low! + 0.05)
  }
  const themes = [...css.matchAll(/:root \{([^}]*)\}/g)].map(
    ([, rules = '']) => new Map([...rules.matchAll(/--([\w-]+): (#\w+);/g)].map(([, name, grey]) => [name!, grey!])),
  )
  test('has no colour but greys', () => {
    const all = css.match(/#[0-9a-f]{3,8}\b/gi) ?? []
    expect(all.length).toBeGreaterThan(10)
    expect(all.filter((one) => !/^#([0-9a-f]{2})\1\1$/i.test(one))).toEqual([])
    expect(css).not.toMatch(/\b(rgb|hsl|oklch|color)\(/)
  })
  test.each([0, 1])('can be read in theme %s', (at) => {
    const grey = (name: string) => themes[at]?.get(name) ?? ''
    for (const [text, ground] of [
      'ink wall',
      'ink sheet',
      'ink field',
      'ink-2 wall',
      'ink-2 sheet',
      'ink-2 field',
      'on-fill fill',
      'fill on-fill',
    ].map((pair) => pair.split(' ')))
      expect(contrast(grey(text!), grey(ground!)), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5)
    expect(contrast(grey('edge'), grey('wall'))).toBeGreaterThanOrEqual(3)
  })
  test('takes nothing from anywhere else, and can be pressed with gloves on', () => {
    expect(html + css).not.toMatch(/https?:|@import|@font-face|url\(/)
    const heights = [...css.matchAll(/min-height: (\d+)px/g)].map(([, height]) => Number(height))
    expect(heights.length).toBeGreaterThan(3)
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(48)
  })
})
