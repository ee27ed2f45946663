import { describe, expect, test } from 'vitest'
import { coloursOfStrips } from '../../shared-core/find/filing/colours-along.ts'
import { decide, isHeldBack, type Look, type Told } from '../../shared-core/find/filing/decide.ts'
import { cutsOf, evenCuts, stripsOf } from '../../shared-core/find/filing/strips.ts'
import { whichEnd } from '../../shared-core/find/filing/which-end.ts'
import { type KnownPanel, whichPanel } from '../../shared-core/find/filing/which-panel.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import type { Found, FoundSheet } from '../../shared-core/records/proposal.ts'

const box = (x: number, y: number, width: number, height: number): Quad => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
]
const grey = { l: 50, a: 0, b: 0 }
const candyPanel = (coats: readonly number[], more: Partial<KnownPanel['panel']> = {}): KnownPanel => ({
  panel: {
    id: 'panel',
    code: 'P-0007',
    title: 'Teal over gold',
    sprayedOn: '2026-05-01',
    layers: [{ kind: 'ground' }, { kind: 'candy' }, { kind: 'clear' }],
    steps: coats.map((count, i) => ({ id: `step ${i}`, coats: count, notes: '' })),
    ...more,
  },
  read: coats.map(() => null),
})
const nothingFound: Found = { panels: [], cards: [], chart: null, sheet: null, symbols: [] }
const panelQuad = box(100, 100, 400, 600)
const cardQuad = box(700, 100, 200, 120)
const seen = (found: Partial<Found>, more: Partial<Look> = {}): Look => ({
  state: 'made',
  found: { ...nothingFound, ...found },
  colours: [],
  brightest: 90,
  why: null,
  ...more,
})
const told = (more: Partial<Told> = {}): Told => ({
  panel: candyPanel([4]),
  panelDoubt: null,
  said: null,
  lightId: null,
  isLightUnknown: false,
  setupId: null,
  isSheetKnown: false,
  card: grey,
  cardSizeMm: null,
  alike: null,
  retakeOf: null,
  ...more,
})
const photo = {
  id: 'photo',
  view: 'face',
  stage: 'dry',
  cautions: [],
  takenAt: '2026-05-17T10:00:00',
  isMarked: false,
  isDeclined: false,
  isReference: false,
  isBothKept: false,
} as const
const whole = {
  panels: [{ quad: panelQuad, confidence: 0.9, steps: [] }],
  cards: [{ quad: cardQuad, confidence: 0.9 }],
}
const codes = (proposal: ReturnType<typeof decide>) => proposal.doubts.map(({ code }) => code)

/** The panel in the window of a sheet at four pixels for a millimetre. */
function onSheet() {
  const { window } = photoSheetPlaces({ widthMm: 210, heightMm: 297 }, { widthMm: 100, heightMm: 150 })
  const [x, y, width, height] = [window.xMm, window.yMm, window.widthMm, window.heightMm].map((mm) => mm * 4)
  return { quad: box(x! + 4, y! + 4, width! - 8, height! - 8), confidence: 0.9, steps: [] }
}

/** A sheet that fills the photo, `scale` pixels for a millimetre, with its corner at the photo's. */
const sheetOn = (scale: number, more: Partial<FoundSheet> = {}): FoundSheet => ({
  print: { paper: { widthMm: 210, heightMm: 297 }, panel: { widthMm: 100, heightMm: 150 }, series: 7 },
  toPhoto: [scale, 0, 0, 0, scale, 0, 0, 0, 1],
  missing: [],
  confidence: 0.95,
  bentMm: 0.1,
  ...more,
})

describe('what is proposed', () => {
  test('a panel that says what it is, with a card: nothing is doubtful', () => {
    const proposal = decide(photo, seen(whole), told({ cardSizeMm: { width: 100, height: 60 } }))
    expect(codes(proposal)).toEqual([])
    expect(proposal.layout?.areas).toEqual([{ stepId: 'step 0', shape: { kind: 'quad', quad: panelQuad } }])
    expect(proposal.layout?.card).toEqual({ quad: cardQuad, lab: grey })
    // 100 × 60 mm are 200 × 120 pixels
    expect(proposal.layout?.mmPerPixel).toBeCloseTo(0.5, 12)
    expect(proposal).toMatchObject({ panelCode: 'P-0007', stage: 'cleared', ageDays: 16, state: 'made' })
  })

  test('on a sheet the panel lies in the window, by its own edges where those were found', () => {
    const sheet = sheetOn(4)
    const { window } = photoSheetPlaces(sheet.print.paper, sheet.print.panel)
    const corner: [number, number] = [window.xMm * 4, window.yMm * 4]
    const alone = decide(photo, seen({ sheet }), told({ isSheetKnown: true }))
    const [area] = alone.layout?.areas ?? []
    expect(area?.shape.kind === 'quad' && area.shape.quad[0]).toEqual(corner)
    expect(codes(alone)).toEqual(['place/not-seen-in-window'])
    expect(alone.layout?.mmPerPixel).toBeCloseTo(0.25, 12)
    expect(alone.layout?.sheet).toEqual({ print: sheet.print, toPhoto: sheet.toPhoto, missing: [] })
    const own = box(corner[0] + 8, corner[1] + 8, window.widthMm * 4 - 16, window.heightMm * 4 - 16)
    const page = { quad: box(0, 0, 840, 1188), confidence: 0.99, steps: [] }
    const found = { sheet, panels: [page, { quad: own, confidence: 0.8, steps: [] }] }
    const by = decide(photo, seen(found), told({ isSheetKnown: true }))
    expect(by.layout?.areas[0]?.shape).toEqual({ kind: 'quad', quad: own })
    expect(codes(by)).toEqual([])
  })

  test('a chart alone is no photo of a panel, and asks for none', () => {
    const box24 = { quad: box(100, 100, 600, 400), confidence: 0.9 }
    const noCode = { code: 'panel/not-said', message: 'Which?', remedy: 'Choose it.' }
    const alone = decide(photo, seen({ chart: box24 }), told({ panel: null, panelDoubt: noCode }))
    expect(codes(alone)).toEqual(['place/chart-alone'])
    expect(isHeldBack(alone)).toBe(true)
    expect(alone.layout?.chart?.quad).toEqual(box24.quad)
    // without the chart it is a photo in which no panel was found
    expect(codes(decide(photo, seen({}), told({ panel: null, panelDoubt: noCode })))).toContain('place/no-panel')
  })

  test('a chart that is seen in a mirror is read from like any other', () => {
    const quad = box(700, 300, 200, 300).toReversed() as Quad
    const proposal = decide(photo, seen({ ...whole, cards: [], chart: { quad, confidence: 0.9 } }), told())
    expect(proposal.layout?.chart?.quad).toEqual(quad)
    expect(codes(proposal)).toEqual([])
  })

  test('a sheet that nobody has learnt is filed all the same, with a note; one that is bent is not', () => {
    const unknown = decide(photo, seen({ panels: [onSheet()], sheet: sheetOn(4) }), told())
    expect(codes(unknown)).toEqual(['card/sheet-not-known'])
    expect(isHeldBack(unknown)).toBe(false)
    const bent = decide(
      photo,
      seen({ panels: [onSheet()], sheet: sheetOn(4, { bentMm: 2.4 }) }),
      told({ isSheetKnown: true }),
    )
    expect(codes(bent)).toEqual(['place/bent-sheet'])
    expect(isHeldBack(bent)).toBe(true)
    const hidden = decide(
      photo,
      seen({ panels: [onSheet()], sheet: sheetOn(4, { missing: [2, 3] }) }),
      told({ isSheetKnown: true }),
    )
    expect(codes(hidden)).toEqual(['place/hidden-corners'])
    const oneHidden = decide(
      photo,
      seen({ panels: [onSheet()], sheet: sheetOn(4, { missing: [2] }) }),
      told({ isSheetKnown: true }),
    )
    expect(codes(oneHidden)).toEqual([])
  })

  test.each([
    ['no panel', { panels: [] }, {}, ['place/no-panel']],
    ['an unsure panel', { panels: [{ quad: panelQuad, confidence: 0.3, steps: [] }] }, {}, ['place/unsure']],
    ['no card', { cards: [] }, {}, ['card/none']],
    ['an unsure card', { cards: [{ quad: cardQuad, confidence: 0.3 }] }, {}, ['card/unsure']],
    [
      'two panels',
      { panels: [...whole.panels, { quad: box(1000, 0, 90, 90), confidence: 0.8, steps: [] }] },
      {},
      ['place/several-panels'],
    ],
    ['a dark photo', {}, { brightest: 20 }, ['photo/too-dark']],
    ['blown paint', {}, { colours: [{ quad: panelQuad, down: [], right: [], clipped: 0.4 }] }, ['photo/overexposed']],
    ['blown surroundings', {}, { colours: [{ quad: cardQuad, down: [], right: [], clipped: 0.4 }] }, []],
  ])('%s', (_, found, more, expected) => {
    expect(codes(decide(photo, seen({ ...whole, ...found }, more), told()))).toEqual(expected)
  })

  test('what is not sure is not marked as if it were', () => {
    const found = {
      panels: [{ quad: panelQuad, confidence: 0.3, steps: [] }],
      cards: [{ quad: cardQuad, confidence: 0.2 }],
    }
    const { layout, found: all } = decide(photo, seen(found), told())
    expect(layout).toBeNull()
    expect(all?.panels).toHaveLength(1)
    const chart = { quad: box(0, 0, 60, 40), confidence: 0.4 }
    expect(decide(photo, seen({ ...whole, chart }), told()).layout?.chart).toBeNull()
    expect(decide(photo, seen({ ...whole, chart: { ...chart, confidence: 0.6 } }), told()).layout?.chart).toEqual({
      quad: chart.quad,
      table: 'avg30',
    })
  })

  test('a photo that was not looked at, one that cannot be, and one that somebody has begun', () => {
    const waiting = decide(photo, { ...seen({}), state: 'waiting', found: null }, told({ panel: null }))
    expect(waiting).toMatchObject({ state: 'waiting', doubts: [], layout: null })
    const why = { code: 'photo/damaged', message: 'Broken.', remedy: 'Take it again.' }
    const failed = decide(photo, { ...seen({}), state: 'failed', found: null, why }, told())
    expect(failed.doubts).toEqual([why])
    expect(codes(decide({ ...photo, isMarked: true }, seen(whole), told()))).toEqual(['photo/marked'])
    expect(codes(decide({ ...photo, isDeclined: true }, seen(whole), told()))).toEqual(['place/declined'])
    expect(codes(decide({ ...photo, isReference: true }, seen(whole), told()))).toEqual(['photo/reference'])
  })

  test('a twin and a retake are told; a note of intake keeps nothing back', () => {
    const alike = { name: 'a.jpg', filed: false }
    const retakeOf = { photoId: 'x', name: 'b.jpg', filed: true }
    expect(codes(decide(photo, seen(whole), told({ alike, retakeOf })))).toEqual([
      'retake/alike',
      'retake/same-sitting',
    ])
    const note = { code: 'photo/untagged', message: 'No profile.', remedy: '', weight: 'note' as const }
    const warning = { code: 'photo/gain-map-ignored', message: 'A map.', remedy: '' }
    expect(codes(decide({ ...photo, cautions: [note] }, seen(whole), told()))).toEqual([])
    expect(codes(decide({ ...photo, cautions: [warning] }, seen(whole), told()))).toEqual([warning.code])
  })
})

describe('steps', () => {
  const known = candyPanel([1, 2, 3])
  const cuts = { run: 'down', cuts: [0.25, 0.6] } as const
  const found = stripsOf(panelQuad, cuts)
  const falling = {
    quad: panelQuad,
    right: [],
    clipped: 0,
    down: strip24((at) => ({ l: at < 0.25 ? 70 : at < 0.6 ? 55 : 40, a: 5, b: 5 })),
  }
  const rising = {
    ...falling,
    down: strip24((at) => ({ l: at < 0.25 ? 40 : at < 0.6 ? 55 : 70, a: 5, b: 5 })),
  }
  const panels = [{ quad: panelQuad, confidence: 0.9, steps: found }]

  test('boundaries that were found are used, and a candy is darker where it has more coats', () => {
    const one = decide(photo, seen({ ...whole, panels }, { colours: [falling] }), told({ panel: known }))
    expect(codes(one)).toEqual([])
    expect(one.layout?.areas.map(({ stepId }) => stepId)).toEqual(['step 0', 'step 1', 'step 2'])
    expect(one.layout?.areas.map(({ shape }) => shape.kind === 'quad' && Math.round(shape.quad[0][1]))).toEqual([
      100, 250, 460,
    ])
    const turned = decide(photo, seen({ ...whole, panels }, { colours: [rising] }), told({ panel: known }))
    expect(turned.layout?.areas.map(({ stepId }) => stepId)).toEqual(['step 2', 'step 1', 'step 0'])
    expect(codes(turned)).toEqual([])
  })

  test('another number than the panel has is cut evenly, and told', () => {
    const two = [{ quad: panelQuad, confidence: 0.9, steps: found.slice(0, 2) }]
    const one = decide(photo, seen({ ...whole, panels: two }, { colours: [falling] }), told({ panel: known }))
    expect(codes(one)).toEqual(['steps/not-found'])
    expect(one.layout?.areas.map(({ shape }) => shape.kind === 'quad' && Math.round(shape.quad[0][1]))).toEqual([
      100, 300, 500,
    ])
  })

  test('without a panel the strips that were found belong to no step', () => {
    const one = decide(photo, seen({ ...whole, panels }), told({ panel: null }))
    expect(one.layout?.areas.map(({ stepId }) => stepId)).toEqual([null, null, null])
  })

  test('which end is the first is said by readings before coats, or not at all', () => {
    const lab = (l: number) => ({ l, a: 0, b: 0 })
    const flat = (l: number, uneven = 1) => ({ lab: lab(l), uneven })
    const strips = [flat(62), flat(50), flat(41)]
    const silent = { layers: [{ kind: 'solid' as const }], steps: known.panel.steps }
    expect(whichEnd(known.panel, strips, [null, null, null])).toBe('first')
    expect(whichEnd({ ...known.panel, steps: known.panel.steps.toReversed() }, strips, [null, null, null])).toBe('last')
    // a solid colour hides what lies below: more coats say nothing
    expect(whichEnd(silent, strips, [null, null, null])).toBeNull()
    // the photo is darker as a whole, as one that is not calibrated
    expect(whichEnd(silent, strips, [lab(90), lab(77), lab(70)])).toBe('first')
    expect(whichEnd(silent, strips, [lab(70), lab(77), lab(90)])).toBe('last')
    // readings that are all alike tell nothing
    expect(whichEnd(silent, strips, [lab(70), lab(70.5), lab(71)])).toBeNull()
    // too little difference, or up and down
    expect(whichEnd(known.panel, [flat(50), flat(49), flat(48)], [null, null, null])).toBeNull()
    expect(whichEnd(known.panel, [flat(60), flat(30), flat(50)], [null, null, null])).toBeNull()
    // a lamp that shows in a strip, or a strip as bright as one: it may be any colour
    expect(whichEnd(known.panel, [flat(62, 30), flat(50), flat(41)], [null, null, null])).toBe('first')
    expect(whichEnd(known.panel, [flat(62, 30), flat(50, 30), flat(41)], [null, null, null])).toBeNull()
    expect(whichEnd(known.panel, [flat(96), flat(93), flat(41)], [null, null, null])).toBeNull()
    // light that falls off over the panel as much as its steps differ
    expect(whichEnd(known.panel, [flat(56, 5.5), flat(53, 5.5), flat(51, 5.5)], [null, null, null])).toBeNull()
    // the same coats everywhere
    expect(whichEnd(candyPanel([3, 3, 3]).panel, strips, [null, null, null])).toBeNull()
  })

  test('cuts of strips that do not quite meet lie half way between them, in perspective too', () => {
    const tilted: Quad = [
      [100, 100],
      [500, 130],
      [460, 620],
      [140, 600],
    ]
    for (const run of ['down', 'right'] as const) {
      const wanted = { run, cuts: [0.2, 0.5, 0.9] }
      const back = cutsOf(tilted, stripsOf(tilted, wanted).toReversed())
      expect(back?.run).toBe(run)
      for (const [i, cut] of wanted.cuts.entries()) expect(back?.cuts[i]).toBeCloseTo(cut, 9)
    }
    const [a, b] = [box(0, 0, 100, 40), box(0, 60, 100, 40)]
    expect(cutsOf(box(0, 0, 100, 100), [a, b])).toEqual({ run: 'down', cuts: [0.5] })
    expect(cutsOf(panelQuad, [found[0]!, found[0]!])).toBeNull()
    expect(evenCuts(4)).toEqual([0.25, 0.5, 0.75])
  })

  test('the mean of a strip leaves its edges out, and a narrow strip has one too', () => {
    const along = strip24((at) => ({ l: at < 0.5 ? 80 : 20, a: 0, b: 0 }))
    expect(coloursOfStrips(along, [0.5]).map((strip) => strip?.lab.l)).toEqual([80, 20])
    expect(coloursOfStrips(along, [0.49, 0.5]).map((strip) => strip?.lab.l)).toHaveLength(3)
    expect(coloursOfStrips(along, [0.49, 0.5])[1]).not.toBeNull()
  })
})

describe('which panel', () => {
  const one = candyPanel([1])
  const other = candyPanel([1], { id: 'other', code: 'P-0008' })
  const at = (panel: KnownPanel) => ({ code: panel.panel.code, meant: panel })
  test.each([
    ['a code', { seen: [at(one)], said: null, chosen: null }, 'P-0007', null],
    ['two codes', { seen: [at(one), at(other)], said: null, chosen: null }, null, 'panel/several-codes'],
    [
      'an unknown code',
      { seen: [{ code: 'P-0999', meant: 'unknown' }], said: null, chosen: null },
      null,
      'panel/unknown-code',
    ],
    [
      'a code in the trash',
      { seen: [{ code: 'P-0007', meant: 'in-trash' }], said: null, chosen: null },
      null,
      'panel/in-trash',
    ],
    ['what was said', { seen: [], said: { words: '8', meant: other }, chosen: null }, 'P-0008', null],
    ['code and words that agree', { seen: [at(one)], said: { words: '7', meant: one }, chosen: null }, 'P-0007', null],
    [
      'code and words that do not',
      { seen: [at(one)], said: { words: '8', meant: other }, chosen: null },
      'P-0007',
      'panel/other-than-said',
    ],
    [
      'words that nobody is called',
      { seen: [], said: { words: 'blue', meant: 'unknown' }, chosen: null },
      null,
      'panel/said-unknown',
    ],
    [
      'words that several are called',
      { seen: [], said: { words: 'blue', meant: 'several' }, chosen: null },
      null,
      'panel/said-several',
    ],
    ['nothing', { seen: [], said: null, chosen: null }, null, 'panel/not-said'],
    ['a choice', { seen: [], said: null, chosen: other }, 'P-0008', null],
    ['a choice against the code', { seen: [at(one)], said: null, chosen: other }, 'P-0008', 'panel/other-than-chosen'],
    ['a choice among codes', { seen: [at(one), at(other)], said: null, chosen: other }, 'P-0008', null],
    [
      'a choice of the code in small letters',
      { seen: [{ code: 'p-0007', meant: one }], said: null, chosen: one },
      'P-0007',
      null,
    ],
    [
      'a code that the painter took back',
      { seen: [at(one)], said: { words: '7', meant: one }, chosen: one, isWithdrawn: true },
      null,
      'panel/withdrawn',
    ],
  ] as const)('%s', (_, said, code, doubt) => {
    const answer = whichPanel({ isWithdrawn: false, ...said })
    expect([answer.panel?.panel.code ?? null, answer.doubt?.code ?? null]).toEqual([code, doubt])
  })
})

function strip24(colour: (at: number) => { l: number; a: number; b: number }) {
  return Array.from({ length: 24 }, (_, i) => colour((i + 0.5) / 24))
}
