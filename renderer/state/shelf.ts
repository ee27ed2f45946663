import { create } from 'zustand'

/** How the shelf is looked at, what was typed about a material and is not kept yet, and what lies over the place. */

export type ShelfSort = 'name' | 'to-buy' | 'opened' | 'cost'
/** Every material by kind, or what can still be mixed of them. */
export type ShelfView = 'materials' | 'still-mixed'

/** What was typed into a material's fields, by field; only what differs from what is kept. */
export type FactTexts = Readonly<Record<string, string>>

type Shelf = {
  view: ShelfView
  words: string
  sort: ShelfSort
  toBuyOnly: boolean
  drafts: Readonly<Record<string, FactTexts>>
  /** A new material is being added. */
  adding: boolean
  /** The material in whose place another is to be put. */
  replacing: string | null
}

/** A reload loses nothing that was typed. */
const key = 'overground-shelf-drafts'
function kept(): Shelf['drafts'] {
  const text = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(key)
  return text === null ? {} : (JSON.parse(text) as Shelf['drafts'])
}

export const useShelf = create<Shelf>(() => ({
  view: 'materials',
  words: '',
  sort: 'name',
  toBuyOnly: false,
  drafts: kept(),
  adding: false,
  replacing: null,
}))

function setDrafts(drafts: Shelf['drafts']): void {
  sessionStorage.setItem(key, JSON.stringify(drafts))
  useShelf.setState({ drafts })
}

/** @param text  null: as it is kept */
export function typeFact(materialId: string, fact: string, text: string | null): void {
  const { [materialId]: old = {}, ...others } = useShelf.getState().drafts
  const { [fact]: _, ...rest } = old
  const next = text === null ? rest : { ...rest, [fact]: text }
  setDrafts(Object.keys(next).length === 0 ? others : { ...others, [materialId]: next })
}

export function dropDraft(materialId: string): void {
  const { [materialId]: _, ...others } = useShelf.getState().drafts
  setDrafts(others)
}

export const closeShelfDialog = (): void => useShelf.setState({ adding: false, replacing: null })
