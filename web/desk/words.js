/** Every phrase of the desk's own; what the daemon says is shown as it is. */

export const LOST = "The daemon does not answer. If it still runs, the class plays on; the desk comes back by itself.";
export const NO_DRILL = "Choose a drill first.";
export const START = "Start the class";
export const STOP = "Stop the class";
export const HOLD = "Hold the wall";
export const GO_ON = "Let the wall go on";
export const EVERYBODY = "Show everybody";
export const ALL_AGAIN = "Everybody plays again";
export const MEASURE = "Measure the sound at all seats";
export const CANCEL = "Cancel measuring";
export const UNCHOSEN = "as usual";

/** Who plays what. */
export function playingWords(klass, names) {
  if (!klass || klass.state === "waiting") return "Nobody plays yet.";
  if (klass.measuring.length > 0) return `Sixteen clicks: ${klass.measuring.length === 1 ? "the seat answers" : "everybody answers"} with a note on each.`;
  const what = `${klass.drill} at ${Math.round(klass.click_bpm * 10) / 10}`;
  if (klass.state === "over") return `Over: ${what}.`;
  if (klass.alone !== null) return `${names[klass.alone] ?? `Seat ${klass.alone}`} plays alone: ${what}.`;
  return `${klass.playing.length === 1 ? "1 plays" : `${klass.playing.length} play`}: ${what}.`;
}

/** A tempo or a length that is no number, or out of range. */
export const badNumber = (typed, low, high) => `'${typed}' is not a number from ${low} to ${high}.`;

/** What the last rep of a seat came to. */
export const wordOf = (row) => row?.word ?? "";

/** How many clean in a row. */
export const rowWords = (row) => (row && row.rep !== null ? `${row.in_a_row} in a row` : "");

/** What a seat's chanter needs; empty if it is there. */
export const chanterWords = (chanter) => (["ready", "ended"].includes(chanter.state) ? "" : chanter.said);

/** How a player's part of a class went. */
export const playedWords = ({ clean, played, longest_row }) => `${clean} of ${played} clean, ${longest_row} in a row at most`;

/** How far apart, or that there was nobody to be apart from. */
export const apartWords = (apart_ms) => (apart_ms === null ? "one player" : `${Math.round(apart_ms)} ms`);

/** Whose reps the summary has. */
export const keptWords = (players) =>
  players === 0 ? "No player wanted their reps kept." : "Players whose reps are kept, in the order of the seats.";

/** Where the click may sound, each with its words. */
export const places = (seats) => [
  ["desk", "here, at the desk"],
  ["wall", "at the wall"],
  ...seats.map(({ seat, name }) => [seat, `at seat ${seat} (${name})`]),
  ["nowhere", "nowhere"],
];

/** What was measured, or how far it is. */
export function measureWords(seats, measuring) {
  const running = seats.filter(({ seat }) => measuring.includes(seat));
  if (running.length > 0) return running.map(({ name, calibration }) => `${name}: ${calibration?.heard ?? 0} of 16`).join(", ");
  const failed = seats.filter(({ calibration }) => calibration?.state === "failed");
  return failed.map(({ name, calibration }) => `${name}: ${calibration.said}`).join(" ");
}
