/** Every phrase about the proposal for today; its reasons come from the daemon. */

import { count } from "../ui/dates.js";

export const TODAY = "Today";
export const NOT_TODAY = "Not today";
export const NOT_THIS_WEEK = "Not this week";
/** Sets a line up on the practice view, where one button starts. */
export const CHOOSE = "Choose";
export const START_ALL = "Practise all of it";
export const ALL_DONE = "That is enough for today. Play what you like, or rest: sleep helps you learn.";

/** How long a line is meant to take. */
export const lengthWords = ({ minutes }) => `About ${count(minutes, "minute")}.`;

/** What was practised enough today. */
export const doneWords = (done) => `Done today: ${done.join(", ")}.`;

/** The button that takes refusals back. */
export const againWords = (refused) =>
  refused.length === 1 ? "Bring back the one I turned down" : `Bring back the ${refused.length} I turned down`;
