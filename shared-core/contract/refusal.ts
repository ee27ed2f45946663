/**
 * An expected failure on its way to the caller. Dispatch turns it into a value `{ code, message, remedy }` when the call
 * declares its code; anything else that is thrown is a bug.
 */
export class Refusal extends Error {
  override readonly name = 'Refusal'
  readonly code: string
  readonly remedy: string

  /** @param code `area/what`; @param message what happened, in trade words; @param remedy what to do next */
  constructor(code: string, message: string, remedy: string) {
    super(message)
    this.code = code
    this.remedy = remedy
  }
}
