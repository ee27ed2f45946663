import { bottomOf, centred, type Rect, rightOf, type Size } from './room.ts'

/** A grey card, and a pocket chart of 24 patches (from memory): upright or lying. */
export const cardMm = { long: 80, short: 50 }
export const chartMm = { long: 108, short: 72 }
/** White beside everything that lies or is printed on the sheet: it shows how the light falls. */
export const gapMm = 6

/** Where things are laid, and the rooms that are left for what is printed. */
export type Arrangement = {
  window: Rect
  card: Rect
  chart: Rect
  /** Card and chart lie in one place, one at a time. */
  shared: boolean
  rooms: readonly Rect[]
  words: Rect
}

/** The page without its blank edges: what lies between upper and lower marks, and what lies between the two lower ones. */
export type Page = { inner: Rect; band: Rect }

/** What a page is tried for, best first. @returns those that have room */
export function arrangements(page: Page, panel: Size): Arrangement[] {
  const tried = [
    column(page, panel, 'lying'),
    column(page, panel, 'upright'),
    row(page, panel, 'upright'),
    row(page, panel, 'lying'),
    column(page, panel, 'shared'),
    row(page, panel, 'shared'),
    overBand(page, panel),
  ]
  return tried.filter((one) => one !== null)
}

const upright = (size: { long: number; short: number }): Size => ({ widthMm: size.short, heightMm: size.long })
const lying = (size: { long: number; short: number }): Size => ({ widthMm: size.long, heightMm: size.short })
/** Fewer millimetres than this are no room for words. */
const leastWordsMm = 24

/** Panel at the left; chart, card and words one below the other at the right. */
function column({ inner, band }: Page, panel: Size, how: 'lying' | 'upright' | 'shared'): Arrangement | null {
  const cardSize = how === 'lying' ? lying(cardMm) : upright(cardMm)
  const wideMm = how === 'lying' ? cardMm.long : chartMm.short
  const stackMm = chartMm.long + (how === 'shared' ? 0 : gapMm + cardSize.heightMm)
  const leftMm = inner.widthMm - wideMm - gapMm
  if (panel.widthMm > leftMm || Math.max(panel.heightMm, stackMm) > inner.heightMm) return null
  const window = centred({ ...inner, widthMm: leftMm, heightMm: panel.heightMm }, panel)
  const side = { xMm: inner.xMm + leftMm + gapMm, widthMm: wideMm }
  const chart = centred({ ...side, yMm: inner.yMm, heightMm: chartMm.long }, upright(chartMm))
  const card =
    how === 'shared'
      ? centred(chart, cardSize)
      : centred({ ...side, yMm: bottomOf(chart) + gapMm, heightMm: cardSize.heightMm }, cardSize)
  const below = under(inner, window, { xMm: inner.xMm, widthMm: leftMm })
  const rest = under(inner, how === 'shared' ? chart : card, side)
  const [words, rooms] =
    rest.heightMm >= leastWordsMm
      ? halved(rest, [below])
      : withWords([below, { ...side, yMm: bottomOf(inner) - rest.heightMm, heightMm: rest.heightMm }])
  return { window, card, chart, shared: how === 'shared', rooms: [band, ...rooms], words }
}

/** Panel above; chart and card side by side below it. */
function row({ inner, band }: Page, panel: Size, how: 'lying' | 'upright' | 'shared'): Arrangement | null {
  const cardSize = how === 'lying' || how === 'shared' ? lying(cardMm) : upright(cardMm)
  const wideMm = chartMm.long + (how === 'shared' ? 0 : gapMm + cardSize.widthMm)
  const highMm = how === 'upright' ? cardMm.long : chartMm.short
  const window = { xMm: inner.xMm, yMm: inner.yMm, ...panel }
  if (Math.max(panel.widthMm, wideMm) > inner.widthMm) return null
  if (panel.heightMm + gapMm + highMm > inner.heightMm) return null
  const rowMm = { yMm: bottomOf(window) + gapMm, heightMm: highMm }
  const chart = centred({ xMm: inner.xMm, widthMm: chartMm.long, ...rowMm }, lying(chartMm))
  const card =
    how === 'shared'
      ? centred(chart, cardSize)
      : centred({ xMm: rightOf(chart) + gapMm, widthMm: cardSize.widthMm, ...rowMm }, cardSize)
  const beside = rightwards(inner, window)
  const [words, rooms] = withWords([
    beside,
    under(inner, { ...inner, ...rowMm }, inner),
    rightwards(inner, { ...inner, ...rowMm, widthMm: wideMm }),
  ])
  return { window, card, chart, shared: how === 'shared', rooms: [band, ...rooms], words }
}

/** For the largest panels: one place for card and chart between the lower marks. */
function overBand({ inner, band }: Page, panel: Size): Arrangement | null {
  const place = { xMm: band.xMm, widthMm: band.widthMm, yMm: bottomOf(band) - chartMm.short, heightMm: chartMm.short }
  if (chartMm.long > band.widthMm || panel.widthMm > inner.widthMm) return null
  const window = { xMm: inner.xMm, yMm: inner.yMm, ...panel }
  if (bottomOf(window) + gapMm > Math.min(place.yMm, bottomOf(inner))) return null
  const chart = centred(place, lying(chartMm))
  const aside = { yMm: chart.yMm, heightMm: bottomOf(inner) - chart.yMm }
  const wideMm = chart.xMm - gapMm - inner.xMm
  const [words, rooms] = withWords([
    { ...aside, xMm: inner.xMm, widthMm: wideMm },
    { ...aside, xMm: rightOf(chart) + gapMm, widthMm: wideMm },
    rightwards(inner, window),
  ])
  return { window, card: centred(chart, lying(cardMm)), chart, shared: true, rooms, words }
}

/** What is left of a room below something, in some columns of it. */
const under = (room: Rect, thing: Rect, { xMm, widthMm }: Pick<Rect, 'xMm' | 'widthMm'>): Rect => {
  const yMm = bottomOf(thing) + gapMm
  return { xMm, widthMm, yMm, heightMm: Math.max(0, bottomOf(room) - yMm) }
}

/** What is left of a room to the right of something, as high as it is. */
const rightwards = (room: Rect, thing: Rect): Rect => {
  const xMm = rightOf(thing) + gapMm
  return { xMm, yMm: thing.yMm, widthMm: Math.max(0, rightOf(room) - xMm), heightMm: thing.heightMm }
}

/** Words want no more than this of a column; what is over is for patches. */
const mostWordsMm = 46

function halved(room: Rect, rooms: readonly Rect[]): [Rect, readonly Rect[]] {
  const over = room.heightMm - mostWordsMm - gapMm
  if (over < 12) return [room, rooms]
  const words = { ...room, heightMm: mostWordsMm }
  return [words, [...rooms, { ...room, yMm: bottomOf(words) + gapMm, heightMm: over }]]
}

/** The words take a strip at the foot of the largest room that leaves space for patches above; else they are left out. */
function withWords(rooms: readonly Rect[]): [Rect, readonly Rect[]] {
  const areaOf = ({ widthMm, heightMm }: Rect): number => widthMm * heightMm
  for (const room of rooms.toSorted((a, b) => areaOf(b) - areaOf(a))) {
    const wanted = Math.ceil(2200 / Math.max(1, room.widthMm)) + 5
    const rest = room.heightMm - wanted - gapMm
    if (room.widthMm < leastWordsMm || rest < 12) continue
    const words = { ...room, yMm: bottomOf(room) - wanted, heightMm: wanted }
    return [words, [...rooms.filter((other) => other !== room), { ...room, heightMm: rest }]]
  }
  return [{ ...rooms[0]!, heightMm: 0 }, rooms]
}
