/** Writes TIFF files with directories below directories. Sources: TIFF 6.0 section 2; TIFF Supplement 1 (SubIFDs). */
export type Entry =
  | { tag: number; type: 'byte' | 'short' | 'long'; values: readonly number[] }
  | { tag: number; type: 'ascii'; text: string }
  /** A LONG that names the place of something written behind the directories. */
  | { tag: number; type: 'place'; of: Buffer }
  /** LONGs that name the places of further directories. */
  | { tag: number; type: 'below'; directories: readonly (readonly Entry[])[] }

const codes = { byte: 1, ascii: 2, short: 3, long: 4, place: 4, below: 4 }

export function tiffBytes(first: readonly Entry[]): Buffer {
  const parts: Buffer[] = [Buffer.from('II*\0\x08\0\0\0', 'latin1')]
  let end = 8
  const append = (bytes: Buffer): number => {
    const at = end
    const padded = bytes.length % 2 ? Buffer.concat([bytes, Buffer.alloc(1)]) : bytes
    parts.push(padded)
    end += padded.length
    return at
  }
  const longs = (values: readonly number[]) => {
    const bytes = Buffer.alloc(4 * values.length)
    values.forEach((v, i) => bytes.writeUInt32LE(v, 4 * i))
    return bytes
  }
  const write = (entries: readonly Entry[]): number => {
    const directory = Buffer.alloc(2 + 12 * entries.length + 4)
    const at = append(directory)
    directory.writeUInt16LE(entries.length, 0)
    entries
      .toSorted((a, b) => a.tag - b.tag)
      .forEach((entry, i) => {
        const slot = 2 + 12 * i
        const [count, body] = bodyOf(entry, append, write, longs)
        directory.writeUInt16LE(entry.tag, slot)
        directory.writeUInt16LE(codes[entry.type], slot + 2)
        directory.writeUInt32LE(count, slot + 4)
        if (body.length <= 4) body.copy(directory, slot + 8)
        else directory.writeUInt32LE(append(body), slot + 8)
      })
    return at
  }
  write(first)
  return Buffer.concat(parts)
}

type Append = (bytes: Buffer) => number

function bodyOf(
  entry: Entry,
  append: Append,
  write: (entries: readonly Entry[]) => number,
  longs: (values: readonly number[]) => Buffer,
): [count: number, body: Buffer] {
  switch (entry.type) {
    case 'ascii':
      return [entry.text.length + 1, Buffer.from(`${entry.text}\0`, 'latin1')]
    case 'place':
      return [1, longs([append(entry.of)])]
    case 'below':
      return [entry.directories.length, longs(entry.directories.map(write))]
    case 'byte':
      return [entry.values.length, Buffer.from(entry.values)]
    case 'short':
      return [entry.values.length, Buffer.from(new Uint16Array(entry.values).buffer)]
    case 'long':
      return [entry.values.length, longs(entry.values)]
  }
}
