/** Every phrase of the book's own, and of what is heard and printed from it. */

import { count } from "../ui/dates.js";

/** How many ornaments were found, where something was typed. */
export const foundWords = (found, typed, said = "") => {
  if (typed.trim() === "") return "";
  return found === 0 ? said || `No ornament is called '${typed.trim()}'.` : `${found} found`;
};

/** A way for those who listen to the page. */
export const wayWords = (lead, theme, can) => `from ${lead} to ${theme}${can ? "" : ", not played"}`;

/** How many ways in there are. */
export const waysWords = ({ ways }) => `${count(ways.length, "way")} in`;

/** While the reason is still asked for. */
export const NO_WAY = "This cannot be played.";

const listed = (words) => (words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`);

/** With more notes before it than this, a spelling is the usual one, and said last. */
const USUAL = 4;

const stepsOf = ({ steps }) => steps.map((step) => step.note).join(", ");

/** The reason without the notes before, which are there already. */
const sinceOf = ({ since }) => (since === "" ? "" : `, since ${since.replace(/^from (low |high )?[A-G] /, "")}`);

const fromOf = ({ leads }) => (leads.length > USUAL ? "from any other note" : `from ${listed(leads)}`);

/** What is played to one melody note: one spelling as it is, several each with the notes before it. */
function spelledTo(spellings) {
  if (spellings.length === 1) return stepsOf(spellings[0]);
  const rising = spellings.toSorted((one, other) => one.leads.length - other.leads.length);
  return rising.map((one) => `${fromOf(one)}: ${stepsOf(one)}${sinceOf(one)}`).join("; ");
}

/** The spellings in words, a line to the melody notes that have the same. */
export function spellingLines(spellings) {
  const played = spellings.filter((one) => one.leads.length > 0);
  const lines = new Map();
  for (const theme of new Set(played.flatMap((one) => one.themes))) {
    const spelling = spelledTo(played.filter((one) => one.themes.includes(theme)));
    lines.set(spelling, [...(lines.get(spelling) ?? []), theme]);
  }
  return [...lines].map(([spelling, themes]) => (lines.size > 1 ? `On ${listed(themes)}: ${spelling}` : spelling));
}

/** The name of a stage of the build-up. */
export const stageWords = (index, count) => (index === count - 1 ? "The whole" : `Stage ${index + 1}`);

/** Where the beat of a stage is. */
export const beatWords = (beat) => `beat on ${beat}`;

/** How the beat gets where another school has it. */
export const CHOOSE_BEAT = "Choose yours in Settings, on Practise.";

/** The button of the sheet. */
export const sheetWords = (count) => `Sheet: ${count}`;

/** What is heard now; the run that had to make room for it was stopped. */
export const playbackWords = (playback) =>
  playback === null ? "" : `You hear: ${playback.drill}.${playback.stopped ? " Your run was stopped." : ""}`;

/** The button of the practice view, and the words beside it. */
export const modelWords = (playback) => {
  if (playback === null) return ["Hear it", ""];
  return ["Stop it", playback.stopped ? "Your run was stopped for it." : "The model: listen, then play it."];
};

export const EMPTY_SHEET = "Nothing is on the sheet yet. In the book, pick a way in and put it on the sheet.";

export const MAKING = "Making the PDF. You can close this and carry on; it will be downloaded.";

export const GIVEN_UP = "Cancelled.";

const parts = ({ done, of }) => (of === 0 ? null : Math.floor((100 * done) / of));

/** How far the sheet is; of === 0: not known yet. Its first half is setting the lines, the second printing the pages. */
export function progressWords(progress) {
  const percent = parts(progress);
  if (percent === null) return "Getting ready";
  return `${percent} %: ${percent < 50 ? "setting the lines" : "printing the pages"}`;
}

/** The button of the sheet while it is made. */
export const sheetMakingWords = (progress) => `Making the sheet: ${parts(progress) ?? 0} %`;

/** The name of the file for a sheet of that title. */
export const fileName = (title) => `${title.replace(/[^\p{L}\p{N} -]+/gu, "").trim() || "Ornaments"}.pdf`;
