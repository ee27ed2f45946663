import { create } from 'zustand'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { mostBeside, type SideItem, sameItem } from '../../shared-core/records/side.ts'
import { laySideBySide } from './side.ts'
import { useStore } from './store.ts'

/** Something put aside to be laid side by side. */
export type Pin = { item: SideItem; name: string; lab: Lab | null }

type Pins = {
  /** The rack that they belong to. */
  folder: string | null
  pins: readonly Pin[]
}

const noPins: Pins = { folder: null, pins: [] }
const keptKey = 'overground-pins'

function readKept(): Pins {
  const kept = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(keptKey)
  return kept === null ? noPins : (JSON.parse(kept) as Pins)
}

/** What is pinned, in the order it was; kept while other places are visited and when the page is loaded again. */
export const usePins = create<Pins>(() => readKept())
usePins.subscribe((pins) => sessionStorage.setItem(keptKey, JSON.stringify(pins)))

const none: readonly Pin[] = []

/** What is pinned of this rack. */
export function pinsNow(): readonly Pin[] {
  const { folder, pins } = usePins.getState()
  return folder === (useStore.getState().rack?.folder ?? null) ? pins : none
}

export function usePinned(): readonly Pin[] {
  const here = useStore((s) => s.rack?.folder ?? null)
  return usePins((s) => (s.folder === here ? s.pins : none))
}

export const isAmong = (pins: readonly Pin[], item: SideItem): boolean => pins.some((pin) => sameItem(pin.item, item))

const setPins = (pins: readonly Pin[]): void =>
  usePins.setState({ folder: useStore.getState().rack?.folder ?? null, pins })

/** Pins it, or takes its pin out. */
export function togglePin(pin: Pin): void {
  const pins = pinsNow()
  if (isAmong(pins, pin.item)) setPins(pins.filter(({ item }) => !sameItem(item, pin.item)))
  else addPins([pin])
}

/** Pins what is not pinned yet, as far as there is room. */
export function addPins(more: readonly Pin[]): void {
  const pins = [...pinsNow()]
  let left = 0
  for (const pin of more) {
    if (isAmong(pins, pin.item)) continue
    if (pins.length < mostBeside) pins.push(pin)
    else left++
  }
  if (left > 0)
    useStore.getState().say('Six are pinned, as many as lie side by side.', 'Take a pin out to put another in.')
  setPins(pins)
}

export const letGoOfPins = (): void => setPins([])

/** Lays them side by side, after what they are compared with. */
export function comparePins(first: SideItem | null): void {
  laySideBySide([...(first ? [first] : []), ...pinsNow().map(({ item }) => item)])
}
