// The place along the runway at which values are read, shared by the strip and the charts. [m]
export const reading = $state<{ distance: number | null }>({ distance: null });
