/** The book: fetched once when it is first opened, drawn when it changed, and what is looked for in it. */

import * as api from "../core/api.js";
import { bookEntry } from "./entry.js";
import { bookList } from "./list.js";
import { between, chosen, filled, meant, onSheet, ornamentOf, typed, unplayable, wayOf, wordsBetween } from "./state.js";
import { found } from "./find.js";
import { show } from "../ui/html.js";
import { addressOf } from "../core/route.js";

/** How long a typist pauses before the daemon is asked, in ms. */
const PAUSE_MS = 200;

/**
 * draw(state) and open(name) for the page; `now()` returns its state, `turn(change)` changes its book, and
 * `placements()` says where its player puts the beat of which ornament.
 *
 * `practise(drill)` leads to the practice view, `hear(drill)` plays it, `hearOrStop(drill)` stops what
 * is heard already; `known()` sees to it that the tunings are.
 */
export function bookView(find, { now, placements, turn, practise, hear, hearOrStop, known }) {
  let drawn = null;
  let coming = false;

  async function open(name) {
    known();
    if (now().book.ornaments) {
      if (name) turn((book) => chosen(book, name));
      return;
    }
    if (coming) return;
    coming = true;
    try {
      const { ornaments } = await api.book();
      turn((book) => filled(book, ornaments, name));
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      turn((book) => ({ ...book, said: error.message }));
    } finally {
      coming = false;
    }
  }

  function choose(name) {
    turn((book) => chosen(book, name));
    history.replaceState(null, "", addressOf(name));
  }

  /** Ask why, where nothing can be played. */
  async function pick(lead, theme) {
    turn((book) => between(book, lead, theme));
    const { book } = now();
    if (wayOf(book)) return;
    try {
      await api.drill(wordsBetween(ornamentOf(book), lead, theme));
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      turn((later) => unplayable(later, book, error.message));
    }
  }

  /** What no name begins with may be misspelt, or name the melody note: the daemon knows. */
  let asking;
  function type(words) {
    turn((book) => typed(book, words));
    clearTimeout(asking);
    if (words.trim() === "" || found(now().book.ornaments ?? [], words).length > 0) return;
    asking = setTimeout(() => ask(words), PAUSE_MS);
  }

  async function ask(words) {
    try {
      const { ornaments, said } = await api.found(words);
      turn((book) => meant(book, words, ornaments, said));
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error;
      turn((book) => meant(book, words, [], error.message));
    }
  }

  find("#way-practise").addEventListener("click", () => practise(wayOf(now().book).drill));
  find("#way-hear").addEventListener("click", () => hearOrStop(wayOf(now().book)?.drill));
  find("#way-sheet").addEventListener("click", () => turn((book) => onSheet(book, [wayOf(book).drill])));
  find("#ways-sheet").addEventListener("click", () =>
    turn((book) => onSheet(book, ornamentOf(book).ways.map((way) => way.drill))),
  );
  find("#built-stages").addEventListener("click", (event) => {
    const { practise: drill, hear: heard } = event.target.closest("button")?.dataset ?? {};
    if (drill) practise(drill);
    if (heard) hear(heard);
  });
  const list = bookList(find, { type, choose });
  const entry = bookEntry(find, pick);

  function draw({ view, book }) {
    if (view === "book" && book.placements !== placements()) {
      turn((now) => ({ ...now, placements: placements() }));
      return; // what changed is drawn next
    }
    if (view !== "book" || drawn === book) return;
    drawn = book;
    list(book);
    entry(book);
  }
  return { draw, open };
}
