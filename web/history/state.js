/** What the page knows of past runs, and how it changes. Pure; nothing is changed in place. */

export const closedHistory = () => ({ runs: null, pages: 1, older: false, ornament: null, open: null, picked: null, sure: false });

/** The runs came; `older`: there may be older ones that are not among them. */
export const listed = (history, { runs, older }) => ({ ...history, runs, older });

/** Older runs are wanted too. */
export const reaching = (history) => ({ ...history, pages: history.pages + 1 });

/** Runs by so many pages, asked for one after the other by `ask(before)`, whose answer is full at `size` runs. */
export async function gathered(ask, pages, size) {
  const runs = [];
  for (let page = 0; page < pages; page += 1) {
    const more = await ask(runs.at(-1));
    runs.push(...more);
    if (more.length < size) return { runs, older: false };
  }
  return { runs, older: true };
}

/** Only runs of this ornament are listed; null: of all. */
export const filtered = (history, ornament) => ({ ...history, ornament });

/** A run was opened: {run, reps, timetable, damaged: a sentence on reps that cannot be read, or null}. */
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
