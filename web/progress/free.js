/** Free playing over weeks in the progress view: each ornament then and now, marked as played without a click. */

import { fill, show } from "../ui/html.js";
import { table } from "./tables.js";
import { FREE, thenWords } from "./words.js";
import { DASH } from "../ui/words.js";

const held = (ms) => (ms === null ? DASH : `${Math.round(ms)} ms`);

/** Draw what was played with nothing chosen in these days; nothing if nothing was. */
export function freeOverTime(find, { free }) {
  show(find("#progress-free"), free.length > 0);
  const rows = free.map((one) => [
    one.drill,
    one.weeks > 1 ? thenWords(one.first_clean, one.first_played) : DASH,
    thenWords(one.last_clean, one.last_played),
    one.weeks > 1 ? held(one.first_held_ms) : DASH,
    held(one.last_held_ms),
  ]);
  fill(find("#free-ways"), table(FREE.caption, FREE.columns, rows));
}
