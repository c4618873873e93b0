/** Every phrase of the view of tunes. */

import { count } from "../ui/dates.js";

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

/** A passage's name in the list: "the whole tune", "part 2", "bar 5". */
export const passageWords = ({ kind, number }) => (kind === "tune" ? "the whole tune" : `${kind} ${number}`);

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
