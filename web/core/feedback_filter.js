/**
 * What of a run may be shown, by the player's schedule of feedback. Pure.
 *
 * The daemon decides (frames: FeedbackShown); here everything it keeps back is taken out of the run, once, so that strip,
 * verdict, figures, staff and habit cannot show it by different rules.
 */

import { runShown } from "./state.js";

/** The run without what is kept back; `blank`: the newest rep is, so the strip shows none. */
export function visibleRun(run) {
  const { live, withheld, clean, played, in_a_row } = run.feedback;
  if (live) return { ...run, blank: false };
  const reps = run.reps.filter((rep) => !withheld.includes(rep.rep));
  const blank = withheld.includes(run.reps.at(-1)?.rep);
  return { ...run, reps, readings: {}, heard: [], clean, played, in_a_row, blank };
}

/** visibleFilter() -> filter(seat): the seat with no more of the run than may be shown, the same object for the same seat. */
export function visibleFilter() {
  let last = { seat: null, visible: null };
  return (seat) => {
    if (seat !== last.seat) last = { seat, visible: seat?.run ? { ...seat, run: visibleRun(seat.run) } : seat };
    return last.visible;
  };
}

/** The rep that the player is asked to guess about now, or null. */
export const repToGuess = (seat) => (seat && runShown(seat)?.feedback.ask) ?? null;
