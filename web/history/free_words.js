/** Every phrase of a past run of free playing. */

import { capital } from "../ui/words.js";

export const FREE = "free playing";
export const EACH = "Every ornament, in the order in which you played them";
export const TAKE = "Take as MIDI";
export const DELETE = "Delete this run";
export const SURE = "Delete it for good, with its take?";

export const freeCleanWords = ({ ornaments, clean }) => `${clean} of ${ornaments} clean`;

/** "4 min", or "40 s". */
export function lastedWords({ began_ns, until_ns }) {
  const seconds = Math.round((until_ns - began_ns) / 1e9);
  return seconds < 100 ? `${seconds} s` : `${Math.round(seconds / 60)} min`;
}

/** The figures of a run: [name, what it is]. */
export const freeFigureRows = (run) => [
  ["lasted", lastedWords(run)],
  ["ornaments clean", `${run.clean} of ${run.ornaments}`],
  ["standard", run.standard],
  ["how it ended", run.why === null ? "it goes on, or was cut off" : capital(run.why)],
];
