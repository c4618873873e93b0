/** The window in time about an ornament's own beat, chosen from the drill so that its steps have room. Pure; ms from the beat. */

const LEAST_ROOM_MS = 40;
const ROOM_BEFORE = 0.22;
const ROOM_AFTER = 0.42;
/** The beat keeps this share of the window on either side of it. */
const LEAST_SIDE = 0.24;

/** The window in ms: {from, to}. */
export function timeWindow(asked) {
  const offsets = asked.steps.map((step) => step.offset_ms);
  const first = Math.min(0, ...offsets);
  const last = Math.max(0, ...offsets);
  const room = Math.max(last - first, LEAST_ROOM_MS);
  const from = first - room * ROOM_BEFORE;
  const to = last + room * ROOM_AFTER;
  const side = LEAST_SIDE / (1 - LEAST_SIDE);
  return { from: Math.min(from, -to * side), to: Math.max(to, -from * side) };
}
