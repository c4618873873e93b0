/** What is said about players and what is kept of them. */

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** A day such as 2026-03-31 as it is read: 31 March 2026. */
export function dayWords(day) {
  const [year, month, date] = day.split("-").map(Number);
  return `${date} ${MONTHS[month - 1]} ${year}`;
}

/** How much of a player's practice is kept. */
export function keptWords({ runs, last_day }) {
  if (runs === 0) return "nothing played yet";
  return `${runs === 1 ? "1 run" : `${runs} runs`}, last on ${dayWords(last_day)}`;
}

export const UNNAMED = "Say who you are: what you play is kept under your name. No password; everybody at this machine can see it.";
export const WHO = "What is played is kept under the name of whoever is chosen here.";
export const OF = (name) => `About ${name}`;
export const DELETE = (name) => `Delete ${name} …`;
export const SURE = (name, kept) => `${name}, ${kept}: all of it is deleted for good, and nobody can bring it back.`;
