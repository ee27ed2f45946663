/** Looking whether everything is whole, and putting right what is not. */
export const checkCalls = {}
