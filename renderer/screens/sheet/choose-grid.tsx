import { useState } from 'react'
import { commonGrids } from '../../../shared-core/label/sheet/grids.ts'
import { gridFault, labelsOnSheet } from '../../../shared-core/label/sheet/on-grid.ts'
import { papers } from '../../../shared-core/label/sheet/paper.ts'
import type { LabelGrid } from '../../../shared-core/records/sheet.ts'
import { Caution } from '../../parts/caution.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { ChooseSize, paperLimits } from './choose-size.tsx'
import { StartDrawing } from './start-drawing.tsx'

const typed = 'typed'

type Props = { grid: LabelGrid; start: number; onGrid: (grid: LabelGrid) => void; onStart: (start: number) => void }

/** Which sheets of labels are in the printer, and which label of the first is free. */
export function ChooseGrid({ grid, start, onGrid, onStart }: Props) {
  const common = commonGrids.find((one) => JSON.stringify(one.grid) === JSON.stringify(grid))
  const [free, setFree] = useState(!common)
  const fault = gridFault(grid)
  return (
    <>
      <label className="field">
        <span>Sheets of labels</span>
        <select
          className="select"
          value={free ? typed : common?.name}
          onChange={(event) => {
            const found = commonGrids.find((one) => one.name === event.target.value)
            setFree(!found)
            if (found) {
              onGrid(found.grid)
              onStart(1)
            }
          }}
        >
          {commonGrids.map((one) => (
            <option key={one.name}>{one.name}</option>
          ))}
          <option value={typed}>Other, by its measures</option>
        </select>
      </label>
      {free ? <GridMeasures grid={grid} onGrid={onGrid} /> : null}
      {fault === null ? (
        <div className="print-where">
          <StartDrawing grid={grid} start={Math.min(start, labelsOnSheet(grid))} onStart={onStart} />
          <div>
            <NumberField
              label="First free label"
              value={start}
              min={1}
              max={labelsOnSheet(grid)}
              digits={0}
              onValue={(value) => value !== null && onStart(Math.round(value))}
            />
            <p className="fine">Press the first label that is still on the sheet.</p>
          </div>
        </div>
      ) : (
        <Caution message={fault} remedy="Measure the sheet again." />
      )}
    </>
  )
}

function GridMeasures({ grid, onGrid }: { grid: LabelGrid; onGrid: (grid: LabelGrid) => void }) {
  const number = (
    label: string,
    value: number,
    from: number,
    to: number,
    digits: number,
    put: (v: number) => LabelGrid,
  ) => (
    <NumberField
      label={label}
      value={Number(value.toFixed(2))}
      min={from}
      max={to}
      digits={digits}
      onValue={(next) => next !== null && onGrid(put(digits === 0 ? Math.round(next) : next))}
    />
  )
  return (
    <>
      <ChooseSize
        of="page"
        offered={papers}
        size={grid.paper}
        limits={paperLimits}
        onSize={(paper) => onGrid({ ...grid, paper })}
      />
      <div className="print-fields is-three">
        {number('Columns', grid.columns, 1, 30, 0, (columns) => ({ ...grid, columns }))}
        {number('Label width, mm', grid.label.widthMm, 20, 300, 2, (widthMm) => ({
          ...grid,
          label: { ...grid.label, widthMm },
        }))}
        {number('Label height, mm', grid.label.heightMm, 12, 300, 2, (heightMm) => ({
          ...grid,
          label: { ...grid.label, heightMm },
        }))}
        {number('Rows', grid.rows, 1, 60, 0, (rows) => ({ ...grid, rows }))}
        {number('Left margin, mm', grid.leftMm, 0, 200, 2, (leftMm) => ({ ...grid, leftMm }))}
        {number('Top margin, mm', grid.topMm, 0, 200, 2, (topMm) => ({ ...grid, topMm }))}
        <span />
        {number('Gap across, mm', grid.gapXMm, 0, 100, 2, (gapXMm) => ({ ...grid, gapXMm }))}
        {number('Gap down, mm', grid.gapYMm, 0, 100, 2, (gapYMm) => ({ ...grid, gapYMm }))}
      </div>
    </>
  )
}
