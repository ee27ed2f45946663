import { z } from 'zod'
import { PanelFilter } from '../records/panel.ts'
import { query } from './call.ts'

/** Colours of many panels at once, for the colour map. */
export const mapCalls = {
  /**
   * Every step that has a colour, of all panels that fit. Columns, for a rack may hold tens of thousands: row for row one
   * step of `steps`, one panel of `panels`. Panels in the order of their codes' age, steps as they lie on the panel.
   */
  'panels.colours': query({
    input: z.object({ filter: PanelFilter }),
    output: z.object({
      panels: z.object({ ids: z.array(z.string()), codes: z.array(z.string()), titles: z.array(z.string()) }),
      steps: z.object({
        /** Which row of `panels`. */
        panel: z.array(z.int()),
        coats: z.array(z.number()),
        /** Lab D50, 2° of the reading that its band shows, to 0.01. */
        l: z.array(z.number()),
        a: z.array(z.number()),
        b: z.array(z.number()),
        /** 90 % bound in dE00, to 0.01. */
        bound90: z.array(z.number()),
      }),
      /** How many panels fit, also those without a colour. */
      panelCount: z.int().nonnegative(),
    }),
    errors: [],
  }),
}
