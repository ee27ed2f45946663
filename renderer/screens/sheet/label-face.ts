import regular from 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf?url'
import bold from 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf?url'

let loading: Promise<void> | undefined

/** The typeface that labels are measured and printed in, so that a preview breaks its lines where the print does. */
export function loadLabelFace(): Promise<void> {
  loading ??= (async () => {
    for (const [url, weight] of [
      [regular, '400'],
      [bold, '700'],
    ] as const)
      document.fonts.add(await new FontFace('Label', `url(${url})`, { weight }).load())
  })()
  return loading
}
