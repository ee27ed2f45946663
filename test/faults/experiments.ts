import { damage } from './damage/damage.ts'
import { diskFull } from './disk-full/disk-full.ts'
import { drill } from './drill.ts'
import { fuzz } from './fuzz-all.ts'
import { kill } from './kill/kill.ts'
import type { Experiment } from './kit/experiment.ts'
import { order } from './order/order.ts'
import { soak } from './soak/soak.ts'
import { twoServices } from './two-services/two-services.ts'
import { watched } from './watched.ts'

/** Everything that is done to the application, in the order in which it is done. */
export const experiments: readonly Experiment[] = [
  kill,
  order,
  diskFull,
  damage,
  drill,
  twoServices,
  watched,
  soak,
  fuzz,
]
