/** Every phrase about the proposal for today; its reasons come from the daemon. */

export const TODAY = "Today";
export const NOT_TODAY = "Not today";
export const NOT_THIS_WEEK = "Not this week";
export const START_ALL = "Go through all of it";
export const ALL_DONE = "Nothing more is proposed for today. Play what you like, or let it rest: a night does its part.";

/** How long a line is meant to take. */
export const lengthWords = ({ minutes }) => `About ${minutes} ${minutes === 1 ? "minute" : "minutes"}.`;

/** What was practised enough today. */
export const doneWords = (done) => `Done today: ${done.join(", ")}.`;

/** The button that takes refusals back. */
export const againWords = (refused) =>
  refused.length === 1 ? "Propose again the one I did not want" : `Propose again the ${refused.length} I did not want`;
