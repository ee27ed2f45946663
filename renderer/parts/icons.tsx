/** The few signs that need no words beside them. */
export const Triangle = () => (
  <svg viewBox="0 0 24 22" aria-hidden="true">
    <path d="M12 2L22.5 20.5H1.5zM12 8v6M12 16v2.5" />
  </svg>
)
export const Cross = () => (
  <svg viewBox="0 0 16 14" aria-hidden="true">
    <path d="M2 1l12 12M14 1L2 13" />
  </svg>
)
export const ArrowBack = () => (
  <svg width="14" height="12" viewBox="0 0 14 12" aria-hidden="true">
    <path d="M13 6H2M7 1L2 6l5 5" />
  </svg>
)
export const Chevron = () => (
  <svg className="chevron" width="10" height="7" viewBox="0 0 10 7" aria-hidden="true">
    <path d="M1 1l4 4 4-4" />
  </svg>
)
export const Minus = () => (
  <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true" strokeWidth="3">
    <path d="M2 8h12" />
  </svg>
)
export const Plus = () => (
  <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true" strokeWidth="3">
    <path d="M2 8h12M8 2v12" />
  </svg>
)
/** Something that does not fit. */
export const Doubt = () => (
  <svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">
    <circle cx="9" cy="9" r="8" strokeWidth="1.5" />
    <path d="M6.6 7.2a2.4 2.4 0 1 1 3.4 2.2c-.7.3-1 .8-1 1.5M9 12.6v1.4" strokeWidth="1.8" />
  </svg>
)
/** A filled triangle in a line of small print. */
export const SmallTriangle = () => (
  <svg className="small-triangle" width="10" height="9" viewBox="0 0 10 9" aria-hidden="true">
    <path d="M5 0L10 9H0Z" fill="currentColor" stroke="none" />
  </svg>
)
/** A dot outside of a frame: a colour that the screen does not have. Black in white, so that it shows on any paint. */
export const BeyondScreen = () => (
  <svg className="beyond-sign" width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
    <path className="halo" d="M2 6h8v8H2z" />
    <circle className="halo" cx="12.5" cy="3.5" r="2.5" />
    <path d="M2 6h8v8H2z" />
    <circle className="dot" cx="12.5" cy="3.5" r="2.5" />
  </svg>
)
