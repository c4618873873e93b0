/** What the page says of plans. What the daemon says of a session is shown as it is. */

import { tempoWords } from "../ladder/words.js";

const MINUTE_S = 60;

/** Seconds as a clock shows them: "4:05". */
export const clockWords = (seconds) =>
  `${Math.floor(seconds / MINUTE_S)}:${String(Math.floor(seconds % MINUTE_S)).padStart(2, "0")}`;

/** One part on a line: how long, and at which tempo where it has one of its own. */
export const partWords = ({ how_long, click_bpm }) =>
  how_long.startsWith("ladder") ? how_long : `${how_long} at ${tempoWords(click_bpm)}`;

/** How many of how many. */
export const placeWords = ({ part, plan }) => `${part + 1} of ${plan.parts.length}`;

/** What is left of the present state, or how far it is; empty if neither is known. */
export function leftWords({ state, left_s, reps, reps_wanted, plan, part }) {
  if (left_s !== null) return state === "between" ? `begins in ${left_s}` : `${clockWords(left_s)} left`;
  return state === "playing" && reps_wanted !== null ? `${reps} of ${reps_wanted} ${plan.parts[part].counted}` : "";
}

/** What comes after the present part, or before it is over: "then ...". */
export function thenWords({ state, part, plan }) {
  const next = plan.parts[state === "break" ? part : part + 1];
  return next ? `then: ${next.name}` : "then it is done";
}

/** What the button that goes on with it is called. */
export const PAUSE = "Pause";
export const GO_ON = "Go on";
export const SKIP = "Skip";
export const SKIP_BREAK = "End the break";
export const WARM_UP = "warm-up";
export const START_PLAN = "Start this plan";
export const NO_PLANS = "There are no plans yet.";

export const CHANGE = "Change";
export const COPY = "Copy";
export const COPY_AND_CHANGE = "Copy and change";
export const DELETE = "Delete …";
export const DELETE_FOR_GOOD = "Delete for good";
export const KEEP = "Keep";
export const sureWords = (name) => `Delete “${name}”? Its file will be gone for good.`;
export const deletedWords = (name) => `“${name}” is deleted.`;
export const savedWords = (name) => `“${name}” is saved.`;

/** The form in which a plan is made or changed. */
export const NEW_PLAN = "New plan";
export const CHANGE_PLAN = (name) => `Change “${name}”`;
export const FIELDS = {
  name: "Name",
  said: "What it is for",
  after_minutes: "Break after",
  break_minutes: "Break of",
  title: "Title",
  drill: "Drill",
  tune: "Tune",
  ornament: "Take out",
  from: "From",
  to: "To",
  width: "How wide",
  click_bpm: "Clicks a minute",
  minutes: "Minutes",
  reps: "Reps",
  ladder: "Tempo ladder",
  first_bpm: "First tempo",
  raise_bpm: "Raise by",
  top_bpm: "Top",
  performing_bpm: "Performing",
  in_a_row: "Clean in a row",
  tries: "Down after",
  standard: "Standard",
  layout: "Layout",
};
export const HOW = "How long";
export const HINTS = {
  said: "for whom, and what they will work on",
  title: "what it plays",
  minutes: "0.25 to 25",
  reps: "played ones, 1 to 500",
};
/** What an empty field of a ladder means. */
export const LADDER_HINTS = { raise_bpm: "4", in_a_row: "3", tries: "5", top_bpm: "20 more", performing_bpm: "none", first_bpm: "" };
export const BREAK_HINT = "minutes of playing, 5 to 30";
export const BREAK_OF_HINT = "minutes, 1 to 60";
export const USUAL = "as usual";
export const WARM_UP_TICK = "a warm-up";
export const BUILD_UP = "build it up, a part for each stage";
export const UP = "Up";
export const DOWN = "Down";
export const REMOVE = "Remove";
export const ADD_PART = "Add a part";
export const BRING_BACK = "Bring back the part you removed";
export const MOVE_HINT = "Alt with the arrow up or down moves the part you are in.";
export const SAVE = "Save";
export const CANCEL = "Cancel";
export const THROW_AWAY_SURE = "Throw away what you have changed?";
export const THROW_AWAY = "Throw away";
export const KEEP_EDITING = "Keep editing";
const NO_DRILL_YET = "choose a drill";

/** A part that plays a tune. */
export const PLAYS = "Plays";
export const PLAYS_WHAT = [
  ["drill", "a drill"],
  ["tune", "a tune or some of it"],
];
export const CHOOSE_TUNE = "choose a tune";
export const NOT_THERE = "not there";
export const NO_ORNAMENT = "no ornament";
export const THE_BEGINNING = "the beginning";
export const THE_END = "the end";
export const NOTE = "note";
export const ROUNDS_HINT = "times through, 1 to 500";
export const WIDEN = "wider and wider, as its file says";
export const WIDTHS = [
  ["", "the notes around it"],
  ["beat", "its beat"],
  ["bar", "its bar"],
  ["two bars", "two bars"],
  ["part", "its part"],
  ["tune", "the whole tune"],
];
export const barOf = (bar) => (bar === 0 ? "the pick-up" : `bar ${bar}`);
/** A note by where it is: "the C in bar 3". */
export const inBar = ({ note, bar }) => `the ${note} in ${barOf(bar)}`;
/** An ornament by where it is: "bar 3: doubling from B to C". */
export const ornamentOf = ({ bar, drill, gracenotes, note }) => `${barOf(bar)}: ${drill ?? `${gracenotes.join(", ")} on ${note}`}`;

/** What of a tune is played, as far as the page knows the tune. */
function passageWords({ tune, ornament, width, from, to }, { rows, open }) {
  const notes = open.get(tune)?.notes ?? [];
  const title = rows?.find((row) => row.tune === tune)?.title || tune || CHOOSE_TUNE;
  const at = (place) => (notes[place] ? barOf(notes[place].bar) : `${NOTE} ${place}`);
  if (ornament !== "") {
    const named = notes[ornament] ? ornamentOf(notes[ornament]) : `the ornament on ${at(ornament)}`;
    return `${title}, ${named}, ${WIDTHS.find(([one]) => one === width)?.[1] ?? width}`;
  }
  if (from === "" && to === "") return `${title}, the whole tune`;
  return `${title}, from ${from === "" ? THE_BEGINNING : at(from)} to ${to === "" ? THE_END : at(to)}`;
}

/** A part on one line, as it is typed; `tunes` is what is known of them. */
export function draftWords(part, index, tunes) {
  const how = {
    minutes: `${part.minutes} minutes at ${part.click_bpm}`,
    reps: `${part.reps} ${part.plays === "tune" ? "rounds" : "reps"} at ${part.click_bpm}`,
    ladder: `ladder from ${part.ladder.first_bpm}`,
    widen: `wider and wider at ${part.click_bpm}`,
  }[part.how];
  const played = part.plays === "tune" ? passageWords(part, tunes) : part.drill || NO_DRILL_YET;
  const name = [part.title, played].filter(Boolean).join(": ");
  return `${index + 1}. ${name}, ${how}${part.stages ? ", each stage" : ""}${part.warm_up ? `, ${WARM_UP}` : ""}`;
}

export const movedWords = (index, of) => `Now part ${index + 1} of ${of}.`;
export const removedWords = (index) => `Part ${index + 1} is removed.`;
export const wrongWords = (number) =>
  number === 1 ? "Not saved yet: one thing needs mending." : `Not saved yet: ${number} things need mending.`;
