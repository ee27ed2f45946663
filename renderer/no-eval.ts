import { config } from 'zod'

// zod writes itself faster code where it may, and tries whether it may: the policy of every page forbids it, and would say so at
// each start. It is told so before the first schema is made, for which this file is the first that `main.tsx` imports.
config({ jitless: true })
