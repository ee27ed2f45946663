import type { Handlers } from '../../dispatch.ts'

/** Looking whether everything is whole, and putting right what is not. */
export const checkHandlers = {} satisfies Partial<Handlers>
