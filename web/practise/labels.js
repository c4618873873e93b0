/**
 * The words and figures of the strip, placed so that none overlaps another or is cut off. Pure; CSS pixels.
 *
 * What fits in its own slot or bar is put there; what does not is spread in a row, with a leader line to its owner.
 */

import { rows } from "./declutter.js";
import { extraWords, side, stateWords, whole } from "../ui/words.js";

/** Sizes to try for the ms, largest first: the first lets the back row of a room read them. */
const NUMBER_REMS = [2.75, 2.25, 1.75, 1.4, 1.15];
const CAPTION_REM = 0.875;
const NAME_REM = 1.125;
const SMALL_NAME_REM = 0.9;
/** Sizes and rows to try for the names of the asked notes where they do not fit in their slots. */
const NAMES_ABOVE = [[NAME_REM, 1], [SMALL_NAME_REM, 1], [SMALL_NAME_REM, 2], [0.75, 2]];
const WORD_OF_NUMBER = 0.5;
const LINE = 1.16;
export const PAD_REM = 0.4;
/** Further from its bar than this a figure seems to belong to another one. */
const NEAR_REM = 1.2;

/** What is written under one step: {key, at (pixels), side, number, words, real}; an odd word is set bold. */
function figureOf(reading, at, on_beat_ms, unnamed) {
  const { deviation_ms } = reading;
  const state = stateWords(reading);
  const words = deviation_ms === null ? [] : [{ said: side(deviation_ms, on_beat_ms), odd: false }];
  if (unnamed.has(reading.step)) words.unshift({ said: reading.played_note ?? reading.note, odd: false, name: true });
  if (state) words.push({ said: state === "merged" && reading.step === -1 ? "held on" : state, odd: true });
  return {
    key: reading.step,
    at,
    words,
    real: true,
    side: deviation_ms === null ? "none" : side(deviation_ms, on_beat_ms),
    number: deviation_ms === null ? "" : whole(deviation_ms),
  };
}

/** Room for a step that has not come yet, so that sizes and places do not jump about while steps come in. */
const awaited = (key, at) => ({ key, at, side: "none", number: "88", words: [{ said: "early", odd: false }], real: false });

function tried(figures, number, rem, measure, from, to, most) {
  const word = Math.max(number * WORD_OF_NUMBER, CAPTION_REM * rem);
  const width = (figure) =>
    Math.max(measure(figure.number, number, true), ...figure.words.map(({ said, odd, name }) => measure(said, word, odd || name === true)));
  const widths = figures.map(width);
  const places = rows(
    figures.map((figure) => figure.at + PAD_REM * rem), // under the name in the bar, and clear of the line of the beat
    widths,
    0.8 * rem,
    from,
    to,
    most,
  );
  if (!places) return null;
  const count = Math.max(1, ...places.map((place) => place.row + 1));
  const lines = Math.max(2, ...figures.map((figure) => figure.words.length));
  const tall = (number + lines * word) * LINE;
  return {
    height: count * tall,
    shift: Math.max(0, ...places.map(({ x }, index) => Math.abs(x - figures[index].at - PAD_REM * rem))),
    list: figures.map((figure, index) => ({
      ...figure,
      x: places[index].x,
      width: widths[index],
      number_px: number,
      word_px: word,
      top: places[index].row * tall,
    })),
  };
}

/**
 * The figures under the steps, each near its own bar: in the largest size for which that holds and that fits the height
 * `room`, in one row or else in two; if there is none, as near as can be. `unnamed` are the steps whose bars are too
 * narrow for their names, which are then written here.
 *
 * `at(step)` is where a step was played or is asked. Returns {height, list}; `top` counts from the top of the lane.
 */
export function figures({ asked, reading, at, from, to, room, withLead, unnamed, rem, measure }) {
  const read = new Map([...reading.steps, ...(reading.lead ? [reading.lead] : [])].map((one) => [one.step, one]));
  const keys = [...(withLead ? [-1] : []), ...asked.steps.map((step) => step.step)];
  const all = keys.map((key) => (read.has(key) ? figureOf(read.get(key), at(key), reading.on_beat_ms, unnamed) : awaited(key, at(key))));
  all.sort((one, other) => one.at - other.at || one.key - other.key);
  const tries = [1, 2].flatMap((most) =>
    NUMBER_REMS.map((size) => tried(all, size * rem, rem, measure, from, to, most)),
  );
  const fitting = tries.filter((found) => found !== null);
  const low = fitting.filter((found) => found.height <= room);
  const nearest = (found) => found.reduce((one, other) => (other.shift < one.shift - 1 ? other : one), found[0]);
  const { height, list } = low.find((found) => found.shift <= NEAR_REM * rem) ??
    nearest(low) ?? fitting.at(-1) ?? { height: 0, list: [] };
  return { height, list: list.filter((figure) => figure.real) };
}

/** Where the room for words ends in a slot or bar: at its end, or (`clear`) before the break in it. */
const roomIn = (one, pad) => (one.clear ?? one.right) - one.x - 2 * pad;

/**
 * Where the names of the asked notes go: {rows: 0} where each fits in its slot, else {rows, size, widths, places} in one row above,
 * in smaller letters if need be, or in two; null if there is no room even then.
 */
export function placeNames(slots, from, to, rem, measure) {
  const wide = (size) => slots.map((slot) => measure(slot.name, size * rem, false));
  const inside = wide(NAME_REM);
  if (slots.every((slot, index) => inside[index] <= roomIn(slot, PAD_REM * rem))) return { rows: 0, size: NAME_REM, widths: inside };
  for (const [size, most] of NAMES_ABOVE) {
    const widths = wide(size);
    const places = rows(slots.map((slot) => slot.x), widths, 0.5 * rem, from, to, most);
    if (places) return { rows: most, size, widths, places };
  }
  return null;
}

/** Names of the asked notes where `placeNames` has put them: in their slots, or above them with a leader line to each. */
export function names({ slots, placed, above, rem }) {
  if (placed === null) return [];
  const size = placed.size * rem;
  return slots.map((slot, index) => {
    const name = { key: slot.key, text: slot.name, sounds: slot.sounds, size, width: placed.widths[index] };
    if (placed.rows === 0) return { ...name, x: slot.x + PAD_REM * rem, y: slot.y + slot.height / 2, leader: null };
    const { x, row } = placed.places[index];
    const y = above.y + size * (0.6 + row * LINE);
    const foot = slot.x + Math.min(3, (slot.right - slot.x) / 2);
    const leader = { x1: Math.min(Math.max(foot, x), x + name.width), y1: y + size * 0.55, x2: foot, y2: slot.y };
    return { ...name, x, y, leader };
  });
}

/** The played note and its length inside its bar, where they fit. */
export function inBars(bars, rem, measure) {
  return bars.flatMap((bar) => {
    const room = Math.min(bar.right - bar.x - 2 * PAD_REM * rem, roomIn(bar, PAD_REM * rem));
    const size = [NAME_REM * rem, SMALL_NAME_REM * rem].find((one) => measure(bar.name, one, true) <= room);
    if (!size) return [];
    const long = bar.length_ms === null || bar.growing ? "" : `${whole(bar.length_ms)} ms`;
    const fits = measure(long, CAPTION_REM * rem, false) <= room && bar.height >= 2.6 * rem;
    return [
      {
        key: bar.key,
        x: bar.x + PAD_REM * rem,
        y: bar.y + bar.height / 2,
        size,
        name: bar.name,
        length: fits ? long : "",
        length_px: CAPTION_REM * rem,
      },
    ];
  });
}

/** Two lines for each note that was heard and not asked; null for those that find no room (the sentence names them). */
export function extraLabels(extras, from, to, rem, measure) {
  const size = CAPTION_REM * rem;
  const lines = extras.map((extra) => extraWords(extra.heard));
  const widths = lines.map((pair) => Math.max(...pair.map((line) => measure(line, size, false))));
  const places = rows(
    extras.map((extra) => extra.x),
    widths,
    0.6 * rem,
    from,
    to,
    1,
  );
  return extras.map((_, index) =>
    places ? { x: places[index].x, lines: lines[index], size, width: widths[index] } : null,
  );
}
