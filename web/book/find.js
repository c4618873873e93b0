/** Finding an ornament by any of its names. Pure. */

const plain = (text) => text.toLowerCase().replaceAll("-", " ").split(/\s+/).filter(Boolean);

/** A letter beside other words is a note and no beginning: "C doubling" is no doubling "closed by E". */
const begins = (own, word, wanted) => own === word || (own.startsWith(word) && (word.length > 1 || wanted.length === 1));

const holds = (name, wanted) => wanted.every((word) => plain(name).some((own) => begins(own, word, wanted)));

/** The ornaments found: {ornament, by}, `by` being the other name that fits where the ornament's own does not. */
export function found(ornaments, typed) {
  const wanted = plain(typed);
  return ornaments.flatMap((ornament) => {
    if (holds(ornament.name, wanted)) return [{ ornament, by: null }];
    const by = ornament.also.find((name) => holds(name, wanted));
    return by ? [{ ornament, by }] : [];
  });
}

/** What is shown for the words typed: what this page finds by itself, or else what the daemon found. */
export function shownFor({ ornaments, typed, meant }) {
  const own = found(ornaments ?? [], typed);
  if (own.length > 0 || meant === null) return own;
  const names = meant.ornaments.map((one) => one.ornament);
  return ornaments.filter((one) => names.includes(one.name)).map((ornament) => ({ ornament, by: null }));
}

/** In chapters, in the book's own order: [chapter, [found, ...]]. */
export function byChapter(list) {
  const chapters = new Map();
  for (const one of list) {
    if (!chapters.has(one.ornament.chapter)) chapters.set(one.ornament.chapter, []);
    chapters.get(one.ornament.chapter).push(one);
  }
  return [...chapters];
}

/** The name `step` places further on in the list, or the first when the present one is not in it; null if it is empty. */
export function stepped(list, name, step) {
  if (list.length === 0) return null;
  const at = list.findIndex((one) => one.ornament.name === name);
  return list[at < 0 ? 0 : Math.min(Math.max(at + step, 0), list.length - 1)].ornament.name;
}
