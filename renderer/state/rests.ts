/** How long is waited, ms. Tests set it shorter. */
export const rests = {
  /** What matters more is asked first; who goes on meanwhile never asks. */
  afterOthersMs: 200,
  /** What is done sooner is not worth a word, which would only flicker. */
  longMs: 400,
}
