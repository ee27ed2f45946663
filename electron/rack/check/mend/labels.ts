/** Changes that put right what something else altered: they find rows otherwise than the change before left them. */
export const mendLabels = {
  loose: 'put loose records right',
  fromHistory: 'put records back as the history has them',
  keepPresent: 'keep records as they are',
} as const
