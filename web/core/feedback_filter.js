/**
 * What of a run may be shown, by the player's schedule of feedback. Pure.
 *
 * The daemon decides (frames: FeedbackShown); here everything it keeps back is taken out of the run, once, so that strip,
 * verdict, figures, staff and habit cannot show it by different rules.
 */

import { runShown } from "./state.js";

/** The run without what is kept back; `blank`: the newest rep is, so the strip shows none. */
export function toldRun(run) {
  const { live, withheld, clean, played, in_a_row } = run.feedback;
  if (live) return { ...run, blank: false };
  const reps = run.reps.filter((rep) => !withheld.includes(rep.rep));
  const blank = withheld.includes(run.reps.at(-1)?.rep);
  return { ...run, reps, readings: {}, heard: [], clean, played, in_a_row, blank };
}

/** The player with no more of the run than may be shown; null stays null. */
export const toldSeat = (seat) => (seat?.run ? { ...seat, run: toldRun(seat.run) } : seat);

/** The rep that the player is asked to guess about now, or null. */
export const askedRep = (seat) => (seat && runShown(seat)?.feedback.ask) ?? null;
