/** What of a tune a part of a plan plays, as a player chooses it: bars, or an ornament and how wide. Pure. */

import { NOTE, NOT_THERE, THE_BEGINNING, THE_END, barOf, inBar, ornamentOf } from "./words.js";

/** With the choice that a file has, where it is none of those on offer. */
const withOwn = (options, value, words) => (options.some(([one]) => one === value) ? options : [...options, [value, words]]);

/** The tunes that can be read, by their titles; `rows` is null while they are not known yet. */
export function tuneChoices(rows, value, none) {
  const known = (rows ?? []).filter(({ said }) => said === "").map(({ tune, title }) => [tune, title || tune]);
  return withOwn([["", none], ...known], value, rows === null ? value : `${value} (${NOT_THERE})`);
}

const placeWords = (tune, place) => (tune?.notes[place] ? inBar(tune.notes[place]) : `${NOTE} ${place}`);

/** The bars that a passage can begin or end with, each by the place of its first or last note. */
function barChoices(tune, value, last) {
  const bars = new Map();
  (tune?.notes ?? []).forEach(({ bar }, place) => {
    if (last || !bars.has(bar)) bars.set(bar, place);
  });
  const options = [...bars].map(([bar, place]) => [String(place), barOf(bar)]);
  return withOwn([["", last ? THE_END : THE_BEGINNING], ...options], value, placeWords(tune, value));
}

export const beginnings = (tune, value) => barChoices(tune, value, false);
export const ends = (tune, value) => barChoices(tune, value, true);

/** The ornaments of a tune by the place of their notes; the second that has the same words is counted. */
export function ornamentChoices(tune, value, none) {
  const seen = new Map();
  const options = (tune?.notes ?? []).flatMap((note, place) => {
    if (note.gracenotes.length === 0) return [];
    const words = ornamentOf(note);
    seen.set(words, (seen.get(words) ?? 0) + 1);
    return [[String(place), seen.get(words) === 1 ? words : `${words} (${seen.get(words)})`]];
  });
  return withOwn([["", none], ...options], value, placeWords(tune, value));
}
