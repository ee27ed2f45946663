import { groundOfLayers, knownGround } from '../../../shared-core/film/ground-of-panel.ts'
import type { KnownGround } from '../../../shared-core/records/film.ts'
import type { PanelDraft, Step } from '../../../shared-core/records/panel.ts'

export type BareWish = {
  /** What a bare strip would tell, and what is missing without it. */
  words: string
  /** What adds the strip to the steps. */
  button: string
}

const most = 'A strip of bare ground under clear tells the model most'

/**
 * Whether a bare strip is worth a word: on a panel of several steps without one, and on any panel of candy over a ground
 * that was never read bare under clear.
 * @param grounds  as the film model knows them; null while that is not known
 */
export function bareWish(draft: PanelDraft, grounds: readonly KnownGround[] | null): BareWish | null {
  const { layers, steps, status } = draft
  const hasCandy = layers.some(({ kind, coats }) => kind === 'candy' && coats > 0)
  const hasStrip = steps.some(({ coats }) => coats === 0)
  if (!hasCandy || hasStrip || status === 'retired') return null
  const written = groundOfLayers(layers)
  const missing = written && grounds ? missingInWords(written.name, knownGround(written, grounds)) : null
  if (missing === null && steps.length < 2) return null
  const uncleared = !layers.some(({ kind, coats }) => kind === 'clear' && coats > 0)
  const offer =
    status === 'planned'
      ? `${most}${missing === null ? '' : ': mask one off'}.`
      : `${most}. If this panel has one, write it down${missing === null ? '' : '; else photograph a bare piece under clear'}.`
  return {
    words: [missing, offer, uncleared ? 'This panel has no clear: its strip would tell of the raw ground only.' : null]
      .filter((each) => each !== null)
      .join(' '),
    button: status === 'planned' ? 'Leave a bare strip' : 'It has a bare strip',
  }
}

/** What is not known of a ground without its bare reading; null when it was read bare under clear. */
function missingInWords(name: string, known: KnownGround | null): string | null {
  switch (known?.bare) {
    case 'cleared':
      return null
    case 'raw':
      return `${known.name} was read bare before clear only, where it is duller.`
    case 'none':
    case undefined:
      return `${known?.name ?? name} was never read bare.`
  }
}

/** The bare strip stands at the bare end, before the others. */
export const withStrip = (steps: readonly Step[]): Step[] => [{ id: null, coats: 0, notes: '' }, ...steps]
