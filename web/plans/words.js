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
export function leftWords({ state, left_s, reps, reps_wanted }) {
  if (left_s !== null) return state === "between" ? `begins in ${left_s}` : `${clockWords(left_s)} left`;
  return state === "playing" && reps_wanted !== null ? `${reps} of ${reps_wanted} reps` : "";
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
