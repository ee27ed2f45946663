/**
 * What stands on a label: nothing is cut, overlaps or leaves it. Ink is measured with fontkit on the glyphs themselves, apart
 * from the widths that the layout uses. Sources: ISO/IEC 18004 (quiet zone of 4 modules); 0.33 mm a module, 8 mm a side and
 * 1.9 mm text are this program's own limits; label sizes and margins are common practice, no source.
 */
import { createRequire } from 'node:module'
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fontFiles, measureText } from '../../electron/print/fonts.ts'
import { layOutLabels } from '../../electron/print/labels.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { labelSizes } from '../../shared-core/label/layout.ts'
import { quietModules, smallestModuleMm, smallestQrMm, smallestTextMm } from '../../shared-core/label/measures.ts'
import { type LabelMark, LabelPage, type LabelSize } from '../../shared-core/records/label.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { LayerKind, type Panel } from '../../shared-core/records/panel.ts'
import { formula, gun, layer, longPanel, panelWith } from './label-panels.ts'

type Font = {
  unitsPerEm: number
  layout: (text: string) => { bbox: { minX: number; minY: number; maxX: number; maxY: number }; advanceWidth: number }
}
const fontkit = createRequire(import.meta.url)('fontkit') as { openSync: (path: string) => Font }
const fonts = { regular: fontkit.openSync(fontFiles.regular), bold: fontkit.openSync(fontFiles.bold) }

type Box = { left: number; top: number; right: number; bottom: number; what: string }
const inkOf = (mark: LabelMark): Box => {
  if (mark.kind === 'text') {
    const font = fonts[mark.face]
    const { minX, minY, maxX, maxY } = font.layout(mark.text).bbox
    const mm = mark.sizeMm / font.unitsPerEm
    return {
      left: mark.xMm + minX * mm,
      right: mark.xMm + maxX * mm,
      top: mark.baselineMm - maxY * mm,
      bottom: mark.baselineMm - minY * mm,
      what: mark.text,
    }
  }
  if (mark.kind === 'box') {
    return {
      left: mark.xMm,
      top: mark.yMm,
      right: mark.xMm + mark.widthMm,
      bottom: mark.yMm + mark.heightMm,
      what: 'box',
    }
  }
  const quiet = (quietModules * mark.sideMm) / mark.rows.length
  return {
    left: mark.xMm - quiet,
    top: mark.yMm - quiet,
    right: mark.xMm + mark.sideMm + quiet,
    bottom: mark.yMm + mark.sideMm + quiet,
    what: 'QR symbol with its quiet zone',
  }
}

/** Hair of rounding, in mm. */
const hair = 1e-6
/** What is wrong with the marks: nothing leaves the label, overlaps, or is smaller than it may be. */
function faultsOf(pages: readonly LabelPage[], size: LabelSize): string[] {
  const faults: string[] = []
  for (const [index, page] of pages.entries()) {
    if (page.part !== index + 1 || page.of !== pages.length)
      faults.push(`part ${page.part} of ${page.of} stands at ${index}`)
    if (!LabelPage.safeParse(page).success) faults.push('not a label page')
    if (page.marks.filter((mark) => mark.kind === 'qr').length !== 1) faults.push('not one symbol')
    const boxes = page.marks.map(inkOf)
    for (const [place, box] of boxes.entries()) {
      const isInside =
        box.left > -hair && box.top > -hair && box.right < size.widthMm + hair && box.bottom < size.heightMm + hair
      if (!isInside) faults.push(`${box.what} leaves the label`)
      for (const other of boxes.slice(place + 1)) {
        const isApart =
          box.right <= other.left + hair ||
          other.right <= box.left + hair ||
          box.bottom <= other.top + hair ||
          other.bottom <= box.top + hair
        if (!isApart) faults.push(`${box.what} overlaps ${other.what}`)
      }
    }
    for (const mark of page.marks) {
      if (mark.kind === 'text' && mark.sizeMm < smallestTextMm - hair) faults.push(`${mark.text} is too small`)
      if (mark.kind !== 'qr') continue
      const isLarge = mark.sideMm > smallestQrMm - hair && mark.sideMm / mark.rows.length > smallestModuleMm - hair
      if (!isLarge) faults.push('the symbol is too small')
    }
  }
  return faults
}

const squeezed = (text: string): string => text.replaceAll(/[\s·]/gu, '')
/** Running text over all labels, without what each of them repeats. */
const bodyOf = (pages: readonly LabelPage[], panel: Panel): string =>
  squeezed(
    pages
      .flatMap(({ marks, part, of }) =>
        marks.flatMap((mark) => {
          if (mark.kind !== 'text') return []
          const repeated = [panel.code, `part ${part} of ${of}`].includes(mark.text)
          const isAbout =
            mark.face === 'bold' &&
            /^(Candy|Solid|Mid coat|Ground|Undercoat|Sealer|Barrier|Clear|Gun|Sprayed)$/u.test(mark.text)
          return repeated || isAbout ? [] : [mark.text]
        }),
      )
      .join(' '),
  )
const namesIn = (mixture: Mixture): string[] =>
  mixture.parts.flatMap((part) => (part.material ? [part.material.name] : part.mixture ? namesIn(part.mixture) : []))
const amountsIn = (mixture: Mixture): string[] =>
  mixture.parts.flatMap((part) => [String(part.amount), ...(part.mixture ? amountsIn(part.mixture) : [])])

/** What the panel says and the labels do not. */
function missingFrom(pages: readonly LabelPage[], panel: Panel): string[] {
  const body = bodyOf(pages, panel)
  // The day may stand beside the code of every part, in the middle of a text that flows on: it is looked for by itself.
  const day = `${panel.sprayedOn ?? ''}${squeezed(panel.sprayedBy)}`
  const running = body.replaceAll(day, '')
  const wanted = [
    panel.title,
    ...panel.layers.flatMap(({ name, mixture }) => [
      name,
      ...(mixture ? [...namesIn(mixture), ...amountsIn(mixture)] : []),
    ]),
  ]
  return [
    ...(body.includes(day) ? [] : [day]),
    ...wanted.filter((text) => !running.includes(squeezed(text).replaceAll(day, ''))),
    ...pages.flatMap(({ marks, part, of }) => {
      const texts = marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []))
      return [panel.code, ...(of > 1 ? [`part ${part} of ${of}`] : [])].filter((text) => !texts.includes(text))
    }),
  ]
}

describe('a label', () => {
  it.each(labelSizes)('of $name says everything about a usual panel on one', async ({ size }) => {
    const panel = panelWith()
    const pages = await layOutLabels([panel], size)
    expect(pages).toHaveLength(1)
    expect(faultsOf(pages, size)).toEqual([])
    expect(missingFrom(pages, panel)).toEqual([])
    const texts = pages[0]?.marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])) ?? []
    const said = squeezed(texts.join(' '))
    for (const fact of [
      'P-0042',
      '2031-03-14',
      '4 copper : 1 crimson',
      '1 blend in 6 carrier',
      'by volume',
      '4 coats',
      'bright silver',
      '1.3 mm tip',
      '1.10 bar inlet',
      '75 % overlap',
      '150 mm away',
      'customer’s light',
    ]) {
      expect(said).toContain(squeezed(fact))
    }
    expect(said).not.toContain('isocyanates')
  })

  it.each(labelSizes)('of $name lets a long formula flow, with code and symbol on every part', async ({ size }) => {
    const panel = longPanel()
    const pages = await layOutLabels([panel], size)
    expect(faultsOf(pages, size)).toEqual([])
    expect(missingFrom(pages, panel)).toEqual([])
  })

  it('speaks of isocyanates where the formula holds a hardener, deferring to the data sheet', async () => {
    const pages = await layOutLabels([longPanel()], { widthMm: 100, heightMm: 50 })
    const body = bodyOf(pages, longPanel())
    expect(body).toContain('isocyanates')
    expect(body).toContain(squeezed('safety data sheet'))
  })

  it('lists the coats of a panel that is masked in steps', async () => {
    const body = bodyOf(await layOutLabels([longPanel()], { widthMm: 100, heightMm: 50 }), longPanel())
    expect(body).toContain(squeezed('steps of 1, 2, 3 and 4 coats'))
  })

  it('shows comma, psi and inches where they are wanted', async () => {
    const panel = panelWith()
    const pages = await layOutLabels([panel], { widthMm: 100, heightMm: 50 }, { decimal: 'comma', units: 'us' })
    const body = bodyOf(pages, panel)
    for (const fact of ['1,3 mm tip', '16 psi inlet', '5,9 in away']) expect(body).toContain(squeezed(fact))
  })

  it('keeps several panels in order', async () => {
    const panels = ['P-0003', 'P-0001', 'P-0002'].map((code) => panelWith({ id: code, code }))
    const pages = await layOutLabels(panels, { widthMm: 62, heightMm: 29 })
    expect(pages.map(({ panelId }) => panelId)).toEqual(['P-0003', 'P-0001', 'P-0002'])
  })

  it('is refused when it is too small for code and symbol', async () => {
    const tried = layOutLabels([panelWith()], { widthMm: 20, heightMm: 12 })
    await expect(tried).rejects.toThrow(Refusal)
    await expect(tried).rejects.toMatchObject({ code: 'label/too-small' })
  })

  it('is measured as the face is: widths against fontkit', () => {
    for (const text of ['4 copper : 1 crimson', 'AVATAR To fi ffl', 'über 75 % ½']) {
      const { advanceWidth } = fonts.regular.layout(text)
      expect(measureText(text, 'regular', 2)).toBeCloseTo((2 * advanceWidth) / fonts.regular.unitsPerEm, 3)
    }
  })
})

describe('properties', () => {
  const words = fc
    .array(fc.stringMatching(/^[a-zA-ZäöüßÅÉ]{1,14}$/u), { minLength: 1, maxLength: 6 })
    .map((all) => all.join(' '))
  const long = fc.oneof(
    { weight: 5, arbitrary: words },
    { weight: 1, arbitrary: fc.stringMatching(/^[A-Z]{30,100}$/u) },
  )
  const parts = fc.array(fc.tuple(fc.integer({ min: 1, max: 400 }), long), { minLength: 1, maxLength: 10 })
  const mixture = fc.tuple(parts, fc.boolean()).map(([all, carried]): Mixture => {
    const ratio: Mixture = {
      name: 'blend',
      basis: 'volume',
      parts: all.map(([tenths, name]) => ({
        amount: tenths / 10,
        unit: 'parts',
        material: { id: null, name: name.slice(0, 120).trim(), kind: 'concentrate' },
        mixture: null,
      })),
    }
    if (!carried) return ratio
    const carrier = formula('teal in 6:1 carrier').parts.slice(1)
    return {
      name: '',
      basis: 'volume',
      parts: [{ amount: 1, unit: 'parts', material: null, mixture: ratio }, ...carrier],
    }
  })
  const layers = fc.array(
    fc
      .tuple(
        fc.constantFrom(...LayerKind.options),
        words,
        fc.integer({ min: 1, max: 12 }),
        fc.option(mixture),
        fc.boolean(),
      )
      .map(([kind, name, coats, mixed, withGun]) =>
        layer(kind, name.slice(0, 120).trim(), coats, { mixture: mixed, gunSetup: withGun ? gun : null }),
      ),
    { maxLength: 7 },
  )
  const panels = fc
    .record({ code: fc.stringMatching(/^[A-Z]{1,2}-[0-9a-z]{4,20}$/u), title: long, layers, sprayedBy: words })
    .map((some) => panelWith({ ...some, sprayedBy: some.sprayedBy.slice(0, 120).trim() }))
  const usual = fc.constantFrom(...labelSizes.map(({ size }) => size))
  const free = fc.record({ widthMm: fc.integer({ min: 20, max: 160 }), heightMm: fc.integer({ min: 12, max: 120 }) })

  it('never cuts, overlaps or leaves the label; a refusal says that it is too small', async () => {
    const numRuns = 60
    let refused = 0
    await fc.assert(
      fc.asyncProperty(panels, fc.oneof(usual, free), async (panel, size) => {
        const pages = await layOutLabels([panel], size).catch((error: unknown) => {
          if (error instanceof Refusal && error.code === 'label/too-small') return null
          throw error
        })
        if (pages === null) refused += 1
        // A usual size takes any panel that is less than monstrous.
        const mayBeRefused = panel.layers.length > 1 || size.widthMm < 62 || size.heightMm < 29
        expect(pages !== null || mayBeRefused).toBe(true)
        expect(pages === null ? [] : faultsOf(pages, size)).toEqual([])
        expect(pages === null ? [] : missingFrom(pages, panel)).toEqual([])
      }),
      { numRuns, endOnFailure: true },
    )
    expect(refused).toBeLessThan(numRuns / 2)
  })
})
