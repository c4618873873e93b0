/** What the page of a seat clicks to. */

import { running, tuneGoing } from "../core/state.js";

/** What to click to: the calibration if one runs, else the run; null if there is neither, no connection, or it sounds elsewhere. */
export function clickSource(link, seat, clock) {
  if (link.state !== "open" || !seat || !seat.sounds) return null;
  const { calibration } = seat;
  if (calibration?.state === "running") return { grid: calibration.grid, clock, last: calibration.clicks };
  if (tuneGoing(seat)) return { grid: seat.tune_run.grid, clock };
  return running(seat) ? { grid: seat.run.grid, clock } : null;
}
