/** The drill that is wanted, as the book lists it: its steps and its stages. All that the practice view needs of the book. */

import * as api from "../core/api.js";

/** drillLookup({load, draw}) -> of(words): the listed drill, or null until it is known or if there is none of that name. */
export function drillLookup({ load, draw }) {
  let last = { words: "", listed: null };

  async function fetchIt(words) {
    try {
      const listed = await api.drill(words);
      if (last.words === words) last = { words, listed };
      draw();
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error; // Start says why
    }
  }

  return (words) => {
    if (last.words !== words) {
      last = { words, listed: null };
      if (words !== "") load(() => fetchIt(words));
    }
    return last.listed;
  };
}
