/** Days and counts in British English, by the browser's own Intl. Pure. A day is a text such as 2026-03-31. */

const formats = new Map();
const plurals = new Intl.PluralRules("en-GB");
const numbers = new Intl.NumberFormat("en-GB");

/** A day in words, as the options of Intl.DateTimeFormat have it; no day depends on where the browser is. */
export function dateWords(day, options) {
  const key = JSON.stringify(options);
  if (!formats.has(key)) formats.set(key, new Intl.DateTimeFormat("en-GB", { ...options, timeZone: "UTC" }));
  return formats.get(key).format(new Date(`${day}T00:00:00Z`)).replace("Sept", "Sep");
}

/** "1 rep", "1,200 reps"; `others` is the plural where it is not made with an s. */
export const count = (number, one, others = `${one}s`) =>
  `${numbers.format(number)} ${plurals.select(number) === "one" ? one : others}`;
