import { type ReactNode, useEffect, useRef } from 'react'

/** What is to be done now. It takes the focus when the step changes: it is read out, and the space bar is the bench's. */
export function BenchHeading({ stepId, children }: { stepId: string; children: ReactNode }) {
  const heading = useRef<HTMLHeadingElement>(null)
  // oxlint-disable-next-line react/exhaustive-deps -- another step is what asks for it
  useEffect(() => heading.current?.focus({ preventScroll: true }), [stepId])
  return (
    <h1 ref={heading} tabIndex={-1} className="bench-heading">
      {children}
    </h1>
  )
}
