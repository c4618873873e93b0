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

/** As in "76 a minute, rep 14". Reps are counted from 1 for people. */
export const tempoLine = ({ click_bpm, rep }) =>
  `${Math.round(click_bpm * 10) / 10} a minute${rep === null ? "" : `, rep ${rep + 1}`}`;

/** As in "held, page 1 of 2"; empty while everybody is seen and it goes on. */
export const stateLine = ({ state }, page, pages) =>
  [STATES[state], pages > 1 ? `page ${page + 1} of ${pages}` : null].filter(Boolean).join(", ");

/** Ways to write a name, from the whole to its beginning. */
function shorter(name) {
  const parts = name.split(/\s+/);
  const initial = parts.length > 1 ? [`${parts[0]} ${parts.at(-1)[0]}.`] : [];
  const cut = Array.from(parts[0], (_, index) => `${parts[0].slice(0, parts[0].length - index)}…`);
  return [name, ...initial, parts[0], ...cut];
}

/** Names as they find room, where `fits(words)`: "Janet Macallister" as "Janet M."; two alike get their seats' numbers. */
export function shortNames(seats, fits) {
  const short = seats.map(({ name }) => (name ? (shorter(name).find(fits) ?? "…") : name));
  const alike = (index) => short.some((one, place) => place !== index && one === short[index] && seats[place].name !== seats[index].name);
  return short.map((one, index) => {
    if (!one || !alike(index)) return one;
    const { seat, name } = seats[index];
    return [`${name.split(/\s+/)[0]} ${seat}`, `${seat}`].find(fits) ?? `${seat}`;
  });
}
