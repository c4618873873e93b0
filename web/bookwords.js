/** Every phrase of the book's own, and of what is heard and printed from it. */

/** How many ornaments were found, where something was typed. */
export const foundWords = (count, typed) => {
  if (typed.trim() === "") return "";
  return count === 0 ? `No ornament is called '${typed.trim()}'.` : `${count} found`;
};

/** A way for those who listen to the page. */
export const wayWords = (lead, theme, can) => `from ${lead} to ${theme}${can ? "" : ", not played"}`;

/** How many ways in there are. */
export const waysWords = ({ ways }) => `${ways.length} ${ways.length === 1 ? "way" : "ways"} in. Pick the note before and the melody note.`;

/** While the reason is still asked for. */
export const NO_WAY = "This cannot be played.";

const listed = (words) => (words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`);

/** The spellings in words, a line to the melody notes they are used on; the note before decides where a line has two. */
export function spellingLines(spellings) {
  const lines = new Map();
  for (const { themes, steps } of spellings) {
    const where = listed(themes);
    lines.set(where, [...(lines.get(where) ?? []), steps.map((step) => step.note).join(", ")]);
  }
  return [...lines].map(([where, told]) => `${lines.size > 1 && where ? `On ${where}: ` : ""}${told.join("; or ")}`);
}

/** The name of a stage of the build-up. */
export const stageWords = (index, count) => (index === count - 1 ? "The whole" : `Stage ${index + 1}`);

/** The button of the sheet. */
export const sheetWords = (count) => `On the sheet: ${count}`;

/** What is heard now. */
export const hearingWords = (drill) => (drill === null ? "" : `You hear: ${drill}.`);

export const EMPTY_SHEET = "Nothing is on the sheet yet. In the book, pick a way in and put it on the sheet.";

export const MAKING = "The PDF is being made. Hundreds of lines take a while.";

/** The name of the file for a sheet of that title. */
export const fileName = (title) => `${title.replace(/[^\p{L}\p{N} -]+/gu, "").trim() || "Ornaments"}.pdf`;
