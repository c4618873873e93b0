/** Deleting a past run for good: the question before it, whose answer is Keep unless Delete is pressed. */

import { html } from "../ui/html.js";

/** The question; `kind` begins the ids of all that belongs to it. */
export const sureMarkup = (kind, said) =>
  html`<p id="${kind}-sure" class="notice" role="alert" hidden><span>${said}</span><button type="button" id="${kind}-yes">Delete</button><button type="button" id="${kind}-no">Keep</button></p>`;

/** Wire it to the button `#kind-delete`: `ask(sure)` shows the question or takes it away, `gone()` deletes. */
export function sureButtons(find, kind, { ask, gone }) {
  find(`#${kind}-delete`).addEventListener("click", () => {
    ask(true);
    requestAnimationFrame(() => find(`#${kind}-no`).focus());
  });
  find(`#${kind}-no`).addEventListener("click", () => {
    ask(false);
    find(`#${kind}-delete`).focus();
  });
  find(`#${kind}-yes`).addEventListener("click", gone);
}
