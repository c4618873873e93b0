/** What the page knows of past runs, and how it changes. Pure; nothing is changed in place. */

export const closedHistory = () => ({ runs: null, pages: 1, older: false, ornament: null, open: null, picked: null, sure: false });

/** The runs came; `older`: there may be older ones that are not among them. */
export const listed = (history, { runs, older }) => ({ ...history, runs, older });

/** Older runs are wanted too. */
export const reaching = (history) => ({ ...history, pages: history.pages + 1 });

/** Runs by that many pages, fetched one after the other by `ask(before)`, whose answer is full at `size` runs. */
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

/** Between two tempi of one ladder there is no longer pause than this. */
const SAME_LADDER_NS = 60e9;

/** Whether `run` is the next tempo of the ladder that `before` was a part of. */
const goesOn = (before, run) =>
  run.rule !== null &&
  run.rule === before.rule &&
  run.way.drill === before.way.drill &&
  run.stage === before.stage &&
  run.began_ns - before.until_ns < SAME_LADDER_NS;

/** Runs, the newest first, with those of one ladder together: [[run, ...], ...], each the newest first. */
export function byLadder(runs) {
  const rows = [];
  for (const run of runs) {
    const row = rows.at(-1);
    if (row && goesOn(run, row.at(-1))) row.push(run);
    else rows.push([run]);
  }
  return rows;
}

/** The rows by day, in their order: [{day, rows}]; a row is one run, or the runs of one ladder. */
export function byDay(runs) {
  const days = new Map();
  for (const row of byLadder(runs)) days.set(row[0].day, [...(days.get(row[0].day) ?? []), row]);
  return [...days].map(([day, rows]) => ({ day, rows }));
}

/** The runs of the ladder that this run is a part of, the first tempo first; itself alone if it is of none. */
export const ladderOf = (history, run) =>
  (byLadder(runsListed(history)).find((row) => row.some((one) => one.run === run.run)) ?? [run]).toReversed();

/** The rep that is looked at: the picked one, or else the last that was played; null: there is none. */
export function repOf({ open, picked: rep }) {
  if (open === null) return null;
  const { reps } = open;
  return reps.find((one) => one.rep === rep) ?? reps.findLast((one) => !one.skipped) ?? null;
}
