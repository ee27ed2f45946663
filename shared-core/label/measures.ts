export type Face = 'regular' | 'bold'
/** Width in millimetres of a text whose em is `sizeMm`. */
export type MeasureText = (text: string, face: Face, sizeMm: number) => number
/** Rows of a QR symbol without quiet zone: one character a module, '1' dark and '0' light. */
export type QrRows = (text: string) => string[]

/**
 * Smallest em: 1.9 mm (5.4 pt), at which a capital of DejaVu Sans Condensed is 1.4 mm and an x 1.04 mm high, still read at
 * arm's length. Below that the label flows on to a second one.
 */
export const smallestTextMm = 1.9
/** Smallest em of the code (7.4 pt). */
export const smallestCodeMm = 2.6
/** QR Code (ISO/IEC 18004): a quiet zone of 4 modules. */
export const quietModules = 4
/** 0.33 mm a module and 8 mm a side: read by a phone at hand's breadth, and 2.6 dots of a 203 dpi printer. */
export const smallestModuleMm = 0.33
export const smallestQrMm = 8
/** Label printers leave about this much blank at the edges (common practice, no source). */
export const marginMm = 1.6
/** Extents of DejaVu Sans Condensed in ems: ascender and descender of its hhea table (1901 and 483 of 2048 units). */
export const ascent = 1901 / 2048
export const descent = 483 / 2048
/** Height of a capital, 1493 of 2048 units. */
export const capital = 1493 / 2048
/** Height of a tall letter such as f, 1556 of 2048 units. */
export const tallLetter = 1556 / 2048
/** Ems kept free before a quiet zone: some letters reach a little beyond their width. */
export const overhang = 0.08
/** Distance of two baselines in ems: the least at which no letters touch. */
export const closest = 1.17
/** Lines stand no further apart than this; there is room for it on a label with little to say. */
export const loosest = 1.4
/** More parts than this nobody would stick on a panel. */
export const mostParts = 20

export const clamp = (value: number, from: number, to: number): number => Math.min(Math.max(value, from), to)
