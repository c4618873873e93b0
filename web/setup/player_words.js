/** What is said about players and what is kept of them. */

import { count, dateWords } from "../ui/dates.js";

/** A day such as 2026-03-31 as it is read: 31 March 2026. */
export const dayWords = (day) => dateWords(day, { day: "numeric", month: "long", year: "numeric" });

/** How much of a player's practice is kept. */
export function keptWords({ runs, last_day }) {
  if (runs === 0) return "nothing played yet";
  return `${count(runs, "run")}, last on ${dayWords(last_day)}`;
}

export const UNNAMED = "Say who you are, and your practice is kept under your name. There is no password: anyone at this computer can see it.";
export const WHO = "Your practice is kept under the name chosen here.";
export const OF = (name) => `About ${name}`;
export const DELETE = (name) => `Delete ${name} …`;
export const SURE = (name, kept) => `${name}, ${kept}: all of it will be deleted, and nobody can bring it back.`;
