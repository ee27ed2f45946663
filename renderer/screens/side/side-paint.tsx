import type { SideShown } from '../../../shared-core/contract/side-calls.ts'
import { toD50 } from '../../../shared-core/match/compare.ts'
import type { SideItem } from '../../../shared-core/records/side.ts'
import { client } from '../../client/client.ts'
import { paintOf, useScreenSpace } from '../../parts/gamut-word.ts'
import type { SideHow } from '../../state/side-address.ts'
import { type Bay, drawnSize } from './scale.ts'
import { usePicture } from './use-picture.ts'

type Props = {
  item: SideItem
  shown: SideShown | null
  shows: SideHow['shows']
  bay: Bay
  scale: number | null
}

/** The flat colour of a reading, and over it its corrected photo once that has come. No border: paints touch. */
export function SidePaint({ item, shown, shows, bay, scale }: Props) {
  const space = useScreenSpace()
  const { made } = usePicture(item, shown, shows)
  if (!shown) return <span className="side-paint paint none" />
  const { css } = paintOf(toD50(shown.reading), space)
  const size = made && drawnSize(made, bay, scale)
  return (
    <span className="side-paint" style={{ background: css }}>
      {made && size ? (
        <img
          key={made.picture}
          src={client().pictureUrl(made.picture)}
          alt=""
          draggable={false}
          decoding="async"
          style={{ width: `${size.width}px`, height: `${size.height}px` }}
        />
      ) : null}
    </span>
  )
}
