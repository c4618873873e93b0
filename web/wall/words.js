/** Every phrase of the wall's own; what the daemon says of the band is shown as it is. */

export const WAITING = "The class has not begun.";
export const BEAT = "beat";
export const IN_A_ROW = "in a row";
export const TOGETHER = "Together";
export const AWAY = "away";
export const LOST = "The wall has lost the daemon; it comes back by itself.";

/** As in "Grip from B to C". */
export const titleOf = ({ drill }) => drill[0].toUpperCase() + drill.slice(1);

/** Over the last reps of one seat. */
export const litTitle = (lit, exercise) => (lit.name ? `${lit.name}: ${exercise.drill}` : titleOf(exercise));

/** Over a rep that is played again. */
export const againTitle = (replay) => `${replay.name || "Again"}, rep ${replay.rep.rep + 1}, ${SLOW[replay.factor] ?? `${replay.factor} times as slow`}`;

const SLOW = { 1: "as played", 2: "at half speed", 4: "at quarter speed" };

/** How many play. */
export const playing = (seats) => (seats === 1 ? "1 plays" : `${seats} play`);

const STATES = { frozen: "held", over: "over" };

/** As in "76 clicks a minute, rep 14, 1 of 2". Reps are counted from 1 for people. */
export function tempoLine({ click_bpm, rep, state }, page, pages) {
  const parts = [`${Math.round(click_bpm * 10) / 10} clicks a minute`];
  if (rep !== null) parts.push(`rep ${rep + 1}`);
  if (STATES[state]) parts.push(STATES[state]);
  if (pages > 1) parts.push(`page ${page + 1} of ${pages}`);
  return parts.join(", ");
}
