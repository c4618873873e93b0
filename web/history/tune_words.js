/** Every phrase of a past run through a tune. */

import { tempoWords } from "../ladder/words.js";
import { DASH, capital, whole } from "../ui/words.js";
import { dayWords, timeWords } from "./words.js";

export const YOURS = "Yours";
export const MODEL = "Model";
export const EACH = "Every ornament, in the order in which you played them";
export const HEAR_ONE = "Hear it";
export const STOP = "Stop";
export const BESIDE = "Beside another run";
export const COMPARE_WITH = "Compare with";
export const NO_OTHER = "Play this tune again to compare two runs.";
export const PRACTISE_AGAIN = "To the tune";
export const TAKE = "Take as MIDI";
export const DELETE = "Delete this run";
export const SURE = "Delete it for good, with its take?";
export const NO_TAKE = "There is no take of this run, so it can't be heard again.";
/** What the marks in the music mean here. */
export const MARKS = { steady: "clean each time", nearly: "clean at times", "not yet": "never clean" };
export const COLUMNS = ["Ornament", "this run", "the other", "this one went"];

/** A run in words: "Seven Gulls, bars 2 to 3"; `notes` are the tune's, null if it is not at hand. */
export function tuneRunWords(run, notes = null) {
  if (notes === null || (run.first === 0 && run.last === notes.length - 1)) return run.title;
  const [from, to] = [notes[run.first].bar, notes[run.last].bar];
  return `${run.title}, ${from === to ? `bar ${from}` : `bars ${from} to ${to}`}`;
}

export const tuneCleanWords = ({ ornaments, clean, judged }) => (judged ? `${clean} of ${ornaments} clean` : "not judged yet");

/** The figures of a run: [name, what it is]. */
export function tuneFigureRows(run, summary) {
  const off = summary?.deviation_ms ?? null;
  const side = off === null || Math.round(off) === 0 ? "on the beat" : `${whole(Math.abs(off))} ms ${off > 0 ? "after" : "before"} the beat`;
  return [
    ["tempo", run.click_off ? `your own, about ${Math.round(run.click_bpm)}` : `${tempoWords(run.click_bpm)} clicks`],
    ["ornaments clean", `${run.clean} of ${run.ornaments}`],
    ["on beats, usually", off === null || run.click_off ? DASH : side],
    ["standard", run.standard],
    ["how it ended", run.why === null ? "it goes on, or was cut off" : capital(run.why)],
  ];
}

/** A run to choose: "Sat 28 November, 18:30, 116: 50 of 74 clean". */
export const otherWords = (run) => `${dayWords(run.day)}, ${timeWords(run)}, ${tempoWords(Math.round(run.click_bpm))}: ${tuneCleanWords(run)}`;

export const tallyWords = (one) => (one === null ? "not played" : `${one.clean} of ${one.times} clean`);

/** A share of clean ones that differs by less is no other: it is a few ornaments in either run. */
const SAME = 0.1;

/** Whether an ornament went better than in the other run. */
export function changeWords({ other, change }) {
  if (other === null) return DASH;
  if (Math.abs(change) < SAME) return "about the same";
  return change > 0 ? "better" : "worse";
}

/** What is heard, for the page's status. */
export const heardRunWords = (title, speed) => `You hear ${title} as you played it, ${speed}.`;
export const heardOneWords = ({ words, bar }, speed) => `You hear the ${words} in bar ${bar} as you played it, ${speed}.`;
export const heardModelWords = (title, speed) => `You hear the model of ${title}, ${speed}.`;
export const SPEED = { 1: "at full speed", 2: "at half speed", 4: "at a quarter of the speed" };

const ENDINGS = { one: "st", two: "nd", few: "rd", other: "th" };
const ORDER = new Intl.PluralRules("en-GB", { type: "ordinal" });

/** "bar 3", and which time it was if there were several: "bar 3, 2nd time". */
export const whereWords = ({ bar, pass }) => `bar ${bar}${pass > 1 ? `, ${pass}${ENDINGS[ORDER.select(pass)]} time` : ""}`;
