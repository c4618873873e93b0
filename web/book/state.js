/** What the page knows of the book, and how it changes. Pure; nothing is changed in place. */

export const closedBook = () => ({
  ornaments: null,
  // Where the player puts the beat of ornaments that teachers disagree about: [{ornament, at}].
  placements: [],
  said: null,
  typed: "",
  // What the daemon finds where no name begins as typed: {ornaments: [{ornament, lead, theme}], said}, or null.
  meant: null,
  chosen: null,
  lead: null,
  theme: null,
  reason: null,
  sheet: [],
  playback: null,
  tunings: [],
});

const chosenAt = (placements, { name }) => placements.find((one) => one.ornament === name)?.at;

/** The ornament as the player plays it: each way with its beat where they put it, if it can be there. Pure. */
export function placed(ornament, placements) {
  const moved = ornament.placed.find((one) => one.at === chosenAt(placements, ornament))?.ways ?? [];
  const theirs = (way) => moved.find((one) => one.lead === way.lead && one.theme === way.theme) ?? way;
  return moved.length === 0 ? ornament : { ...ornament, ways: ornament.ways.map(theirs) };
}

/** The ornament that is looked at, as this player plays it, or null. */
export function ornamentOf(book) {
  const found = book.ornaments?.find((one) => one.name === book.chosen);
  return found ? placed(found, book.placements) : null;
}

/** The ornament's way between two notes, or null where there is none. */
export const wayBetween = (ornament, lead, theme) =>
  ornament.ways.find((way) => way.lead === lead && way.theme === theme) ?? null;

/** The way that is looked at, or null. */
export const wayOf = (book) => {
  const ornament = ornamentOf(book);
  return ornament && wayBetween(ornament, book.lead, book.theme);
};

/** The words for an ornament between two notes, whether it can be played there or not. */
export const wordsBetween = (ornament, lead, theme) =>
  wayBetween(ornament, lead, theme)?.drill ?? `${ornament.name} from ${lead} to ${theme}`;

/** Another ornament is looked at, by its first way in. */
export function chosen(book, name) {
  const ornament = book.ornaments?.find((one) => one.name === name);
  if (!ornament) return book;
  const way = book.meant?.ornaments.find((one) => one.ornament === name) ?? ornament.ways[0];
  return { ...book, chosen: name, lead: way?.lead ?? null, theme: way?.theme ?? null, reason: null };
}

/** The book came; the ornament of the address is looked at, or else the first. */
export const filled = (book, ornaments, name) => {
  const known = ornaments.some((one) => one.name === name);
  return chosen({ ...book, ornaments, said: null }, known ? name : ornaments[0]?.name);
};

/** Something else was typed; what the daemon found for the words before goes. */
export const typed = (book, words) => ({ ...book, typed: words, meant: null });

/** What the daemon found; an answer that comes too late changes nothing. */
export const meant = (book, words, ornaments, said) =>
  book.typed === words ? { ...book, meant: { ornaments, said } } : book;

/** Two notes were picked; the reason is not known yet if nothing can be played between them. */
export const between = (book, lead, theme) => ({ ...book, lead, theme, reason: null });

/** The daemon said why nothing can be played between these two notes; an answer that comes too late changes nothing. */
export const unplayable = (book, { chosen: name, lead, theme }, reason) =>
  book.chosen === name && book.lead === lead && book.theme === theme ? { ...book, reason } : book;

/** With these drills on the sheet, each once and in the order in which they came. */
export const onSheet = (book, drills) => ({ ...book, sheet: [...new Set([...book.sheet, ...drills])] });

/** Without this drill on the sheet. */
export const offSheet = (book, drill) => ({ ...book, sheet: book.sheet.filter((one) => one !== drill) });
