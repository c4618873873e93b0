/** Every phrase of the page's own. What the daemon says (`said`) is shown as it is and is not repeated here. */

import { MAKE_READY, tempoWords } from "../ladder/words.js";

/** A whole number of ms, without its sign. */
export const whole = (ms) => String(Math.abs(Math.round(ms)));

/** "early", "late" or "on" of a deviation (ms, + = late): on as far as the standard's limit at this tempo allows. */
export function side(deviation_ms, on_beat_ms) {
  if (Math.abs(deviation_ms) <= on_beat_ms) return "on";
  return deviation_ms < 0 ? "early" : "late";
}

/** Where the beat fell: "on the beat", or "41 ms late" if that is beyond the limit. */
export const placeWords = (deviation_ms, on_beat_ms) =>
  side(deviation_ms, on_beat_ms) === "on" ? "on the beat" : offBy(deviation_ms);

/** A deviation in words: "12 ms late", "4 ms early", "0 ms". */
export function offBy(deviation_ms) {
  const shown = Math.round(deviation_ms);
  if (shown === 0) return "0 ms";
  return `${whole(shown)} ms ${shown < 0 ? "early" : "late"}`;
}

/** The text with a capital first letter. */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** The two lines of what is asked, from the words for a drill; words we cannot split stay one line. */
export function title(drill) {
  const at = drill.search(/ from /i);
  return at < 0 ? [capital(drill), ""] : [capital(drill.slice(0, at)), drill.slice(at + 1)];
}

/** What is written under a step that was not simply played, or null. */
export function stateWords(reading) {
  if (reading.state === "wrong note") return `${reading.played_note ?? "another"}, not ${reading.note}`;
  if (reading.state === "missing") return "missing";
  if (reading.state === "merged") return "merged";
  return reading.fault && reading.fault !== "late" && reading.fault !== "early" ? reading.fault : null;
}

/** The word for a rep in the list of the last dozen. */
export function repWord(rep) {
  if (rep.skipped) return "rest";
  if (rep.clean) return "clean";
  return rep.faults[0]?.fault ?? "not clean";
}

/** One rep as a sentence for those who listen to the page. */
export const repSentence = (rep, on_beat_ms) =>
  `Rep ${rep.rep + 1}: ${repWord(rep)}${rep.anchor_ms === null ? "" : `, ${placeWords(rep.anchor_ms, on_beat_ms)}`}.`;

/** The strip as a sentence for those who listen to the page. */
export function stripSentence(reading, on_beat_ms) {
  const steps = reading.steps.map((step) => [
    step.note,
    step.deviation_ms === null || side(step.deviation_ms, on_beat_ms) === "on" ? "" : offBy(step.deviation_ms),
    stateWords(step) ?? "",
  ]);
  const played = steps.map((parts) => parts.filter(Boolean).join(" ")).join(", ");
  return played ? `Played: ${played}.` : "Nothing played yet.";
}

/** An extra in words. */
export function extraWords(extra) {
  const long = extra.length_ms === null ? "" : ` ${whole(extra.length_ms)} ms`;
  return [`${extra.note}${long}`, extra.extra === "heard" ? "" : extra.extra];
}

/** The state of the chanter in a word or two. */
export const CHANTER = {
  ready: "ready",
  waiting: "waiting",
  gone: "unplugged",
  "no driver": "no MIDI driver",
  ended: "ended",
};

/** What sounds now. */
export function soundingWords(sounding) {
  if (sounding?.note) return sounding.note;
  return sounding?.midi ? `MIDI ${sounding.midi} is not a chanter note` : "silent";
}

/** The headline of the strip while there is nothing to draw in it. */
export const EMPTY = {
  connecting: ["Looking for the daemon", "It listens to your chanter. This takes a moment."],
  away: ["The daemon is not there yet", "Start it in a terminal with: chanterd serve"],
  players: ["No chanter is set up", "Start the daemon with an input: chanterd serve --input demo"],
  "no driver": ["No MIDI driver", null],
  waiting: ["Waiting for your chanter", null],
  gone: ["The chanter is unplugged", null],
  ended: ["End of the recording", null],
  idle: [
    "Ready when you are",
    "Press Start or the space bar. You hear four clicks, then you play along.",
  ],
};

export const AWAY = (seconds) =>
  `The daemon does not answer. Showing the last update. ${seconds > 0 ? `Trying again in ${seconds} s.` : "Trying again now."}`;

/** After what the page could not read: usually one of the two was updated and the other was not. */
export const misread = (said) => `${said} Load this page again: it may be older than the daemon.`;

export const badTempo = (typed, range, unit = "clicks") =>
  `The tempo is '${typed}'; it must be a number of ${unit} a minute${range ? ` from ${tempoWords(range[0])} to ${tempoWords(range[1])}` : ""}.`;

/** The standard before one is chosen: the daemon takes its own. */
export const UNCHOSEN = "as usual";

export const NOT_YET = "The daemon has not answered yet. Try again in a moment.";
export const NO_DRILL = "The drill is empty. Type what you want to practise, such as: grip from B to C.";

/** In place of the count of reps while the click is off: a count by the grid would be a beat to follow. */
const BY_YOURSELF = "The click is off: keep the beat";

export const counting = (beat, grid, rep) => {
  if (beat < -grid.count_in - 0.5) return MAKE_READY;
  if (beat < 0) return String(Math.min(Math.max(Math.floor(beat + grid.count_in) + 1, 1), grid.count_in));
  if (grid.click_off) return BY_YOURSELF;
  return `Rep ${rep + 1}`;
};

/** A run that goes on while another view is shown. */
export const goingWords = (run, rep) => `${capital(run.drill)} at ${Math.round(run.grid.click_bpm * 100) / 100}: rep ${rep + 1}`;

/** A rep in which nothing was played. */
export const REST = "Rest";

/** After several rests, when nothing sounds at all. */
export const hearNothing = (input) =>
  `I hear nothing from ${input}. Is it switched on, plugged in and blown? If it is another chanter, choose it in Chanter set-up.`;

/** What comes after the present rep, where the next one asks for something else. */
export const nextWords = (between) => `Next: ${between}`;

/** Above the strip of a run that is over; `looked` is a rep that was picked, or null. */
export const stoppedWords = (looked) => (looked ? `Rep ${looked.rep + 1}, again` : "Stopped");

/** A figure with its spread, or a dash while there is too little to tell. */
export const DASH = "–";

/** What the settings of a run are, on one line. */
/** Where the beat of the wanted drill is: what teachers disagree about, and whether the player chose. */
export const placementWords = ({ disputed, placements, drill }) =>
  `${disputed} ${drill === placements[0].drill ? "This is where the book puts it." : `The book puts it on the ${placements[0].beat}.`}`;

export const settingsWords = (layout, standard, percent) =>
  `Settings: ${[layout, standard, `open hand ${percent}\u00a0%`].filter(Boolean).join(", ")}`;
