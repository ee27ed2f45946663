/**
 * What is printed to make a chart of the sheet itself. The codes are sRGB; what a printer makes of them nobody knows before it is measured.
 * Greys from bare paper to black; hues all round the circle, deep ones like candies, and light ones, so that what a camera makes of
 * colours is held from every side. Our own choice.
 */
export const greys = [
  '#ffffff',
  '#dfdfdf',
  '#c1c1c1',
  '#a3a3a3',
  '#868686',
  '#696969',
  '#4d4d4d',
  '#2f2f2f',
  '#000000',
] as const

/** Some greys a second time, elsewhere and the other way round: so light that falls off to one side is not taken for a tone curve. */
export const greysAgain = [greys[7], greys[5], greys[4], greys[3], greys[1]] as const

/** In the order in which they lie on the sheet: neighbours differ. */
export const colours = [
  '#c8202c',
  '#9cc4e8',
  '#0c4a34',
  '#e8861c',
  '#2644b0',
  '#f0b898',
  '#6e0a18',
  '#2e9a48',
  '#c82f8e',
  '#f2d21f',
  '#0c1c5e',
  '#1c9cb8',
  '#8a4a1e',
  '#c4a8dc',
  '#6a2c9c',
  '#b89436',
] as const
