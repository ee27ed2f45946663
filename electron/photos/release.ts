/**
 * Gives back at once what bytes take that nobody will look at again; they are empty afterwards. Left to itself the engine does
 * so much later, as it hardly notices memory outside of its own: hundreds of photos would pile up.
 * @param bytes  not a part of something larger: that is left alone
 */
export function release(bytes: Uint8Array): void {
  const { buffer, byteLength } = bytes
  if (buffer instanceof ArrayBuffer && buffer.byteLength === byteLength) buffer.transfer(0)
}
