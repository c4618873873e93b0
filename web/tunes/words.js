/** Every phrase of the view of tunes. */

import { tempoWords } from "../ladder/words.js";
import { count } from "../ui/dates.js";
import { capital } from "../ui/words.js";

/** How an ornament goes: its word, and the shape of its mark in a box from -1 to 1. */
export const MASTERY = {
  "never heard": "M-0.7 0a0.7 0.7 0 1 0 1.4 0a0.7 0.7 0 1 0 -1.4 0",
  "not yet": "M-0.7 -0.7L0.7 0.7M-0.7 0.7L0.7 -0.7",
  nearly: "M-0.8 0H0.8",
  steady: "M-0.8 0.1L-0.2 0.7L0.8 -0.7",
};

export const NO_TUNE = "Choose a tune, or drop a file here.";
export const HEAR = "Hear it";
export const STOP = "Stop";

const NAMES = {
  tune: () => "the whole tune",
  around: (bar) => `the ornament in bar ${bar}, from the note before to the note after`,
  beat: (bar) => `its beat in bar ${bar}`,
  "two bars": (bar) => `bars ${bar} and ${bar + 1}`,
};

/** A passage's name in the list: "the whole tune", "part 2", "bar 5". */
export const passageWords = ({ kind, number }) => NAMES[kind]?.(number) ?? `${kind} ${number}`;

export const RUN = "Play it over and over";
export const STOP_RUN = "Stop playing";
export const LOOK_BACK = "Hear it again, or compare it with an earlier one, in the history";
export const WIDER = "Put it back: wider";
export const HOW = "How you practise it";
export const TAKE = "Take out";
export const OWN_PULSE = "by your own pulse: the click stops after the count-in";
export const LADDERS = [
  ["", "none"],
  ["tempo", "faster, step by step"],
  ["width", "wider, step by step"],
];
export const WIDTHS = [
  ["tune", "the whole tune"],
  ["part", "the part"],
  ["two bars", "two bars"],
  ["bar", "the bar"],
  ["beat", "the beat"],
];
export const badCount = (name, typed) => `'${name}' of the ladder is '${typed}'; it must be a number.`;

/** A stage of the build-up, counted from 1; null is all of the ornament. */
export const stageWords = (stage, stages) => (stage === null ? "all of the ornament" : `stage ${stage} of ${stages}`);

/** The last ornament that may be shown, where one was taken out that one; undefined: none. */
export const shownVerdict = ({ feedback, width, ornament }, verdicts) =>
  verdicts.findLast((one) => !feedback.withheld.includes(one.rep.rep) && (width !== "ornament" || one.note === ornament));

/** Where the ladder is or why it has moved, then how the last time through was. */
export function roundWords({ ladder, last_round, rounds, clean, going, feedback }) {
  const said = last_round && feedback.live && !(ladder && last_round.moved) ? last_round.said : "";
  const counted = ladder || rounds === 0 ? "" : `${clean} of ${count(rounds, "time")} through clean.`;
  return [ladder?.said, going || ladder === null ? said : ladder.whole, feedback.live ? counted : ""].filter(Boolean).join(" ");
}

/** "bar 3", "64, held", "bar 3, you are here". */
export const rungWords = ({ words, here, held }) => `${words}${here ? ", you are here" : held ? ", held" : ""}`;

/** "2 of 3 in a row, 4 tries left. With the full row: on to bar 3. If not: back to ..." */
export function climbWords({ row, in_a_row, tries_left, full_row, no_row, phase }) {
  if (phase === "over" || full_row === "") return "";
  const tries = tries_left === 1 ? "last try" : `${tries_left} tries left`;
  return `${row} of ${in_a_row} in a row, ${tries}. With the full row: ${full_row}. If not: ${no_row}.`;
}

/** What is heard again: "the doubling in bar 3". */
export const ornamentWords = ({ note }, { notes }) => `the ${notes[note].ornament ?? "ornament"} in bar ${notes[note].bar}`;

export const TAKE_OUT = "Take out next";
export const TEMPI = "Tempo by bar, in the order in which you played them";
export const ALIKE = "Not played alike";
export const ALIKE_ALL = "Each ornament was about as long wherever it comes.";
/** What the level line of the picture is. */
export const askedWords = ({ click_bpm, click_off }) =>
  `Clicks a minute; the level line is ${click_off ? "your own tempo as a whole" : "the click"}, ${Math.round(click_bpm)}.`;

/** While a passage is played: "Bars 3 and 4 at 72 clicks. Begin with the E, bar 3. The click counts you in." */
export function goingWords({ first, cursor, noticed, passage, grid }, { notes }) {
  const here = cursor === null ? "" : `You are in bar ${notes[cursor].bar}.`;
  if (noticed) return here;
  const begin = `Begin with the ${notes[first].name ?? notes[first].note}, bar ${notes[first].bar}. The click counts you in.`;
  return `${capital(passage)} at ${tempoWords(grid.click_bpm)} clicks. ${here || begin}`;
}

/** How the last ornament went: "The doubling in bar 3: clean." */
export const verdictWords = (verdict, { notes }) =>
  verdict ? `The ${notes[verdict.note].ornament ?? "ornament"} in bar ${notes[verdict.note].bar}: ${verdict.rep.said}` : "";

/** "128 notes followed, 2 left out, 1 wrong; you went back 3 times and stopped once." */
export function followedWords({ notes, missing, wrong, restarts, stops, click_bpm, click_off }) {
  const parts = [`${count(notes, "note")} followed`];
  if (missing) parts.push(`${missing} left out`);
  if (wrong) parts.push(`${wrong} wrong`);
  if (restarts) parts.push(`${count(restarts, "leap")}`);
  if (stops) parts.push(`${count(stops, "stop")}`);
  return `${parts.join(", ")}; ${click_off ? "your own tempo was about" : "the click was"} ${Math.round(click_bpm)}.`;
}

/** "1 of 4 clean. You crushed the G gracenote." */
export const outWords = ({ times, clean, said }) => `${clean} of ${times} clean. ${said}`;

/** The picture of the tempo in words. */
export function tempiWords(tempi, title) {
  const all = tempi.map((one) => one.click_bpm);
  return `${title}, tempo by bar: from ${Math.round(Math.min(...all))} to ${Math.round(Math.max(...all))} clicks a minute`;
}

/** What is heard, for the page's status. */
export const heardWords = (title, passage) => `${title}, ${passageWords(passage)}`;

export const ADD = "Add a tune";
export const HOW_TO_ADD = "ABC or MusicXML, also dropped on this page.";
export const DELETE = "Delete this file";
export const PRACTISE = "Practise";
export const WORKED_ON = "I work on this tune";
export const PERFORMANCE = "Performance on";
export const WORKED_ON_SAID = "Today’s proposal then takes its ornaments first, the more so the nearer the day.";
export const ALL = "Practise all, worst first";
export const PRINT = "Print as exercises";
export const sheetTitle = (title) => `The exercises of ${title}`;
export const PLAIN = "This tune has no gracenotes, so there is nothing to take out.";

/** "march, 2/4, 18 bars". */
export const rowWords = ({ kind, time, bars }) => [kind, time, count(bars, "bar")].filter(Boolean).join(", ");

export const partWords = (number, of) => (of === 1 ? "The tune" : `Part ${number} of ${of}`);

/** "7 times: 4 of 12 clean, held at 64". */
export const masteryWords = ({ times, said, held_bpm }) =>
  `${times === 1 ? "once" : `${times} times`}: ${said}${held_bpm === null ? "" : `, held at ${Math.round(held_bpm)} clicks`}`;

/** Gracenotes that cannot be practised yet: "bar 3: high G, B, E to A, ..." */
export const unknownWords = ({ bar, said }) => `Bar ${bar}: ${said}`;

export const remarkWords = ({ line, column, said }) => `Line ${line}, column ${column}: ${said}`;
