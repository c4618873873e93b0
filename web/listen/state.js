/** What the view "Just play" knows of a seat, and how frames change it. Pure. */

/** From the state that the daemon sends; the last ornament is only in frames. */
export const freeFrom = (shown, before) => ({ ...shown, last: before?.last ?? null });

/** With an ornament that was heard, or is final now. An older one that only becomes final is not the last any more. */
export function withOrnament(free, frame) {
  const { kind, seat, ...ornament } = frame;
  const { last } = free;
  if (last !== null && last.theme_ms > ornament.theme_ms && last.start_ms > ornament.start_ms) return free;
  return { ...free, last: ornament };
}

/** With what was counted so far. */
export const withFree = (free, frame) => ({ ...frame.free, last: free.last });
