/** The tempo grid: which click is when. Pure. Beats count clicks from beat 0 of the run; the count-in is before 0. */

const NS_PER_MINUTE = 60e9;

/** When a beat sounds, on the daemon's clock. */
export const beat_ns = (grid, beat) => grid.beat0_ns + (beat * NS_PER_MINUTE) / grid.click_bpm;

/** Which beat it is (a fraction between clicks) at an instant of the daemon's clock. */
export const beatAt = (grid, at_ns) => ((at_ns - grid.beat0_ns) * grid.click_bpm) / NS_PER_MINUTE;

/**
 * The clicks from `from_ns` on and before `to_ns`, in order: {beat, at_ns, accent}.
 *
 * None is before the count-in; `last` (not included) ends a calibration, which has a fixed number of clicks. Where the
 * click is off, the count-in is all there is.
 */
export function clicksBetween(grid, from_ns, to_ns, last = Infinity) {
  const clicks = [];
  const end = grid.click_off ? Math.min(last, 0) : last;
  const first = Math.max(-grid.count_in, Math.ceil(beatAt(grid, from_ns) - 1e-9));
  for (let beat = first; beat < end && beat_ns(grid, beat) < to_ns; beat += 1) {
    clicks.push({ beat, at_ns: beat_ns(grid, beat), accent: beat % grid.clicks_per_rep === 0 });
  }
  return clicks;
}
