import './mix.css'
import './bench.css'
import './bench-rail.css'
import './mixed.css'
import type { MixFrom } from '../../state/router.ts'
import { HowMuch } from './amount/how-much.tsx'
import { CupPlace } from './bench/cup-place.tsx'
import { MixHome } from './home/mix-home.tsx'

/** Cups there are, how much to mix of one, and the cup that is being poured. */
export function MixPlace({ cupId, from }: { cupId: string | null; from: MixFrom | null }) {
  if (cupId !== null) return <CupPlace key={cupId} cupKey={cupId} />
  if (from !== null) return <HowMuch key={`${from.kind} ${from.key}`} from={from} />
  return <MixHome />
}
