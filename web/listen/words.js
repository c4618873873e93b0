/** Every phrase of the view "Just play". */

import { count } from "../ui/dates.js";

export const LEAD = "Just play: chanterd says what it was. Nothing to choose, nothing to press.";
export const NOTHING = "Play an ornament, and it will be named here.";
export const OFFER_KEY = "Enter";
export const WITH_CLICK = "With the click";
export const TODAY = "Today";
export const NONE_TODAY = "No ornament yet.";
export const PRACTISE = "Practise it";
export const NO_BEAT = "Judged by its shape: without a click nothing is early or late.";
export const FOLLOWING = "Following your tune";
export const BY_TUNE = "Judged by what the tune has there, against your own pulse.";
export const SIMULATED = "The input is the simulated player. It plays only when something is started, so nothing sounds here by itself.";
/** Where it plays. */
export const SIMULATED_WAYS = [["#practise", "Start a drill"], ["#tunes", "Start a tune"]];
export const TAKE = "A recording";
export const OPEN = "Open a recording";
export const HOW_TO_OPEN = "Or drop a MIDI file here: chanterd says what is in it.";
export const RUNNING = "A run goes on. When it is over, chanterd listens here again.";
export const NO_ORNAMENT = "No ornament in it.";
export const PASSAGES = "Passages";
export const COLUMNS = ["ornament", "played", "clean", "held", "quick"];
export const HOW = "How each went";
export const EVERY = "Every ornament";
export const SHOW = "Show";
export const ALL = "all ornaments";
export const FAULTY = "only what was not clean";
export const MORE = "Show more";
export const UNKNOWN = "not in the book";
export const TO_THESE = "Its ornaments";
export const KEEP = "Keep it in the history";
export const KEEP_IT = "Keep it";
export const NOT_NOW = "Not now";
export const OPEN_RUN = "Open the run";
export const BUSY = "Listening to the recording…";
export const SIZES = "held, quick: how long held notes and gracenotes or taps last as a rule, in ms.";

export const LEAVE = "Not this tune";
export const OPEN_TUNE = "Open the tune";

/** "You are playing The Net Mender, bar 3." */
export function playingWords({ title, going, cursor }, tune) {
  if (!going) return `You played ${title}.`;
  return cursor === null || tune === null ? `You are playing ${title}.` : `You are playing ${title}, bar ${tune.notes[cursor].bar}.`;
}

/** "52", or a dash where there is no such step. */
export const sizeWords = (ms) => (ms === null ? "–" : `${Math.round(ms)}`);

/** "crushed 2, uneven 1", of [fault, times]. */
export const faultWords = (faults) => faults.map(([fault, times]) => `${fault} ${times}`).join(", ");

/** The two lines of an ornament: its name, and the way in or what is said instead. */
export function nameWords(one) {
  if (one.ornament === null) return ["Not in the book", ""];
  const name = one.ornament.charAt(0).toUpperCase() + one.ornament.slice(1);
  if (one.drill === null) return [name, ""];
  return [name, one.drill.startsWith(one.ornament) ? one.drill.slice(one.ornament.length + 1) : one.drill];
}

/** "from E to E, bar 2"; without a tune, the way in alone. */
export const placeWords = (way, bar) => [way, bar === null ? "" : `bar ${bar}`].filter(Boolean).join(", ");

const SIZED = [["held", "held_ms", "Held notes"], ["quick", "quick_ms", "Gracenotes and taps"]];

/** "Held notes 58 ms, as a rule 60. …": the sizes of this one beside the player's own hand in the same ornament. */
export function handWords(one, rows) {
  const usual = rows.find((row) => row.ornament === one.ornament);
  if (!usual || usual.played < 2) return "";
  return SIZED.map(([kind, size, name]) => {
    const lengths = one.steps.filter((step) => step.kind === kind && step.state === "played" && step.length_ms !== null);
    if (lengths.length === 0 || usual[size] === null) return "";
    const mean = lengths.reduce((sum, step) => sum + step.length_ms, 0) / lengths.length;
    return `${name} ${Math.round(mean)} ms, as a rule ${Math.round(usual[size])}.`;
  }).filter(Boolean).join(" ");
}

/** "or grip from B to C", if others are as likely. */
export const otherWords = (one) => (one.or.length === 0 ? "" : `or ${one.or.join(", or ")}`);

/** One step for those who listen to the page: "low G 52 ms", "D missing". */
export function stepWords(step) {
  if (step.state === "missing") return `${step.note} missing`;
  if (step.state === "merged") return `${step.note} merged with the note before`;
  const note = step.played_note === null ? step.note : `${step.played_note}, not ${step.note}`;
  return step.length_ms === null || step.kind === "theme" ? note : `${note} ${Math.round(step.length_ms)} ms`;
}

/** The strip as a sentence. */
export const stripSentence = (one) => `${nameWords(one).filter(Boolean).join(" ")}: ${one.steps.map(stepWords).join(", ")}.`;

/** "1:05" into a recording. */
export function clockWords(ms) {
  const seconds = Math.round(ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

const KINDS = { drill: ["drill"], tune: ["tune"], free: ["stretch of free playing", "stretches of free playing"] };

/** "2 drills, 1 tune and 1 stretch of free playing", of {drill, tune, free}. */
export function kindsWords(counts) {
  const parts = Object.entries(KINDS).filter(([kind]) => counts[kind] > 0).map(([kind, names]) => count(counts[kind], ...names));
  return [parts.slice(0, -1).join(", "), parts.at(-1)].filter(Boolean).join(" and ");
}

/** "Keep 2 drills and 1 tune in Ada’s history, as played on 3 March 2026, the date of the file?" */
export function keepWords(counts, player, date) {
  const day = date.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
  return `Keep ${kindsWords(counts)} in ${player}’s history, as played on ${day}, the date of the file?`;
}

/** "Kept: 2 drills and 1 tune." */
export const keptWords = (kept) => `Kept: ${kindsWords(Object.fromEntries(Object.keys(KINDS).map((kind) => [kind, kept.filter((one) => one.kind === kind).length])))}.`;

/** Its sentence, or "clean". */
export const shortWords = (one) => (one.clean ? "clean" : one.said);

/** What a passage is. */
export function passageWords(passage) {
  if (passage.kind === "drill") return `${passage.drill}, about ${Math.round(passage.click_bpm)} clicks a minute`;
  if (passage.kind === "tune") return passage.tune;
  return passage.kind === "free" ? "free playing" : "silence";
}
