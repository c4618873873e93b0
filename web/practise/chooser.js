/**
 * The drill chooser: words are typed, the drills that hold all of them are listed, other words that the daemon knows are
 * taken too.
 *
 * A combobox after the ARIA pattern: arrows walk the list, Enter takes, Escape closes.
 */

import { Refused } from "../core/api.js";
import { fill, html } from "../ui/html.js";

const MOST = 60;

const plain = (text) => text.toLowerCase().replaceAll("-", " ").split(/\s+/).filter(Boolean);

/** The drills whose words hold, for every word typed, one that begins with it. Pure. */
export function matching(drills, typed) {
  const wanted = plain(typed);
  return drills.filter((drill) => wanted.every((word) => plain(drill.drill).some((own) => own.startsWith(word))));
}

export class Chooser {
  #drills = null;
  #found = [];
  #at = -1;
  #entered = false;
  /** Counts what was asked of the list: an answer that comes after the list was closed opens nothing. */
  #asked = 0;

  /**
   * `take(words)` is called with what was chosen; `list()` fetches all drills, when they are first looked through;
   * `look(words)` asks the daemon for one, and throws Refused, with a guess, if it has none of that name. `keeps`: words that the
   * daemon does not know are taken too when the field is left, as in a form that is checked later.
   */
  constructor(input, list, { take, list: fetchAll, look, keeps = false }) {
    Object.assign(this, { input, list, take, fetchAll, look, keeps });
    input.addEventListener("input", () => this.#open(input.value));
    input.addEventListener("focus", () => (this.#entered = true));
    input.addEventListener("click", () => {
      if (this.#entered) input.select(); // what is typed takes the place of the choice, as after Tab; a second press sets the caret
      this.#entered = false;
      this.#open("");
    });
    input.addEventListener("keydown", (event) => this.#key(event));
    input.addEventListener("blur", () => this.#leave());
    list.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      const option = event.target.closest("[data-index]");
      if (option) this.#choose(this.#found[Number(option.dataset.index)].drill);
    });
  }

  /** Show the words of the present choice, unless they are just being typed. */
  set words(words) {
    this.shown = words;
    if (document.activeElement !== this.input && this.input.value !== words) this.input.value = words;
  }

  async #open(typed) {
    const asked = (this.#asked += 1);
    this.#drills ??= this.fetchAll().catch((error) => {
      this.#drills = null;
      console.warn("The list of drills cannot be had now.", error);
      return [];
    });
    const drills = await this.#drills;
    if (asked !== this.#asked || document.activeElement !== this.input) return;
    this.#found = matching(drills, typed).slice(0, MOST);
    this.#at = -1;
    if (this.#found.length === 0) return this.#guess(typed);
    this.#fill(
      this.#found.map(
        (drill, index) =>
          html`<li role="option" id="${this.list.id}-${index}" data-index="${index}" aria-selected="false">
            <b>${drill.drill}</b> <small>${drill.steps.join(", ")}</small>
          </li>`,
      ),
    );
    this.#mark();
  }

  #fill(rows) {
    fill(this.list, html`${rows}`);
    this.#show(true);
  }

  /** Nothing in the list fits: the daemon may know it by another name, or guess what is meant. */
  async #guess(typed) {
    const asked = this.#asked;
    const said = await this.#refusal(typed);
    if (asked !== this.#asked || document.activeElement !== this.input) return;
    if (said === null) this.#show(false);
    else this.#fill([html`<li role="option" aria-disabled="true" class="none">${said}</li>`]);
  }

  /** Why there is no drill of that name; null if there is. */
  async #refusal(words) {
    try {
      await this.look(words);
      return null;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      return error.message;
    }
  }

  #show(open) {
    if (!open) this.#asked += 1;
    this.list.hidden = !open;
    this.input.setAttribute("aria-expanded", String(open));
    if (!open) this.input.removeAttribute("aria-activedescendant");
  }

  #mark() {
    for (const option of this.list.children) {
      option.setAttribute("aria-selected", String(Number(option.dataset.index) === this.#at));
    }
    if (this.#at < 0) return;
    this.input.setAttribute("aria-activedescendant", `${this.list.id}-${this.#at}`);
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
      if (this.#at >= 0 && !this.list.hidden) this.#choose(this.#found[this.#at].drill);
      else this.#typed(this.input.value);
    } else if (event.key === "Escape") {
      event.stopPropagation();
      this.input.value = this.shown;
      this.#show(false);
    }
  }

  #leave() {
    this.#show(false);
    if (this.input.value === this.shown) return;
    if (this.keeps) this.#choose(this.input.value);
    else this.#typed(this.input.value);
  }

  /** Take typed words if the daemon knows them; if not, its answer is in the list and the choice stays as it was. */
  async #typed(typed) {
    const words = typed.trim();
    const said = words === "" ? null : await this.#refusal(words);
    if (said === null) return this.#choose(words);
    if (document.activeElement === this.input) this.#fill([html`<li role="option" aria-disabled="true" class="none">${said}</li>`]);
    else this.input.value = this.shown;
  }

  #choose(words) {
    this.input.value = words;
    this.shown = words;
    this.#show(false);
    this.take(words);
  }
}
