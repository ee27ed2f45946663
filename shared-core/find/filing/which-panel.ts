import type { Lab } from '../../colour/lab.ts'
import type { Layer, Panel } from '../../records/panel.ts'
import type { Caution } from '../../records/photo.ts'
import { doubts } from './doubts.ts'

export type PanelFacts = Pick<Panel, 'id' | 'code' | 'title' | 'sprayedOn' | 'steps'> & {
  layers: readonly Pick<Layer, 'kind'>[]
}
/** A panel, and what its steps were read as last (null: never), in their order. */
export type KnownPanel = { panel: PanelFacts; read: readonly (Lab | null)[] }

/** What a code or name leads to. */
export type Meant = KnownPanel | 'in-trash' | 'unknown' | 'several'

export type SaidOfPanel = {
  /** Codes read in the picture, each once. */
  seen: ReadonlyArray<{ code: string; meant: Meant }>
  /** What whoever sent the photo said; null: nothing. */
  said: { words: string; meant: Meant } | null
  /** The painter has said it. */
  chosen: KnownPanel | null
  /** The painter has taken back what was proposed or chosen, and said nothing else. */
  isWithdrawn: boolean
}

const isPanel = (meant: Meant | undefined): meant is KnownPanel => typeof meant === 'object'

/** Which panel a photo shows. Only what was said counts: by the painter, by a code in the picture, by whoever sent it. */
export function whichPanel({ seen, said, chosen, isWithdrawn }: SaidOfPanel): {
  panel: KnownPanel | null
  doubt: Caution | null
} {
  if (isWithdrawn) return { panel: null, doubt: doubts.withdrawn() }
  const [first, ...others] = seen
  if (chosen) {
    const { id, code } = chosen.panel
    // by the panel it leads to: a code is the same in small letters
    const isOther = first !== undefined && seen.every(({ meant }) => !(isPanel(meant) && meant.panel.id === id))
    return { panel: chosen, doubt: isOther ? doubts.otherThanChosen(first.code, code) : null }
  }
  if (first && others.length > 0) return { panel: null, doubt: doubts.severalCodes(seen.map(({ code }) => code)) }
  if (first) {
    if (first.meant === 'in-trash') return { panel: null, doubt: doubts.inTrash(first.code) }
    if (!isPanel(first.meant)) return { panel: null, doubt: doubts.unknownCode(first.code) }
    const isOther = said !== null && !(isPanel(said.meant) && said.meant.panel.id === first.meant.panel.id)
    if (isOther) {
      const words = isPanel(said.meant) ? said.meant.panel.code : `“${said.words}”`
      return { panel: first.meant, doubt: doubts.otherThanSaid(first.code, words) }
    }
    return { panel: first.meant, doubt: null }
  }
  if (!said) return { panel: null, doubt: doubts.noCode() }
  if (isPanel(said.meant)) return { panel: said.meant, doubt: null }
  if (said.meant === 'several') return { panel: null, doubt: doubts.saidSeveral(said.words) }
  if (said.meant === 'in-trash') return { panel: null, doubt: doubts.inTrash(said.words) }
  return { panel: null, doubt: doubts.saidUnknown(said.words) }
}
