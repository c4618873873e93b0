/** What each rep of a run asks: one drill over and over, or several in turn, as up and down the scale. Pure. */

import { timeWindow } from "../ui/time_window.js";

/** What rep `rep` asks; before the first one (-1) that of the first. */
export const askedOf = (run, rep) => run.sequence[Math.max(rep, 0) % run.sequence.length];

/** Whether one rep asks for something else than the one before it. */
export const changing = (run) => run.sequence.length > 1;

/** The window in ms that holds the steps of every turn, so that it keeps its place during a run: {from, to}. */
export function windowOf(sequence) {
  const windows = sequence.map(timeWindow);
  return { from: Math.min(...windows.map(({ from }) => from)), to: Math.max(...windows.map(({ to }) => to)) };
}
