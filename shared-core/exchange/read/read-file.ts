import { Refusal } from '../../contract/refusal.ts'
import { type MeasuredFile, mostBytes, tooLarge } from '../measured.ts'
import { readCgats } from './cgats.ts'
import { findHeader, readCsv } from './csv.ts'
import { readCxf } from './cxf.ts'

const unknownFormat = () =>
  new Refusal(
    'exchange/unknown-format',
    'This is no file of measurements that Overground reads. Nothing was taken.',
    'Export from the instrument as CGATS, CxF3, or CSV with a line of headings: a name and L, a, b, or one column for each wavelength.',
  )

/**
 * Reads what an instrument's program exported; which format it is, its content says and not its name.
 * @param text  the file's characters
 * @throws Refusal `exchange/…`, with the line where there is one; nothing is half read
 */
export function readMeasuredFile(text: string): MeasuredFile {
  if (text.length > mostBytes) throw tooLarge()
  const plain = text.replace(/^\uFEFF/, '')
  // a picture or a program, not a text
  if (plain.includes('\0')) throw unknownFormat()
  const file = read(plain)
  if (file.samples.length === 0)
    throw new Refusal(
      'exchange/nothing-usable',
      'The file holds no measured colour: neither Lab figures nor reflectances.',
      'Export the measurements themselves, as Lab or as a spectrum.',
    )
  return file
}

function read(text: string): MeasuredFile {
  if (/^\s*</.test(text)) return readCxf(text)
  if (/^[ \t]*BEGIN_DATA_FORMAT\s/im.test(text) && /^[ \t]*BEGIN_DATA\s/im.test(text)) return readCgats(text)
  // the first line of a file of the standard says so, also where what follows is cut off
  if (/^\s*"?(CGATS[.\s]|ISO\s?28178)/i.test(text)) return readCgats(text)
  const header = findHeader(text.replace(/^sep=(.)\r?\n/i, '\n'))
  if (!header) throw unknownFormat()
  return readCsv(text.replace(/^sep=(.)\r?\n/i, '\n'), header)
}
