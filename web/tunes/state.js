/** What the page knows of tunes, and how it changes. Pure; nothing is changed in place. */

export const closedTunes = () => ({ rows: null, worked: [], open: null, chosen: null });

/** The list came: [{tune, title, kind, time, bars, ornaments, own, file, said}]. */
export const listed = (tunes, rows) => ({ ...tunes, rows });

/** The tunes that the player works on: [{tune, performance}]. */
export const workedOn = (tunes, worked) => ({ ...tunes, worked });

/** Whether and for when the player works on the open tune: {tune, performance}, or null. */
export const workOf = ({ worked, open }) => worked.find((one) => one.tune === open?.tune.tune) ?? null;

/** A tune was opened: the daemon's {tune, title, notes, parts, ...} and how its ornaments go; the choice begins again. */
export const opened = (tunes, open) => ({ ...tunes, open, chosen: null });

/** An ornament was chosen by the words of its drill, or let go of if it is chosen already. */
export const chosen = (tunes, drill) => ({ ...tunes, chosen: tunes.chosen === drill ? null : drill });

/** The mastery of each note of a tune that has an ornament, by the note's index: Map(index -> {drill, mastery}). */
export function masteryByNote({ tune, ornaments }) {
  const of = new Map(ornaments.map((one) => [one.drill, one.mastery]));
  const notes = tune.notes.map(({ drill }, index) => [index, drill === null ? null : { drill, mastery: of.get(drill) }]);
  return new Map(notes.filter(([, found]) => found?.mastery));
}

/** What is no drill of the book, with its bar: [{bar, said}]. */
export const unknownOf = (tune) => tune.unknown.map(({ note, said }) => ({ bar: tune.notes[note].bar, said }));

/** What can be heard alone: [{key, kind, number, first, last}], the whole tune, its parts, its bars. */
export function passagesOf({ notes, parts }) {
  const whole = { key: "tune", kind: "tune", number: 1, first: 0, last: notes.length - 1 };
  const each = parts.map(([first, last], index) => ({ key: `part ${index + 1}`, kind: "part", number: index + 1, first, last }));
  const bars = new Map();
  notes.forEach(({ bar }, index) => bars.set(bar, { first: bars.get(bar)?.first ?? index, last: index }));
  const inOrder = [...bars].map(([number, span]) => ({ key: `bar ${number}`, kind: "bar", number, ...span }));
  return [whole, ...(each.length > 1 ? each : []), ...inOrder];
}

/** The index of the note that sounds at that time, of [{at_s, place}] in order; null before the first. */
export const soundingAt = (notes, at_s) => notes.findLast((one) => one.at_s <= at_s)?.place ?? null;

/** The width of a row of music in staff spaces, in steps, for a place so many pixels wide whose letters are `letter_px` high. */
export function rowWidth(width_px, letter_px) {
  const spaces = width_px / (letter_px / 2) - 1;
  return Math.min(Math.max(Math.floor(spaces / 5) * 5, 30), 160);
}
