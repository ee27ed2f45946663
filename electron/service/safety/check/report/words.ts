/** Counts and sizes in the words of a report. */

/** "1 photo", "124 photos". @param many  where it is not the word with an s */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`

/** "is" or "are". */
export const be = (count: number): string => (count === 1 ? 'is' : 'are')

const units = ['bytes', 'kB', 'MB', 'GB', 'TB']

/** "3.4 MB", in thousands, as drives are sold. */
export function sizeInWords(byteCount: number): string {
  let size = byteCount
  let unit = 0
  while (size >= 1000 && unit < units.length - 1) {
    size /= 1000
    unit++
  }
  return `${size >= 100 || unit === 0 ? Math.round(size) : size.toFixed(1)} ${units[unit]}`
}
