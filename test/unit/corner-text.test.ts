/** Symbols read from photos may be anybody's: only a corner of a sheet of ours is one. Limits of figures are the paper sizes that sheets are printed on. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cornerText, readCornerText } from '../../shared-core/label/photo-sheet/corner-text.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'

const paper = { widthMm: 210, heightMm: 297 }

describe('what a corner of a photo sheet says', () => {
  it('is read back as it was written', () => {
    const corners = fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const)
    const codes = fc.option(fc.stringMatching(/^[A-Z]-[0-9]{1,6}$/))
    const side = fc.integer({ min: 300, max: 1100 }).map((tenths) => tenths / 10)
    fc.assert(
      fc.property(corners, codes, side, side, (corner, code, widthMm, heightMm) => {
        const { window } = photoSheetPlaces(paper, { widthMm, heightMm })
        const read = readCornerText(cornerText(corner, { paper, window }, code))
        expect(read).toEqual({ corner, paper, panel: { widthMm, heightMm }, code })
      }),
    )
  })

  it.each([
    '',
    'OG1',
    'OG2 1 2100X2970 1000X1500 -',
    'OG1 5 2100X2970 1000X1500 -',
    'OG1 0 2100X2970 1000X1500 -',
    'OG1 1 2100X2970 1000X1500',
    'OG1 1 2100X2970 9000X9000 -',
    'OG1 1 0X0 0X0 -',
    'OG1 1 -2100X2970 1000X1500 -',
    'OG1 1 InfinityXInfinity 1X1 -',
    'OG1 1 NaNXNaN 10X10 -',
    'OG1 1 21e3X2970 1000X1500 -',
    'OG1 1 99999999999X2970 1000X1500 -',
    'og1 1 2100x2970 1000x1500 -',
    ' OG1 1 2100X2970 1000X1500 -',
    'OG1 1 2100X2970 1000X1500 P-0001\n',
    'OG1 1 2100X2970 1000X1500 P\0',
    'OG1 1 2100X2970 1000X1500 \u202eP-1',
    `OG1 1 2100X2970 1000X1500 ${'P'.repeat(2000)}`,
    'https://example.org/',
    'P-0001',
    '<script>alert(1)</script>',
  ])('%j is none', (text) => {
    expect(readCornerText(text)).toBeNull()
  })

  it('is nothing but figures within bounds, whatever the text', () => {
    const near = fc
      .tuple(fc.string({ unit: fc.constantFrom(...Array.from('OG1234 X-.09P\0')), maxLength: 40 }), fc.string())
      .map(([a, b]) => `OG1 ${a}${b}`)
    fc.assert(
      fc.property(fc.oneof(near, fc.string({ unit: 'binary' }), fc.string()), (text) => {
        const read = readCornerText(text)
        if (read === null) return
        for (const mm of [read.paper.widthMm, read.paper.heightMm, read.panel.widthMm, read.panel.heightMm])
          expect(mm > 0 && mm < 10_000).toBe(true)
        expect(read.code === null || read.code.length <= 24).toBe(true)
      }),
      { numRuns: 2000 },
    )
  })
})
