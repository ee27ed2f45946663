/** Cards (A6 is 105 × 148 mm, ISO 216), cup labels, and the choice of what stands on them: nothing is cut or overlaps. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { measureText } from '../../electron/print/fonts.ts'
import { layOutPrintable } from '../../electron/print/sheets.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { layOutCard } from '../../shared-core/label/card/layout.ts'
import { cupLabelOf } from '../../shared-core/label/cup/from-cup.ts'
import { cupLines, layOutCupLabel, useUntil } from '../../shared-core/label/cup/layout.ts'
import { labelLines } from '../../shared-core/label/text.ts'
import { kindFromName } from '../../shared-core/mix/material-names.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { type CupLabel, Shown } from '../../shared-core/records/sheet.ts'
import { formula, gun, layer, longPanel, panelWith } from './label-panels.ts'
import { faultsOf, textOf } from './page-ink.ts'

const wording = { decimal: 'point', units: 'metric' } as const
const rows = () => Array.from({ length: 21 }, (_, i) => (i % 2 === 0 ? '10' : '01').repeat(11).slice(0, 21))

describe('a choice of what stands on it', () => {
  const label = async (shows: Shown[]) =>
    textOf(
      (
        await layOutPrintable(
          {
            kind: 'labels',
            panelIds: ['panel-1'],
            stock: { on: 'roll', size: { widthMm: 100, heightMm: 50 } },
            copies: 1,
            shows,
            wording,
          },
          [panelWith({ notes: 'Kept by the window.' })],
        )
      ).flatMap(({ marks }) => marks),
    )

  it.each<[Shown, string]>([
    ['title', 'Copper crimson'],
    ['formula', '4 copper : 1 crimson'],
    ['ground', 'bright silver'],
    ['layers', 'gloss clear'],
    ['gun', '1.3 mm tip'],
    ['date', '2031-03-14'],
    ['notes', 'Kept by the window.'],
    ['cautions', 'Photo'],
  ])('leaves out %s when it is not ticked', async (shown, words) => {
    const title = 'Copper crimson over bright silver'
    const without = (await label(Shown.options.filter((one) => one !== shown))).replace(
      shown === 'title' ? '' : title,
      '',
    )
    expect((await label([...Shown.options])).replace(shown === 'title' ? '' : title, '')).toContain(words)
    expect(without).not.toContain(words)
    expect(without).toContain('P-0042')
  })

  it('gives the room of the symbol to the text', async () => {
    const size = { widthMm: 62, heightMm: 29 }
    const stock = { on: 'roll' as const, size }
    const base = { kind: 'labels' as const, panelIds: ['panel-1'], stock, copies: 1, wording }
    const pages = await layOutPrintable({ ...base, shows: Shown.options.filter((one) => one !== 'qr') }, [longPanel()])
    expect(pages.flatMap(({ marks }) => marks.filter(({ kind }) => kind === 'qr'))).toEqual([])
    for (const { marks } of pages) expect(faultsOf(marks, size)).toEqual([])
    const withSymbol = await layOutPrintable({ ...base, shows: [...Shown.options] }, [longPanel()])
    expect(pages.length).toBeLessThanOrEqual(withSymbol.length)
  })
})

function unlessTooSmall<T>(work: () => T): T | null {
  try {
    return work()
  } catch (error) {
    if (error instanceof Refusal && error.code === 'label/too-small') return null
    throw error
  }
}

describe('a card for the back', () => {
  const sizes = [
    { widthMm: 105, heightMm: 148 },
    { widthMm: 148, heightMm: 105 },
    { widthMm: 90, heightMm: 60 },
  ]
  const all = new Set(Shown.options)

  it.each(sizes)('of $widthMm × $heightMm mm holds a long build, nothing cut', (size) => {
    const panel = {
      ...longPanel(),
      notes: `Mottled. ${'Second coat too wet near the edge, third sprayed from further away. '.repeat(6)}End of notes.`,
    }
    const cards = layOutCard(panel, size, wording, measureText, rows, all)
    for (const marks of cards) expect(faultsOf(marks, size)).toEqual([])
    const text = cards.map(textOf).join(' ')
    for (const { name } of panel.layers) expect(text).toContain(name)
    for (const words of ['ocean blue', 'slow reducer', 'End of notes.', '2031-03-14'])
      expect(text.replaceAll(/\s+/gu, ' ')).toContain(words)
    expect(textOf(cards[0]!).includes(`card 1 of ${cards.length}`)).toBe(cards.length > 1)
  })

  it('says once what all layers share, and apart what they do not', () => {
    const shared = textOf(layOutCard(panelWith(), sizes[0]!, wording, measureText, rows, all)[0]!)
    expect(shared.split('bench gun')).toHaveLength(2)
    const other = panelWith({
      layers: [
        layer('ground', 'bright silver', 2, { gunSetup: { ...gun, name: 'wide gun', tipMm: 1.6 } }),
        layer('candy', '', 4, { mixture: formula('teal in 6:1 carrier'), gunSetup: gun }),
      ],
    })
    const apart = textOf(layOutCard(other, sizes[0]!, wording, measureText, rows, all)[0]!)
    expect(apart).toContain('wide gun')
    expect(apart).toContain('bench gun')
  })

  it('warns of isocyanates as data sheets say, not by the kind alone', () => {
    const catalysed = panelWith({
      layers: [
        layer('ground', 'bright silver', 2),
        layer('candy', '', 4, { mixture: formula('teal in 6:1 carrier, 20% hardener on top') }),
      ],
    })
    const named = (kind: string, isocyanate: boolean) => (material: { kind: string }) =>
      material.kind === kind ? isocyanate : null
    const onCard = (panel: typeof catalysed, said?: ReturnType<typeof named>) =>
      /isocyanates/iu.test(textOf(layOutCard(panel, sizes[0]!, wording, measureText, rows, all, said)[0]!))
    const onLabel = (panel: typeof catalysed, said?: ReturnType<typeof named>) =>
      labelLines(panel, wording, false, all, said).some(({ says }) => says.includes('isocyanates'))
    const plain = panelWith({ layers: [layer('candy', '', 4, { mixture: formula('teal in 6:1 carrier') })] })
    for (const warns of [onCard, onLabel]) {
      expect(warns(catalysed)).toBe(true)
      expect(warns(catalysed, named('hardener', false))).toBe(false)
      expect(warns(plain)).toBe(false)
      expect(warns(plain, named('carrier', true))).toBe(true)
    }
  })

  it('is refused when it is too small', () => {
    expect(() => layOutCard(longPanel(), { widthMm: 30, heightMm: 20 }, wording, measureText, rows, all)).toThrow(
      expect.objectContaining({ code: 'label/too-small' }),
    )
  })

  it('never cuts or overlaps, whatever is written', () => {
    const words = fc.array(fc.stringMatching(/^[a-zA-ZäöüÉ]{1,16}$/u), { minLength: 1, maxLength: 20 })
    const text = words.map((list) => list.join(' '))
    const size = fc.record({
      widthMm: fc.integer({ min: 60, max: 210 }),
      heightMm: fc.integer({ min: 50, max: 297 }),
    })
    let drawn = 0
    fc.assert(
      fc.property(text, text, text, size, (title, notes, note, sized) => {
        const panel = {
          ...longPanel(),
          title: title.slice(0, 200).trim(),
          notes,
          steps: [1, 2, 3].map((coats) => ({ id: `s${coats}`, coats, notes: note })),
        }
        const cards = unlessTooSmall(() => layOutCard(panel, sized, wording, measureText, rows, all))
        drawn += cards === null ? 0 : 1
        expect((cards ?? []).flatMap((marks) => faultsOf(marks, sized))).toEqual([])
      }),
      { numRuns: 50 },
    )
    expect(drawn).toBeGreaterThan(25)
  })
})

describe('a cup label', () => {
  const cup = (more: Partial<CupLabel> = {}): CupLabel => ({
    code: 'C-0012',
    about: 'Harbour tank, P-0042',
    mixture: formula('4:1 copper + crimson in 6:1 carrier by volume'),
    mixedAt: new Date(2031, 2, 14, 14, 5, 40).toISOString(),
    mixedBy: 'Robin',
    hardenerAt: null,
    potLifeMin: 135,
    panelCode: 'P-0042',
    ...more,
  })
  const said = { ...wording, clock: '24' as const }
  const all = new Set(Shown.options)

  it('says until when it may be used: never later than the pot life', () => {
    // 14:05:40 and 135 minutes: 16:20:40
    expect(useUntil(cup(), '24')).toBe('Use until 16:20')
    expect(useUntil(cup(), '12')).toBe('Use until 4:20 pm')
    expect(useUntil(cup({ potLifeMin: 600 }), '24')).toBe('Use until 00:05, 2031-03-15')
    expect(useUntil(cup({ potLifeMin: null }), '24')).toBeNull()
    // hardener in at 13:50: 15 minutes 40 seconds before it was written down
    const hardenerAt = new Date(2031, 2, 14, 13, 50).toISOString()
    expect(useUntil(cup({ hardenerAt }), '24')).toBe('Use until 16:05')
    expect(useUntil(cup({ hardenerAt, potLifeMin: 10 }), '24')).toBe('Use until 14:00')
  })

  it('says job, formula, time, name and what to mind', () => {
    const hardened = cup({ mixture: formula('2:1 clear + hardener by volume') })
    const text = cupLines(hardened, said, all)
      .map(({ says }) => says.replaceAll('\u00A0', ' '))
      .join('\n')
    for (const words of ['Harbour tank', '2 clear : 1 hardener', '2031-03-14 14:05', 'Robin', 'Use until 16:20'])
      expect(text).toContain(words)
    expect(text).toMatch(/isocyanates/u)
    // what the safety data sheets were said to name goes before the kind
    const looked = (named: boolean, of: string) => {
      const id = `id of ${of}`
      const mixture: Mixture = {
        name: '',
        basis: 'volume',
        parts: [{ amount: 1, unit: 'parts', material: { id, name: of, kind: kindFromName(of) }, mixture: null }],
      }
      return cupLines(cup({ mixture, isocyanates: { [id]: named } }), said, all)
        .map(({ says }) => says.replaceAll('\u00A0', ' '))
        .join('\n')
    }
    expect(looked(true, 'carrier')).toMatch(/Isocyanates in it/u)
    expect(looked(false, 'carrier')).not.toMatch(/isocyanates/iu)
    expect(looked(false, 'hardener')).toMatch(/follow its safety data sheet/u)
    expect(looked(false, 'hardener')).not.toMatch(/isocyanates/iu)
    expect(
      cupLines(cup(), said, all)
        .map(({ says }) => says)
        .join('\n'),
    ).not.toMatch(/isocyanates/u)
  })

  it.each([
    { widthMm: 62, heightMm: 29 },
    { widthMm: 100, heightMm: 50 },
    { widthMm: 63.5, heightMm: 38.1 },
  ])("of $widthMm × $heightMm mm holds it, with the cup's own symbol, for a panel or for none", (size) => {
    for (const panelCode of ['P-0042', null]) {
      const encoded: string[] = []
      const rowsOf = (text: string) => {
        encoded.push(text)
        return rows()
      }
      const pages = layOutCupLabel(cup({ panelCode }), size, said, measureText, rowsOf, all)
      expect(pages).toHaveLength(1)
      expect(faultsOf(pages[0]!.marks, size)).toEqual([])
      expect(pages[0]!.marks.filter(({ kind }) => kind === 'qr')).toHaveLength(1)
      expect(new Set(encoded)).toEqual(new Set(['C-0012']))
    }
  })

  it('is made of a cup that was mixed', () => {
    const mixed = cupLabelOf(
      {
        id: 'c',
        code: 'C-0001',
        title: 'Tank',
        customerJobId: null,
        panelId: null,
        mixture: formula('teal in 6:1 carrier'),
        target: { basis: 'volume', amount: 200, words: '' },
        measure: { by: 'mass', step: 0.1, dropMl: null },
        cupMl: 400,
        tipMm: null,
        lines: [],
        status: 'mixed',
        startedAt: '2031-03-14T13:00:00.000Z',
        mixedAt: '2031-03-14T13:10:00.000Z',
        mixedBy: 'Robin',
        hardenerAt: '2031-03-14T13:05:00.000Z',
        standUntil: null,
        potLifeUntil: '2031-03-14T15:05:00.000Z',
        notes: '',
      },
      null,
    )
    expect(mixed).toMatchObject({ code: 'C-0001', about: 'Tank', potLifeMin: 120, panelCode: null })
    // counted from the hardener, not from when the cup was written down
    const until = new Date('2031-03-14T15:05:00.000Z')
    expect(useUntil(mixed, '24')).toContain(`:${String(until.getMinutes()).padStart(2, '0')}`)
  })
})
