import { useEffect, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { isToBuy } from '../../../../shared-core/mix/stock.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useShelf } from '../../../state/shelf.ts'
import { useWording } from '../../mix/say-amounts.ts'
import { kindsInWords } from '../kinds-in-words.ts'
import { arrange } from '../list/arrange.ts'
import { walkRows } from '../row-keys.ts'
import { onHandInWords } from '../stock-words.ts'

/** The shelf beside the material that is open, in the order of the list. */
export function MaterialRail({ materials, openId }: { materials: readonly Material[]; openId: string }) {
  const [words, sort] = useShelf(useShallow((s) => [s.words, s.sort]))
  const wording = useWording()
  const found = arrange(materials, { words, sort, toBuyOnly: false })
  // what is open stands on it, whatever was looked for
  const isOpen = found.some((rail) => rail.materials.some(({ id }) => id === openId))
  const rails = isOpen ? found : arrange(materials, { words: '', sort, toBuyOnly: false })
  const current = useRef<HTMLAnchorElement>(null)
  useEffect(() => {
    current.current?.scrollIntoView?.({ block: 'nearest' })
  }, [openId])
  return (
    <nav className="material-rail scroll" aria-label="On the shelf" ref={walkRows}>
      {rails.map((rail) => (
        <section key={rail.kind}>
          <h2 className="fine">{kindsInWords(rail.kind)}</h2>
          <ul>
            {rail.materials.map((material) => {
              const to = { at: 'shelf', materialId: material.id } as const
              return (
                <li key={material.id}>
                  <PlaceLink
                    to={to}
                    // walking along the shelf leaves one step to go back, to the whole of it
                    how="replace"
                    data-row
                    ref={material.id === openId ? current : undefined}
                    aria-current={material.id === openId ? 'page' : undefined}
                  >
                    <span>{material.name}</span>
                    <span className="fine">
                      {isToBuy(material) ? <SmallTriangle /> : null}
                      {onHandInWords(material, wording)}
                    </span>
                  </PlaceLink>
                </li>
              )
            })}
          </ul>
        </section>
      ))}
    </nav>
  )
}
