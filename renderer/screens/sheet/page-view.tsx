import { cellAt, labelsOnSheet } from '../../../shared-core/label/sheet/on-grid.ts'
import type { LabelGrid, Placement, SheetMark, SheetPage } from '../../../shared-core/records/sheet.ts'
import { client } from '../../client/client.ts'

type Props = {
  page: SheetPage
  className: string
  /** The printer's correction; a preview has none. */
  placement?: Placement
  /** Where labels lie on the sheet: drawn in a preview, never printed. */
  guides?: LabelGrid | null
}

/** A page drawn from its marks; one user unit is a millimetre. */
export function PageView({ page, className, placement, guides }: Props) {
  const { widthMm, heightMm } = page.size
  const said = page.marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []))
  const marks = page.marks.map((mark, i) => <Mark key={i} mark={mark} />)
  return (
    <svg
      className={className}
      viewBox={`0 0 ${widthMm} ${heightMm}`}
      width={`${widthMm}mm`}
      height={`${heightMm}mm`}
      role="img"
      aria-label={said.join(', ')}
    >
      {guides ? <Guides grid={guides} /> : null}
      {placement ? <g transform={matrix(placement)}>{marks}</g> : marks}
    </svg>
  )
}

function Guides({ grid }: { grid: LabelGrid }) {
  const { widthMm, heightMm } = grid.label
  return (
    <g className="print-guides">
      {Array.from({ length: labelsOnSheet(grid) }, (_, place) => {
        const { xMm, yMm } = cellAt(grid, place)
        return <rect key={place} x={xMm} y={yMm} width={widthMm} height={heightMm} rx={1} />
      })}
    </g>
  )
}

const matrix = ({ scaleX, scaleY, moveXMm, moveYMm }: Placement): string =>
  `matrix(${scaleX} 0 0 ${scaleY} ${moveXMm} ${moveYMm})`

function Mark({ mark }: { mark: SheetMark }) {
  switch (mark.kind) {
    case 'text':
      return (
        <text x={mark.xMm} y={mark.baselineMm} fontSize={mark.sizeMm} fontWeight={mark.face === 'bold' ? 700 : 400}>
          {mark.text}
        </text>
      )
    case 'box':
      return <rect x={mark.xMm} y={mark.yMm} width={mark.widthMm} height={mark.heightMm} />
    case 'paint':
      return <rect x={mark.xMm} y={mark.yMm} width={mark.widthMm} height={mark.heightMm} style={{ fill: mark.hex }} />
    case 'picture':
      return (
        <image
          href={client().pictureUrl(mark.key)}
          x={mark.xMm}
          y={mark.yMm}
          width={mark.widthMm}
          height={mark.heightMm}
          preserveAspectRatio="xMidYMid slice"
        />
      )
    case 'qr':
      return <path d={qrPath(mark.rows, mark.xMm, mark.yMm, mark.sideMm / mark.rows.length)} />
  }
}

/** Dark runs of each row as one path, so that no hairline shows between modules. */
function qrPath(rows: readonly string[], xMm: number, yMm: number, module: number): string {
  let path = ''
  rows.forEach((row, y) => {
    for (const run of row.matchAll(/1+/g)) {
      const width = run[0].length * module
      path += `M${xMm + run.index * module} ${yMm + y * module}h${width}v${module}h${-width}z`
    }
  })
  return path
}
