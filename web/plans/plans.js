/** The view of plans: what each of them holds, and a button to start it. */

import * as api from "../core/api.js";
import { fill, html } from "../ui/html.js";
import { NO_PLANS, START_PLAN, WARM_UP, partWords } from "./words.js";

/** A warm-up is marked, unless its name says so already. */
const isMarked = ({ warm_up, name }) => warm_up && !name.toLowerCase().startsWith(WARM_UP);

const part = (one) => html`<li>
  <b>${one.name}</b>${isMarked(one) ? html` <span class="tag">${WARM_UP}</span>` : ""}
  <span class="muted">${one.name === one.drill ? "" : `${one.drill}, `}${partWords(one)}</span>
</li>`;

const card = (plan) => html`<article class="plan" aria-label="${plan.name}">
  <h2>${plan.name}</h2>
  <p>${plan.said}</p>
  <button type="button" class="go" data-plan="${plan.key}">${START_PLAN}</button>
  <ol>${plan.parts.map(part)}</ol>
</article>`;

/** The list as markup; null: not known yet. Pure. */
export const listed = (plans) => {
  if (plans === null) return html``;
  return plans.length > 0 ? html`${plans.map(card)}` : html`<p>${NO_PLANS}</p>`;
};

/** {open}: fetches the list again and shows it, with what is proposed (`propose`) on top; `start(key)` starts a plan. */
export function plansView(find, { attempt, propose, start }) {
  const list = find("#plans-list");
  list.addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-plan]");
    if (chosen) start(chosen.dataset.plan);
  });
  return {
    open() {
      propose();
      attempt(async () => fill(list, listed(await api.plans())));
    },
  };
}
