/** What the page works out of a past run through a tune. Pure; nothing is changed in place. */

/** How each ornament went in a run, as a mark by the index of its note: Map(index -> {drill, mastery}). */
export const marksOf = (places) =>
  new Map(places.map(({ note, times, clean }) => [note, { drill: "", mastery: clean === 0 ? "not yet" : clean < times ? "nearly" : "steady" }]));

/** The parts of a tune that a run was in, counted from 1. */
export const partsPlayed = (parts, { first, last }) =>
  parts.map(([begins, ends], index) => ({ number: index + 1, begins, ends })).filter(({ begins, ends }) => begins <= last && ends >= first);

/** Every ornament as it was played, in order of time: [{index, note, bar, pass, words, clean, said, from_s, to_s}], in seconds of the run. */
export function ornamentsPlayed(notes) {
  const at = ({ ornament, onset_ms, expected_ms }) =>
    Math.min(...[...ornament.steps.map((step) => step.onset_ms), onset_ms ?? expected_ms].filter((one) => one !== null)) / 1000;
  return notes.flatMap((one, index) => {
    if (one.ornament === null) return [];
    const { drill, gracenotes, clean, said } = one.ornament;
    const words = drill ?? `${gracenotes.join(", ")} before ${one.name}`;
    const onset_s = (one.onset_ms ?? one.expected_ms) / 1000;
    return [{ index, note: one.note, bar: one.bar, pass: one.pass, words, clean, said, from_s: at(one) - BEFORE_S, to_s: onset_s + AFTER_S }];
  });
}

/** So much is heard before an ornament and after it. */
const BEFORE_S = 0.8;
const AFTER_S = 0.9;

/** A part of what sounds, from one to another of its seconds; what sounds already when it begins is in it. */
export function clipped({ notes, clicks, end_s }, from_s, to_s) {
  const end = Math.min(to_s, end_s);
  const begin = Math.max(from_s, 0);
  const before = notes.findLast((one) => one.at_s <= begin);
  const within = notes.filter((one) => one.at_s > begin && one.at_s < end);
  const moved = (one) => ({ ...one, at_s: Math.max(one.at_s - begin, 0) });
  return {
    notes: [...(before ? [before] : []), ...within].map(moved),
    clicks: clicks.filter((one) => one.at_s >= begin && one.at_s < end).map(moved),
    end_s: end - begin,
    beat_s: 0,
  };
}

/** How often each ornament was clean, by its words: Map(words -> {times, clean}). */
function tally(notes) {
  const found = new Map();
  for (const { words, clean } of ornamentsPlayed(notes)) {
    const { times, clean: before } = found.get(words) ?? { times: 0, clean: 0 };
    found.set(words, { times: times + 1, clean: before + (clean ? 1 : 0) });
  }
  return found;
}

/** Two runs ornament by ornament: [{words, mine, other, change}], `other` null where it was not played; the greatest change first. */
export function compared(mine, other) {
  const [now, then] = [tally(mine), tally(other)];
  const rows = [...now].map(([words, one]) => {
    const two = then.get(words) ?? null;
    return { words, mine: one, other: two, change: two ? one.clean / one.times - two.clean / two.times : 0 };
  });
  return rows.sort((one, two) => Math.abs(two.change) - Math.abs(one.change) || one.words.localeCompare(two.words));
}

/** The other runs through the same tune that a run may be compared with, the newest first. */
export const comparable = (runs, run) =>
  (runs ?? []).filter((one) => one.kind === "tune" && one.tune === run.tune && one.run !== run.run);

/** The one that it is compared with first: the last one before it, or else the next. */
export const besideFirst = (others, run) => others.find((one) => one.began_ns < run.began_ns) ?? others.at(-1) ?? null;
