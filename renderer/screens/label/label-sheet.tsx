import type { LabelMark, LabelPage } from '../../../shared-core/records/label.ts'

/** A label drawn from its marks; one user unit is a millimetre. */
export function LabelSheet({ page, className }: { page: LabelPage; className: string }) {
  const { widthMm, heightMm } = page.size
  const said = page.marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []))
  return (
    <svg
      className={className}
      viewBox={`0 0 ${widthMm} ${heightMm}`}
      width={`${widthMm}mm`}
      height={`${heightMm}mm`}
      role="img"
      aria-label={said.join(', ')}
    >
      {page.marks.map((mark, i) => (
        <Mark key={i} mark={mark} />
      ))}
    </svg>
  )
}

function Mark({ mark }: { mark: LabelMark }) {
  switch (mark.kind) {
    case 'text':
      return (
        <text x={mark.xMm} y={mark.baselineMm} fontSize={mark.sizeMm} fontWeight={mark.face === 'bold' ? 700 : 400}>
          {mark.text}
        </text>
      )
    case 'box':
      return <rect x={mark.xMm} y={mark.yMm} width={mark.widthMm} height={mark.heightMm} />
    case 'qr': {
      const module = mark.sideMm / mark.rows.length
      return <path d={qrPath(mark.rows, mark.xMm, mark.yMm, module)} />
    }
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
