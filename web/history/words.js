/** Every phrase of the history view: days, runs, what is asked before something is deleted. */

import { dateWords } from "../ui/dates.js";
import { tempoWords } from "../ladder/words.js";
import { DASH, capital, placeWords, whole } from "../ui/words.js";

export const NONE_YET = "Nothing is kept yet. Every run that you play, of a drill or a tune, is listed here.";
export const NONE_SUCH = "No run of this is among those that are listed.";
export const OLDER = "Show older runs";
export const ALL_ORNAMENTS = "everything";
export const TUNES = "Tunes";
export const ORNAMENTS = "Ornaments";
export const DELETE = "Delete this run";
export const SURE = "Delete it for good, with all its reps and its take?";
export const LADDER = "tempo ladder";
/** The mode of a run whose click stopped after the count-in, as the daemon writes it. */
export const CLICK_OFF = "click off";
export const CHOOSE = "Choose a run to look at it and to hear it again.";
const WALKS = "up and down the scale";

const DAY = { weekday: "long", day: "numeric", month: "long", year: "numeric" };

/** A day such as 2030-05-08 in words. */
export const dayWords = (day) => dateWords(day, DAY).replace(",", "");

/** The time at the player's own place at which a run began. */
export function timeWords({ began_ns, utc_offset_s }) {
  const at = new Date(began_ns / 1e6 + utc_offset_s * 1000);
  return at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: "UTC" });
}

/** The drill of a run, with its stage, as it can be asked for again. */
export const drillOf = ({ way, stage }) =>
  `${way.drill.replace(/, stage \d+$/i, "")}${stage === null ? "" : `, stage ${stage}`}`;

/** A run in words. */
export const runWords = (run) => `${drillOf(run)}${run.walks ? `, ${WALKS}` : ""}`;

/** How it went, in a few words. */
export const cleanWords = (runs) => {
  const sum = (field) => runs.reduce((total, run) => total + run[field], 0);
  return `${sum("clean")} of ${sum("played")} clean`;
};

/** The tempo of a run, or from the slowest to the fastest of a ladder. */
export function tempiWords(runs) {
  // Without a click the tempo is what was measured: its fractions say nothing.
  const all = runs.map((run) => (run.click_off ? Math.round(run.click_bpm) : run.click_bpm));
  const [low, high] = [Math.min(...all), Math.max(...all)];
  return low === high ? tempoWords(low) : `${tempoWords(low)}–${tempoWords(high)}`;
}

/** The figures of a run: [name, what it is]. */
export const figureRows = (run, on_beat_ms) => [
  ["tempo", `${tempoWords(run.click_bpm)} clicks`],
  ["clean", `${run.clean} of ${run.played}, ${run.longest_row} in a row`],
  ["usually", run.bias_ms === null ? DASH : `${placeWords(run.bias_ms, on_beat_ms)}${run.spread_ms === null ? "" : ` ± ${whole(run.spread_ms)} ms`}`],
  ["standard", run.standard],
  ["layout", run.layout],
  ["how it ended", run.why === null ? "it goes on, or was cut off" : capital(run.why)],
];
