import type { MixFrom } from '../../state/router.ts'

export function MixPlace({ cupId, from }: { cupId: string | null; from: MixFrom | null }) {
  return <main className="mix-place">{cupId ?? from?.key}</main>
}
