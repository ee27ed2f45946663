import type { LabelMark } from '../../records/label.ts'
import type { Face, MeasureText } from '../measures.ts'
import { boundSpace, plain } from '../text.ts'

/** Room in which words are broken into lines: the face that is drawn, its em, and how wide a line may be. */
export type Room = { widthMm: number; sizeMm: number; face: Face; measure: MeasureText }

/** Lines of words; a word wider than a line is broken at a bound space if there is one, else between letters. */
export function wrapped(words: string, room: Room): string[] {
  const width = (text: string): number => room.measure(plain(text), room.face, room.sizeMm)
  const lines: string[] = []
  let line = ''
  const take = (word: string): void => {
    const longer = line === '' ? word : `${line} ${word}`
    if (width(longer) <= room.widthMm) {
      line = longer
      return
    }
    if (line !== '') lines.push(line)
    line = ''
    if (width(word) <= room.widthMm) line = word
    else if (word.includes(boundSpace)) for (const piece of word.split(boundSpace)) take(piece)
    else for (const letter of word) line = withLetter(letter)
  }
  const withLetter = (letter: string): string => {
    if (line === '' || width(line + letter) <= room.widthMm) return line + letter
    lines.push(line)
    return letter
  }
  for (const word of words.split(' ').filter(Boolean)) take(word)
  return (line === '' ? lines : [...lines, line]).map((each) => plain(each).replace(/ ·$/u, ''))
}

export const textMark = (
  text: string,
  xMm: number,
  baselineMm: number,
  sizeMm: number,
  face: Face = 'regular',
): LabelMark => ({ kind: 'text', xMm, baselineMm, sizeMm, face, text: plain(text) })

export const boxMark = (xMm: number, yMm: number, widthMm: number, heightMm: number): LabelMark => ({
  kind: 'box',
  xMm,
  yMm,
  widthMm,
  heightMm,
})
