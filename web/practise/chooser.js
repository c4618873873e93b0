/**
 * The drill chooser: words are typed, the drills that hold all of them are listed, free words are taken too.
 *
 * A combobox after the ARIA pattern: arrows walk the list, Enter takes, Escape closes.
 */

import { fill, html } from "../ui/html.js";

const MOST = 60;

const plain = (text) => text.toLowerCase().replaceAll("-", " ").split(/\s+/).filter(Boolean);

/** The drills whose words hold, for every word typed, one that begins with it. Pure. */
export function matching(drills, typed) {
  const wanted = plain(typed);
  return drills.filter((drill) => wanted.every((word) => plain(drill.drill).some((own) => own.startsWith(word))));
}

export class Chooser {
  #drills = [];
  #found = [];
  #at = -1;

  /** `take(words)` is called with what was chosen or typed. */
  constructor(input, list, take) {
    Object.assign(this, { input, list, take });
    input.addEventListener("input", () => this.#open(input.value));
    input.addEventListener("click", () => this.#open(""));
    input.addEventListener("keydown", (event) => this.#key(event));
    input.addEventListener("blur", () => this.#leave());
    list.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      const option = event.target.closest("[role=option]");
      if (option) this.#choose(this.#found[Number(option.dataset.index)].drill);
    });
  }

  set drills(drills) {
    this.#drills = drills;
  }

  /** Show the words of the present choice, unless they are just being typed. */
  set words(words) {
    this.shown = words;
    if (document.activeElement !== this.input && this.input.value !== words) this.input.value = words;
  }

  #open(typed) {
    this.#found = matching(this.#drills, typed).slice(0, MOST);
    this.#at = -1;
    fill(
      this.list,
      html`${this.#found.map(
        (drill, index) =>
          html`<li role="option" id="drill-${index}" data-index="${index}" aria-selected="false">
            <b>${drill.drill}</b> <small>${drill.steps.join(", ")}</small>
          </li>`,
      )}`,
    );
    this.#show(this.#found.length > 0);
    this.#mark();
  }

  #show(open) {
    this.list.hidden = !open;
    this.input.setAttribute("aria-expanded", String(open));
    if (!open) this.input.removeAttribute("aria-activedescendant");
  }

  #mark() {
    for (const option of this.list.children) {
      option.setAttribute("aria-selected", String(Number(option.dataset.index) === this.#at));
    }
    if (this.#at < 0) return;
    this.input.setAttribute("aria-activedescendant", `drill-${this.#at}`);
    this.list.children[this.#at].scrollIntoView({ block: "nearest" });
  }

  #key(event) {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step) {
      event.preventDefault();
      if (this.list.hidden) this.#open("");
      if (this.#found.length === 0) return;
      this.#at = (this.#at + step + this.#found.length) % this.#found.length;
      this.#mark();
    } else if (event.key === "Enter") {
      event.preventDefault();
      this.#choose(this.#at >= 0 && !this.list.hidden ? this.#found[this.#at].drill : this.input.value);
    } else if (event.key === "Escape") {
      event.stopPropagation();
      this.input.value = this.shown;
      this.#show(false);
    }
  }

  #leave() {
    this.#show(false);
    if (this.input.value !== this.shown) this.#choose(this.input.value);
  }

  #choose(words) {
    this.input.value = words;
    this.shown = words;
    this.#show(false);
    this.take(words.trim());
  }
}
