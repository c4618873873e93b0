/** Every phrase of the view "Just play". */

export const LEAD = "Just play: chanterd says what it was. Nothing to choose, nothing to press.";
export const NOTHING = "Play an ornament, and it will be named here.";
export const OFFER_KEY = "Enter";
export const WITH_CLICK = "With the click";
export const TODAY = "Today";
export const NONE_TODAY = "No ornament yet.";
export const PRACTISE = "Practise it";
export const NO_BEAT = "Judged by its shape: without a click nothing is early or late.";
export const TAKE = "A recording";
export const OPEN = "Open a recording";
export const HOW_TO_OPEN = "Or drop a MIDI file here: chanterd says what is in it.";
export const RUNNING = "A run goes on. When it is over, chanterd listens here again.";
export const NO_ORNAMENT = "No ornament in it.";
export const PASSAGES = "Passages";
export const COLUMNS = ["ornament", "played", "clean", "held", "quick"];
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

/** What a passage is. */
export function passageWords(passage) {
  if (passage.kind === "drill") return `${passage.drill}, about ${Math.round(passage.click_bpm)} clicks a minute`;
  if (passage.kind === "tune") return passage.tune;
  return passage.kind === "free" ? "free playing" : "silence";
}
