import { z } from 'zod'
import { Layout } from '../records/area.ts'
import { Caution } from '../records/photo.ts'
import { Setup } from '../records/setup.ts'
import { command, query } from './call.ts'

const name = z.string().trim().min(1).max(120)

/** Set-ups: camera, light and settings of photos, calibrated once with a chart. */
export const setupCalls = {
  /** Newest calibration first. */
  'setups.list': query({ input: z.object({}), output: z.object({ setups: z.array(Setup) }), errors: [] }),
  /**
   * Learns a set-up from a photo whose layout has the chart and, where there is one, the card. `setupId` calibrates a
   * set-up again; null makes a new one. `cautions`: what spoils the calibration a little.
   */
  'setups.calibrate': command({
    input: z.object({
      photoId: z.string(),
      layout: Layout,
      setupId: z.string().nullable(),
      name,
      lightId: z.string().nullable(),
    }),
    output: z.object({ setup: Setup, cautions: z.array(Caution) }),
    errors: [
      'photo/absent',
      'photo/original-missing',
      'setup/absent',
      'setup/no-chart',
      'setup/chart-unreadable',
      'light/absent',
    ],
  }),
  'setups.change': command({
    input: z.object({
      setupId: z.string(),
      name: name.optional(),
      notes: z.string().max(4000).optional(),
      lightId: z.string().nullable().optional(),
    }),
    output: z.object({ setup: Setup }),
    errors: ['setup/absent', 'light/absent'],
  }),
  /** Readings taken with it stay; undo brings it back. */
  'setups.remove': command({
    input: z.object({ setupId: z.string() }),
    output: z.object({}),
    errors: ['setup/absent'],
  }),
}
