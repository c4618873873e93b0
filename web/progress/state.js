/** What the progress view shows and what it was asked: pure, nothing is changed in place. */

const DAY_MS = 86_400_000;

/** The spans to choose from: their name, and how many days back they begin; null: all there is. */
export const SPANS = [
  { name: "4 weeks", days: 28 },
  { name: "3 months", days: 91 },
  { name: "a year", days: 365 },
  { name: "all", days: null },
];

export const IN_A_ROW = [3, 5, 10];

export const closedProgress = () => ({
  player: null,
  span: SPANS[1].name,
  in_a_row: IN_A_ROW[0],
  drill: null,
  answer: null,
  from: null,
  to: null,
});

/** The day at the player's own place, as 2026-03-31. */
export const dayOf = (date) =>
  [date.getFullYear(), date.getMonth() + 1, date.getDate()].map((part) => String(part).padStart(2, "0")).join("-");

/** The number of a day: how many after 1970-01-01. */
export const dayNumber = (day) => Math.round(Date.parse(`${day}T00:00:00Z`) / DAY_MS);

/** The day of a number. */
export const numberedDay = (number) => new Date(number * DAY_MS).toISOString().slice(0, 10);

/** {from, to} of a span that ends today; from is null for all there is. */
export function spanDays(name, today) {
  const { days } = SPANS.find((span) => span.name === name) ?? SPANS[1];
  return { from: days === null ? null : numberedDay(dayNumber(today) - days + 1), to: today };
}

/** The days that the pictures reach over: what was asked, or from the first day of practice on. */
export function spanShown({ from, to, answer }) {
  const first = from ?? answer.first_day;
  const begun = answer.practice[0]?.day ?? first; // a week or a month may begin before the span does
  return { first: begun < first ? begun : first, last: to };
}

/** Why there is nothing to draw: "asking", "nothing yet", "nothing then", or null. */
export function progressEmptiness({ answer }) {
  if (answer === null) return "asking";
  if (answer.first_day !== null) return null;
  return answer.began === null ? "nothing yet" : "nothing then";
}
