/** "1 panel", "61 panels". */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`

const kinds: Readonly<Record<string, readonly [string, string?]>> = {
  panel: ['panel'],
  step: ['step'],
  layer: ['layer'],
  tag: ['tag'],
  mixture: ['mixture'],
  mixture_part: ['part of a mixture', 'parts of mixtures'],
  booth_conditions: ['booth note'],
  reading: ['reading'],
  filing: ['filed photo'],
  area: ['mark on a photo', 'marks on photos'],
  tile: ['mark on a photo', 'marks on photos'],
  change_row: ['line of the history', 'lines of the history'],
}

/** "120 lines of the history, 31 readings, 2 others": rows by table, most first. */
export function kindsInWords(of: Readonly<Record<string, number>>): string {
  const words = new Map<string, { count: number; many: string | undefined }>()
  for (const [table, count] of Object.entries(of)) {
    const [one, many] = kinds[table] ?? ['other']
    words.set(one, { count: (words.get(one)?.count ?? 0) + count, many })
  }
  return [...words]
    .toSorted(([a, { count: x }], [b, { count: y }]) => Number(a === 'other') - Number(b === 'other') || y - x)
    .map(([one, { count, many }]) => counted(count, one, many))
    .join(', ')
}
