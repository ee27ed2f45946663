import { cutsOf, usualRun } from '../../../../shared-core/find/filing/strips.ts'
import type { Layout, Quad } from '../../../../shared-core/records/area.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import type { Proposal } from '../../../../shared-core/records/proposal.ts'
import { client } from '../../../client/client.ts'
import { isOnlyLookedAt } from '../../../commands/command.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { fileInPlaceOf } from '../desk-actions.ts'
import { changeMarks, chooseMark, choosePanel, useDesk } from '../desk-state.ts'
import { type BandsMark, type Mark, type Marks, marksOf } from '../marks.ts'
import { fitToSteps } from '../step-marks.ts'
import { type Guess, guessesOf, isRead, retakeNow } from './found.ts'
import { isMarked, isUntouched, keepWhatHolds, layOnDesk } from './laying.ts'
import { keepAnswer } from './said.ts'

const get = useDesk.getState
const set = useDesk.setState

/**
 * Looks at the photo again; a panel that was said by hand stays said. Untouched, the desk takes what is found as a
 * proposal; what somebody has marked is replaced in a step that can be undone.
 */
export async function lookAgain(): Promise<void> {
  const before = get()
  const { photo, panel, made, looking } = before
  if (!photo || looking) return
  const wasUntouched = isUntouched(before)
  const saidByHand = panel !== null && !(made && panel.id === made.panelId && isRead(made)) ? panel.id : null
  set({ looking: true })
  let done = await act('proposals.again', { photoId: photo.id, panelId: null })
  if (done && saidByHand !== null) done = await act('proposals.again', { photoId: photo.id, panelId: saidByHand })
  if (get().photo?.id !== photo.id) return
  set({ looking: false })
  if (!done) return
  const { proposal } = done
  keepAnswer(proposal)
  if (!proposal.layout || !isMarked(proposal.layout)) {
    set({ made: proposal })
    const why = proposal.doubts[0]
    useStore.getState().say(why?.message ?? 'Nothing more was found.', why?.remedy ?? 'Mark it by hand.')
    return
  }
  const named = proposal.panelId !== null && proposal.panelId !== get().panel?.id
  const found = named ? ((await act('panels.get', { key: proposal.panelId! }))?.panel ?? null) : get().panel
  if (get().photo?.id !== photo.id) return
  if (wasUntouched && isUntouched(get())) layMade(proposal, found)
  else putInPlace(proposal, proposal.layout, found)
}

/** Lays what was found as a proposal, in the view that one has. */
function layMade(proposal: Proposal, panel: Panel | null): void {
  const before = get()
  if (!before.photo) return
  layOnDesk(before.photo, null, null, { proposal, panel })
  keepWhatHolds(before)
}

/** In the place of what somebody has marked. */
function putInPlace(proposal: Proposal, layout: Layout, panel: Panel | null): void {
  set({ made: proposal })
  if (panel && panel.id !== get().panel?.id) choosePanel(panel)
  const fresh = marksOf(layout)
  changeMarks(panel ? fitToSteps(fresh, panel.steps) : fresh)
  useStore.getState().say('What was found again is marked.', 'Undo brings back what was marked before.')
}

/**
 * The panel was said by hand: what its steps make of the photo, and which others show it, is asked anew. A proposal is laid anew
 * as long as nothing else was begun; marks that somebody has accepted stay where they are.
 */
export async function renewForPanel(): Promise<void> {
  const desk = get()
  const { photo, panel, made, marks } = desk
  if (!photo || photo.filed || !panel || !made || panel.id === made.panelId) return
  if (isOnlyLookedAt(useStore.getState())) return
  const answer = await client().call('proposals.again', { photoId: photo.id, panelId: panel.id })
  const now = get()
  // what was said by hand stands, whether or not more was found
  if (!answer.ok || now.photo?.id !== photo.id || now.panel?.id !== panel.id) return
  const { proposal } = answer.value
  keepAnswer(proposal)
  // nor is a tool taken out of anybody's hand
  const isBegun = now.tool !== null || now.marks !== marks || now.aim !== 'panel'
  if (!isBegun && now.proposal && now.from === 'found' && proposal.layout) return layMade(proposal, panel)
  set({ made: proposal })
  if (!isBegun && now.cutUnseen && proposal.layout) cutAsFound(proposal, proposal.layout)
}

/** Where the steps were found, they are cut there and not into equal strips. */
function cutAsFound({ doubts }: Proposal, layout: Layout): void {
  const { marks } = get()
  const [mine, more] = marks.list
  const [found] = marksOf(layout).list
  if (more || mine?.kind !== 'bands' || found?.kind !== 'bands' || found.cuts.length !== mine.cuts.length) return
  if (doubts.some(({ code }) => code === 'steps/not-found') || !liesAlike(mine.quad, found.quad)) return
  const { run, cuts, stepIds, quad } = found
  const cutUnseen = doubts.some(({ code }) => code.startsWith('steps/'))
  set({ marks: { ...marks, list: [{ ...mine, quad, run, cuts, stepIds }] }, cutUnseen })
}

/** Corner for corner in about the same place. */
function liesAlike(a: Quad, b: Quad): boolean {
  const size = Math.hypot(a[2][0] - a[0][0], a[2][1] - a[0][1])
  return a.every(([x, y], i) => Math.hypot(x - b[i]![0], y - b[i]![1]) < size / 200)
}

/** Takes something that was only guessed among the marks; the rest of a proposal is accepted with it. */
export function takeGuess(guess: Guess): void {
  const { marks, panel } = get()
  const { settings } = useStore.getState()
  if (guess.what === 'card') {
    changeMarks({ ...marks, card: { quad: guess.quad, lab: settings.card } })
    chooseMark({ key: 'card', handle: null, band: 0 })
  } else if (guess.what === 'chart') {
    changeMarks({ ...marks, chart: { quad: guess.quad, table: 'avg30' } })
    chooseMark({ key: 'chart', handle: null, band: 0 })
  } else {
    const list: Mark[] = [...marks.list.filter(({ kind }) => kind !== 'bands'), panelAsMark(guess)]
    const next: Marks = { ...marks, list }
    changeMarks(panel ? fitToSteps(next, panel.steps) : next)
    set({ from: 'found' })
    chooseMark({ key: list.length - 1, handle: null, band: 0 })
  }
}

/** A panel that was found, cut where steps were seen on it. */
export function panelAsMark({ quad, steps }: Pick<Guess, 'quad' | 'steps'>): BandsMark {
  const { run, cuts } = cutsOf(quad, steps) ?? { run: usualRun(quad), cuts: [] }
  return { kind: 'bands', quad, run, cuts: [...cuts], stepIds: [null, ...cuts.map(() => null)] }
}

/** The likeliest guess; the key for it takes one after the other. */
export const nextGuess = (): Guess | null => guessesOf(get())[0] ?? null

/** The earlier photo of the same panel gives way to this one, as soon as this one is filed. */
export async function keepRetake(): Promise<void> {
  const retake = retakeNow(get())
  if (retake) await fileInPlaceOf(retake)
}
