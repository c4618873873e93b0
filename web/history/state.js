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

/** Lists of runs of several kinds as one, {runs, older}, the newest first: as far back as all of them reach. */
export function mixed(lists) {
  const since = Math.max(...lists.map(({ runs, older }) => (older ? runs.at(-1).began_ns : -Infinity)));
  const runs = lists.flatMap((list) => list.runs).filter((run) => run.began_ns >= since);
  return { runs: runs.sort((one, other) => other.began_ns - one.began_ns), older: lists.some((list) => list.older) };
}

/** What a run was: "drill", "tune", "free". */
export const kindOf = (run) => run.kind ?? "drill";

/** What a run goes by in an address: "12", "tune-3", "free-4". */
export const addressOf = (run) => (kindOf(run) === "drill" ? `${run.run}` : `${kindOf(run)}-${run.run}`);

/** Only runs of this ornament or tune are listed; null: of all. */
export const filtered = (history, ornament) => ({ ...history, ornament });

/** A run was opened, of a drill: {run, reps, timetable, damaged: a sentence on reps that cannot be read, or null}. */
export const opened = (history, open) => ({ ...history, open, picked: null, sure: false });

/** A rep was picked, by its number. */
export const picked = (history, rep) => ({ ...history, picked: rep });

/** How free playing is named where runs are chosen by what they are. */
export const FREE_PLAYING = "Free playing";
const NAMES = { tune: (run) => run.title, free: () => FREE_PLAYING, drill: (run) => run.way.ornament };
const nameOf = (run) => NAMES[kindOf(run)](run);

/** What was played, by name: {ornaments, tunes, free}. */
export function namesOf({ runs }) {
  const of = (kind) => [...new Set((runs ?? []).filter((run) => kindOf(run) === kind).map(nameOf))].sort();
  return { ornaments: of("drill"), tunes: of("tune"), free: of("free") };
}

/** The runs that are listed now. */
export const runsListed = ({ runs, ornament }) => (runs ?? []).filter((run) => ornament === null || nameOf(run) === ornament);

/** Between two tempi of one ladder there is no longer pause than this. */
const SAME_LADDER_NS = 60e9;

/** Whether `run` is the next tempo of the ladder that `before` was a part of. */
const goesOn = (before, run) =>
  kindOf(run) === "drill" &&
  kindOf(before) === "drill" &&
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
  (byLadder(runsListed(history)).find((row) => row.some((one) => addressOf(one) === addressOf(run))) ?? [run]).toReversed();

/** The rep that is looked at: the picked one, or else the last that was played; null: there is none. */
export function repOf({ open, picked: rep }) {
  if (open === null) return null;
  const { reps } = open;
  return reps.find((one) => one.rep === rep) ?? reps.findLast((one) => !one.skipped) ?? null;
}
