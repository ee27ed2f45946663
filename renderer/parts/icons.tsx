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
