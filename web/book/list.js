/** The list of ornaments: typing finds by any name, the arrows walk, and what they stand on is looked at at once. */

import { byChapter, shownFor, stepped } from "./find.js";
import { fill, html, say } from "../ui/html.js";
import { foundWords } from "./words.js";

const idOf = (name) => `ornament-${name.replaceAll(" ", "-")}`;

const option = (chosen) => ({ ornament, by }) =>
  html`<div role="option" id="${idOf(ornament.name)}" data-name="${ornament.name}" aria-selected="${ornament.name === chosen}">
    ${ornament.name}${by ? html` <small>${by}</small>` : ""}
  </div>`;

const chapter = (chosen) => ([name, list], index) =>
  html`<div role="group" aria-labelledby="chapter-${index}">
    <h3 id="chapter-${index}" role="presentation">${name}</h3>
    ${list.map(option(chosen))}
  </div>`;

/** draw(book); `type(text)` and `choose(name)` are called with what was asked. */
export function bookList(find, { type, choose }) {
  const input = find("#find");
  const list = find("#ornaments");
  let shown = [];
  // Known before it is drawn: keys may come faster than frames.
  let chosen = null;
  let drawn = null;
  const go = (name) => {
    chosen = name;
    choose(name);
  };

  input.addEventListener("input", () => type(input.value));
  input.addEventListener("keydown", (event) => {
    const step = { ArrowDown: 1, ArrowUp: -1, PageDown: 8, PageUp: -8 }[event.key];
    if (step) {
      event.preventDefault();
      const name = stepped(shown, chosen, step);
      if (name) go(name);
    } else if (event.key === "Enter" && shown.length > 0) {
      go(stepped(shown, chosen, 0));
    } else if (event.key === "Escape") {
      input.value = "";
      type("");
    }
  });
  list.addEventListener("click", (event) => {
    const one = event.target.closest("[data-name]");
    if (one) go(one.dataset.name);
  });

  return (book) => {
    shown = shownFor(book);
    const moved = drawn !== book.chosen;
    chosen = drawn = book.chosen;
    fill(list, html`${byChapter(shown).map(chapter(chosen))}`);
    say(find("#found"), foundWords(shown.length, book.typed, book.meant?.said ?? ""));
    const at = shown.some((one) => one.ornament.name === chosen) ? document.getElementById(idOf(chosen)) : null;
    if (at) input.setAttribute("aria-activedescendant", at.id);
    else input.removeAttribute("aria-activedescendant");
    if (moved) at?.scrollIntoView({ block: "nearest" });
  };
}
