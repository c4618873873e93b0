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
export const unknownOf = (tune) => tune.unknown.map(({ note, said }) => ({ note, bar: tune.notes[note].bar, said }));

/** What gracenotes are chosen by that are no drill of the book: their note. */
export const keyOf = (note) => `note ${note}`;

const fraction = (words) => {
  const [over, under = "1"] = words.split("/");
  return Number(over) / Number(under);
};

/** Around each place of an ornament: the note before and after it, its beat, and its bar with the next one. */
function aroundOf({ notes, click, parts }, drill) {
  const last = notes.length - 1;
  const beat = (index) => {
    const bar = notes.findIndex((one) => one.bar === notes[index].bar);
    return Math.floor((fraction(notes[index].start) - fraction(notes[bar].start)) / fraction(click) + 1e-6);
  };
  return notes.flatMap((note, index) => {
    if (note.drill !== drill && keyOf(index) !== drill) return [];
    const [begins, ends] = parts.find(([first, final]) => first <= index && index <= final) ?? [0, last];
    const number = note.bar;
    const group = notes.map((one, place) => place).filter((place) => notes[place].bar === number && beat(place) === beat(index));
    const two = notes.map((one, place) => place).filter((place) => place >= begins && place <= ends && [number, number + 1].includes(notes[place].bar));
    return [
      { key: `around ${index}`, kind: "around", number, first: Math.max(index - 1, 0), last: Math.min(index + 1, last) },
      { key: `beat ${index}`, kind: "beat", number, first: group[0], last: group.at(-1) },
      { key: `two ${index}`, kind: "two bars", number, first: two[0], last: two.at(-1) },
    ];
  });
}

/** The next passage that is wider than the one that was played and holds it, but for a note at either end; null: there is none. */
export function wider(passages, { first, last }) {
  const longer = passages.filter((one) => one.first <= first + 1 && one.last >= last - 1 && one.last - one.first > last - first);
  return longer.sort((one, other) => one.last - one.first - (other.last - other.first))[0] ?? null;
}

/** The run through the open tune at a seat, that goes on or is over; null if there is none, or of another tune. */
export const ranOf = (open, seat) => (open && seat?.tune_run?.tune === open.tune.tune ? seat.tune_run : null);

/** How many bars' numbers there are under a picture of the tempo at most. */
const BARS_NAMED = 8;

/**
 * The tempo by bar as points in a box 100 wide and 100 high: {low, high} its limits in clicks a minute, the height of
 * the tempo asked for, and the bars that are named below, with where.
 */
export function tempoPicture({ tempi, click_bpm }) {
  const all = [click_bpm * 0.9, click_bpm * 1.1, ...tempi.map((one) => one.click_bpm)];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const y = (bpm) => ((100 * (high - bpm)) / (high - low)).toFixed(1);
  const x = (index) => ((100 * index) / (tempi.length - 1)).toFixed(1);
  const step = Math.ceil(tempi.length / BARS_NAMED);
  const bars = tempi.map(({ bar }, index) => ({ bar, at: x(index) })).filter((_, index) => index % step === 0);
  return { low, high, asked: y(click_bpm), bars, points: tempi.map((one, index) => `${x(index)},${y(one.click_bpm)}`).join(" ") };
}

/** What can be heard or practised alone: [{key, kind, number, first, last}], around the chosen ornament, then the whole tune, its parts, its bars. */
export function passagesOf({ notes, parts, click }, drill = null) {
  const whole = { key: "tune", kind: "tune", number: 1, first: 0, last: notes.length - 1 };
  const each = parts.map(([first, last], index) => ({ key: `part ${index + 1}`, kind: "part", number: index + 1, first, last }));
  const bars = new Map();
  notes.forEach(({ bar }, index) => bars.set(bar, { first: bars.get(bar)?.first ?? index, last: index }));
  const inOrder = [...bars].map(([number, span]) => ({ key: `bar ${number}`, kind: "bar", number, ...span }));
  return [...(drill === null ? [] : aroundOf({ notes, parts, click }, drill)), whole, ...(each.length > 1 ? each : []), ...inOrder];
}

/** The index of the note that sounds at that time, of [{at_s, place}] in order; null before the first. */
export const soundingAt = (notes, at_s) => notes.findLast((one) => one.at_s <= at_s)?.place ?? null;

/** The width of a row of music in staff spaces, in steps, for a place so many pixels wide whose letters are `letter_px` high. */
export function rowWidth(width_px, letter_px) {
  const spaces = width_px / (letter_px / 2) - 1;
  return Math.min(Math.max(Math.floor(spaces / 5) * 5, 30), 160);
}
