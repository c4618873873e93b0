/** What the page knows of past runs, and how it changes. Pure; nothing is changed in place. */

export const closedHistory = () => ({ runs: null, ornament: null, open: null, picked: null, sure: false });

/** The runs came. */
export const listed = (history, runs) => ({ ...history, runs });

/** Only runs of this ornament are listed; null: of all. */
export const filtered = (history, ornament) => ({ ...history, ornament });

/** A run was opened: {run, reps, timetable}. */
export const opened = (history, open) => ({ ...history, open, picked: null, sure: false });

/** A rep was picked, by its number. */
export const picked = (history, rep) => ({ ...history, picked: rep });

/** The ornaments of the runs, by name. */
export const ornamentsOf = ({ runs }) => [...new Set((runs ?? []).map((run) => run.way.ornament))].sort();

/** The runs that are listed now. */
export const runsListed = ({ runs, ornament }) =>
  (runs ?? []).filter((run) => ornament === null || run.way.ornament === ornament);

/** The runs by day, in their order: [{day, runs}]. */
export function byDay(runs) {
  const days = new Map();
  for (const run of runs) days.set(run.day, [...(days.get(run.day) ?? []), run]);
  return [...days].map(([day, those]) => ({ day, runs: those }));
}

/** The rep that is looked at: the picked one, or else the last that was played; null: there is none. */
export function repOf({ open, picked: rep }) {
  if (open === null) return null;
  const { reps } = open;
  return reps.find((one) => one.rep === rep) ?? reps.findLast((one) => !one.skipped) ?? null;
}
