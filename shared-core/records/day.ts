import { z } from 'zod'

/** A calendar day as ISO 8601 writes it. */
export const Day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/)
