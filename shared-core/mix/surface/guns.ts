/**
 * How much of what leaves the gun stays on the part: common practice, no source. Large flat parts take the upper end, a tank
 * or a bicycle frame the lower. A data sheet or the painter's own figure comes first.
 */
export type GunKind = {
  name: string
  title: string
  /** 0 to 1. */
  efficiency: number
  low: number
  high: number
}

export const gunKinds: readonly GunKind[] = [
  { name: 'high-pressure', title: 'High-pressure gun', efficiency: 0.35, low: 0.25, high: 0.45 },
  { name: 'reduced-pressure', title: 'Reduced-pressure gun', efficiency: 0.6, low: 0.5, high: 0.7 },
  { name: 'low-pressure', title: 'Low-pressure, high-volume gun', efficiency: 0.65, low: 0.5, high: 0.75 },
  { name: 'small-low-pressure', title: 'Small low-pressure gun', efficiency: 0.6, low: 0.45, high: 0.7 },
  { name: 'airbrush', title: 'Airbrush', efficiency: 0.5, low: 0.35, high: 0.65 },
]
