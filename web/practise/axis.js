/**
 * The strip's time axis, over a window about the ornament's own beat (see ui/time_window.js).
 *
 * The note before is long; its beginning is shown in a box of its own at the left, at the same scale, behind a visible
 * break. The window keeps its place during a run, so that a habit shows. Pure; ms from the beat, CSS pixels.
 */

/** Over a window {from, to}: {from, to, left, right, scale (pixels a ms), x(ms), lead}: lead is null or {left, right, x(ms)} of the box. */
export function axisOf(asked, { from, to }, left, right, leadWidth, gap) {
  const start = leadWidth > 0 ? left + leadWidth + gap : left;
  const scale = (right - start) / (to - from);
  const clamp = (x, low, high) => Math.min(Math.max(x, low), high);
  const leadStart = left + leadWidth * 0.2;
  return {
    from,
    to,
    left: start,
    right,
    scale,
    x: (ms) => clamp(start + (ms - from) * scale, start, right),
    outside: (ms) => (ms < from ? -1 : ms > to ? 1 : 0),
    lead:
      leadWidth > 0
        ? {
            left,
            right: left + leadWidth,
            x: (ms) => clamp(leadStart + (ms - asked.lead_offset_ms) * scale, left, left + leadWidth * 0.7),
          }
        : null,
  };
}

/** Round ms for ticks, the beat's 0 left out: at least `least` pixels apart, and half of that from the ends. */
export function ticks(axis, least) {
  const every = [5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000].find((ms) => ms * axis.scale >= least) ?? 5000;
  const found = [];
  for (let ms = Math.ceil(axis.from / every) * every; ms <= axis.to; ms += every) found.push({ ms, x: axis.x(ms) });
  return found.filter(({ ms, x }) => ms !== 0 && x - axis.left >= least / 2 && axis.right - x >= least / 2);
}
