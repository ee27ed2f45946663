import type { LabelGrid } from '../../records/sheet.ts'

const a4 = { widthMm: 210, heightMm: 297 }
const letter = { widthMm: 8.5 * 25.4, heightMm: 11 * 25.4 }
const inch = 25.4

/** Sheets of labels that shops sell, by their measures alone (common practice, no source); any other is typed. */
export const commonGrids: readonly { name: string; grid: LabelGrid }[] = [
  {
    name: 'A4, 3 × 7 of 63.5 × 38.1 mm',
    grid: {
      paper: a4,
      leftMm: 7.2,
      topMm: 15.1,
      columns: 3,
      rows: 7,
      label: { widthMm: 63.5, heightMm: 38.1 },
      gapXMm: 2.5,
      gapYMm: 0,
    },
  },
  {
    name: 'A4, 3 × 8 of 70 × 37 mm',
    grid: {
      paper: a4,
      leftMm: 0,
      topMm: 0.5,
      columns: 3,
      rows: 8,
      label: { widthMm: 70, heightMm: 37 },
      gapXMm: 0,
      gapYMm: 0,
    },
  },
  {
    name: 'A4, 2 × 7 of 99.1 × 38.1 mm',
    grid: {
      paper: a4,
      leftMm: 4.65,
      topMm: 15.15,
      columns: 2,
      rows: 7,
      label: { widthMm: 99.1, heightMm: 38.1 },
      gapXMm: 2.5,
      gapYMm: 0,
    },
  },
  {
    name: 'A4, 2 × 4 of 99.1 × 67.7 mm',
    grid: {
      paper: a4,
      leftMm: 4.65,
      topMm: 13.1,
      columns: 2,
      rows: 4,
      label: { widthMm: 99.1, heightMm: 67.7 },
      gapXMm: 2.5,
      gapYMm: 0,
    },
  },
  {
    name: 'Letter, 3 × 10 of 2⅝ × 1 in',
    grid: {
      paper: letter,
      leftMm: (3 / 16) * inch,
      topMm: inch / 2,
      columns: 3,
      rows: 10,
      label: { widthMm: (21 / 8) * inch, heightMm: inch },
      gapXMm: inch / 8,
      gapYMm: 0,
    },
  },
  {
    name: 'Letter, 2 × 5 of 4 × 2 in',
    grid: {
      paper: letter,
      leftMm: (5 / 32) * inch,
      topMm: inch / 2,
      columns: 2,
      rows: 5,
      label: { widthMm: 4 * inch, heightMm: 2 * inch },
      gapXMm: (3 / 16) * inch,
      gapYMm: 0,
    },
  },
]
