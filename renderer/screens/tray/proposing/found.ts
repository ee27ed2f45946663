import { pointInQuad } from '../../../../shared-core/capture/geometry.ts'
import { evenCuts } from '../../../../shared-core/find/filing/strips.ts'
import { panelCodeIn } from '../../../../shared-core/find/symbol-text.ts'
import type { Layout, Point, Quad } from '../../../../shared-core/records/area.ts'
import type { Caution } from '../../../../shared-core/records/photo.ts'
import type { SheetOnPhoto } from '../../../../shared-core/records/photo-sheet.ts'
import { type Proposal, surely } from '../../../../shared-core/records/proposal.ts'
import type { Desk } from '../desk-state.ts'
import { type Mark, type Marks, marksOf } from '../marks.ts'

/** The sheet that surely lies in the photo, without how it was found. */
export function sureSheet({ layout, found }: Proposal): SheetOnPhoto | null {
  if (layout?.sheet) return layout.sheet
  const sheet = found?.sheet
  return sheet && sheet.confidence >= surely
    ? { print: sheet.print, toPhoto: sheet.toPhoto, missing: sheet.missing }
    : null
}

/** Any outline has one, also one that a hand has pulled across itself. */
export const meanOf = (quad: Quad): Point => [
  quad.reduce((sum, [x]) => sum + x, 0) / 4,
  quad.reduce((sum, [, y]) => sum + y, 0) / 4,
]

/** Something that was found and is not marked: perhaps it is what it looks like, or another of its kind is meant. */
export type Guess = {
  id: string
  what: 'panel' | 'card' | 'chart'
  quad: Quad
  steps: Quad[]
  isSure: boolean
}

/** Less likely ones are not worth a line. */
const worthDrawing = 0.12
/** More of a kind would hide the photo. */
const mostOfKind = 3

/** What was found beside the marks, likeliest first. A kind that somebody has marked needs no guess. */
export function guessesOf({
  made,
  marks,
  proposal,
  photo,
}: Pick<Desk, 'made' | 'marks' | 'proposal' | 'photo'>): Guess[] {
  const found = made?.found
  if (!found || photo?.filed) return []
  const guess =
    (what: Guess['what']) =>
    (thing: { quad: Quad; confidence: number; steps?: Quad[] }, i: number): Guess => ({
      id: `${what} ${i}`,
      what,
      quad: thing.quad,
      steps: thing.steps ?? [],
      isSure: thing.confidence >= surely,
    })
  const worth = ({ confidence }: { confidence: number }) => confidence >= worthDrawing
  const hasPanel = marks.list.length > 0
  const panels = hasPanel && !proposal ? [] : found.panels.filter(worth).map(guess('panel'))
  const cards = marks.card || marks.chart ? [] : found.cards.filter(worth).map(guess('card'))
  const chart = found.chart && !marks.chart && worth(found.chart) ? [guess('chart')(found.chart, 0)] : []
  const others = panels.filter(({ quad }) => !isMarkedThere(marks, quad) && !isKnownThere(marks, quad))
  return [...others.slice(0, mostOfKind), ...cards.slice(0, mostOfKind), ...chart]
}

/** Whether a marked panel lies where this outline lies. */
function isMarkedThere(marks: Marks, quad: Quad): boolean {
  const [x, y] = meanOf(quad)
  const size = Math.hypot(quad[2][0] - quad[0][0], quad[2][1] - quad[0][1])
  return marks.list.some((mark) => {
    if (mark.kind === 'round') return false
    const [mx, my] = meanOf(mark.quad)
    return Math.hypot(mx - x, my - y) < size / 4
  })
}

/** Whether the card, a tile or the chart lies there: that is no panel. */
function isKnownThere({ card, tiles, chart }: Marks, quad: Quad): boolean {
  const known = [...(card ? [card] : []), ...tiles, ...(chart ? [chart] : [])]
  return known.some((one) => pointInQuad(meanOf(quad), one.quad))
}

const guessNames = { panel: 'panel', card: 'grey card', chart: '24-patch chart' } as const

/** Cards and charts are offered only where none is marked: there is no other. */
export const guessInWords = ({ what, isSure }: Guess): string =>
  !isSure ? `perhaps a ${guessNames[what]}` : what === 'panel' ? 'another panel' : guessNames[what]

export const takeInWords = (guess: Guess): string => {
  const words = guessInWords(guess).replace(/^perhaps /, '')
  return `Take ${guess.isSure && guess.what !== 'panel' ? 'the ' : ''}${words}`
}

type Looked = Pick<Desk, 'made' | 'panel' | 'circumstances' | 'bothKept' | 'proposal' | 'marks' | 'aim' | 'last'>

/**
 * What still speaks against filing it unseen, and notes; what the user has said or marked since settles its doubt. Accepting what is
 * drawn settles only what one look settles: what was not found is still not there.
 */
export function openDoubts({ made, panel, circumstances, bothKept, proposal, marks, aim, last }: Looked): Caution[] {
  if (!made) return []
  const settles = (code: string): boolean => {
    const [about] = code.split('/')
    // a reference belongs to no panel
    if (aim === 'reference' && (about === 'panel' || about === 'retake' || about === 'steps')) return true
    if (code === 'place/no-panel' || code === 'place/unsure' || code === 'place/chart-alone')
      return !proposal && marks.list.length > 0 && !isAsOnLast(marks, last)
    if (code === 'steps/not-found') return !proposal && !marks.list.some(isCutEvenly)
    // whoever accepted or moved the marks has looked at them
    if (about === 'place' || about === 'steps' || code === 'photo/marked') return !proposal
    if (code === 'photo/reference') return aim === 'reference' || !proposal
    if (code.startsWith('card/')) return marks.card !== null || marks.chart !== null
    if (about === 'panel') return panel !== null && panel.id !== made.panelId
    if (about === 'light') return circumstances.lightId !== null
    // of the panel that was proposed, and not of another that was said since
    return code === 'retake/same-sitting' && (bothKept || panel?.id !== made.panelId)
  }
  return made.doubts.filter(({ code }) => !settles(code))
}

/** The steps of one piece are cut into equal strips: nobody has found their edges, by hand or otherwise. */
function isCutEvenly(mark: Mark): boolean {
  if (mark.kind !== 'bands' || mark.cuts.length === 0) return false
  const even = evenCuts(mark.stepIds.length)
  return mark.cuts.every((at, i) => Math.abs(at - even[i]!) < 1e-3)
}

/** Nothing was moved since the last photo's marks were laid here. */
function isAsOnLast({ list }: Marks, last: Layout | null): boolean {
  if (!last) return false
  const outline = (mark: Mark) => (mark.kind === 'round' ? [mark.centre, mark.radius] : mark.quad)
  return JSON.stringify(list.map(outline)) === JSON.stringify(marksOf(last).list.map(outline))
}

/** The earlier photo that this one was taken again for, as long as the panel stands that it shows too. */
export function retakeNow({ made, bothKept, photo, aim, panel }: Desk): Proposal['retakeOf'] {
  const isOfPanel = aim === 'panel' && panel !== null && panel.id === made?.panelId
  return made && isOfPanel && !bothKept && !photo?.filed ? made.retakeOf : null
}

/** A chart and no panel: it is no photo to file, but one to learn a set-up from. */
export const isChartAlone = ({ photo, made, marks, aim, from, freshSetupId }: Desk): boolean =>
  photo?.filed === false &&
  aim === 'panel' &&
  from !== 'last' &&
  freshSetupId === null &&
  marks.chart !== null &&
  marks.list.length === 0 &&
  made?.doubts.some(({ code }) => code === 'place/chart-alone') === true

/** What is drawn wants one look before it is filed. */
export const wantsLook = (desk: Desk): boolean => (desk.proposal && !isSureEnough(desk)) || desk.cutUnseen

/** A proposal that one key files: found in the photo itself, and nothing speaks against it. */
export const isSureEnough = (desk: Desk): boolean =>
  desk.proposal && desk.from === 'found' && !desk.cutUnseen && openDoubts(desk).every(({ weight }) => weight === 'note')

/** All that is wanting is which panel it is: whoever says that has accepted the rest. */
export const wantsPanelOnly = (desk: Desk): boolean =>
  desk.panel === null &&
  desk.aim === 'panel' &&
  desk.marks.list.length > 0 &&
  !desk.cutUnseen &&
  (!desk.proposal ||
    (desk.from === 'found' &&
      openDoubts(desk).every(({ code, weight }) => weight === 'note' || code.startsWith('panel/'))))

/** Whether a symbol in the photo names the panel that is proposed. */
export function isRead({ found, panelCode }: Proposal): boolean {
  const code = panelCode?.toLowerCase()
  return code !== undefined && found?.symbols.some(({ text }) => panelCodeIn(text)?.toLowerCase() === code) === true
}

/** How the panel was told, to stand above its code. */
export function whyThisPanel(made: Proposal): string {
  if (isRead(made))
    return made.found?.sheet ? 'Proposed, from the code on its sheet' : 'Proposed, from the code on its label'
  return isSaid(made) ? 'As the phone said' : 'As you said'
}

/** Whether what was sent with the photo means this panel: by its code, the number in it, or its title. */
function isSaid({ said, panelCode, panelTitle }: Proposal): boolean {
  const words = said?.panel.trim().toLowerCase() ?? ''
  const number = /^(?:p\s*-?\s*)?(\d{1,8})$/.exec(words)?.[1]
  const meant = [words, ...(number === undefined ? [] : [`p-${number.padStart(4, '0')}`])]
  return words !== '' && [panelCode, panelTitle].some((name) => meant.includes(name?.toLowerCase() ?? ''))
}
