/** The view of plans: what each of them holds, buttons to start, change, copy and delete it, and the form to make one. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { planEditor } from "./editor.js";
import {
  CHANGE, COPY, COPY_AND_CHANGE, DELETE, DELETE_FOR_GOOD, KEEP, NO_PLANS, START_PLAN, WARM_UP, deletedWords, partWords, savedWords, sureWords,
} from "./words.js";

/** A warm-up is marked, unless its name says so already. */
const isMarked = ({ warm_up, name }) => warm_up && !name.toLowerCase().startsWith(WARM_UP);

const part = (one) => html`<li>
  <b>${one.name}</b>${isMarked(one) ? html` <span class="tag">${WARM_UP}</span>` : ""}
  <span class="muted">${one.name === one.drill ? "" : `${one.drill}, `}${partWords(one)}</span>
</li>`;

/** What can be done with a plan: one that ships is copied before it is changed. */
function deeds({ key, own, name, trouble, can_change }, sure) {
  const act = (what, words) => html`<button type="button" data-${what}="${key}" aria-label="${words.replace(" …", "")}: ${name}">${words}</button>`;
  if (sure === key)
    return html`<div class="notice" role="alertdialog" aria-label="${DELETE_FOR_GOOD}?"><p>${sureWords(name)}</p>
      <button type="button" data-keep="${key}">${KEEP}</button><button type="button" data-gone="${key}">${DELETE_FOR_GOOD}</button></div>`;
  if (trouble) return html`${can_change ? act("change", CHANGE) : ""}${act("delete", DELETE)}`;
  return own ? html`${act("change", CHANGE)}${act("copy", COPY)}${act("delete", DELETE)}` : act("copy", COPY_AND_CHANGE);
}

/** A plan that cannot be used now: why, and the ways to mend it. */
const broken = (plan, sure) => html`<article class="plan" aria-label="${plan.name}">
  <h2>${plan.name}</h2>
  <p class="wrong">${plan.trouble}</p>
  <div class="row">${deeds(plan, sure)}</div>
</article>`;

const usable = (plan, sure) => html`<article class="plan" aria-label="${plan.name}">
  <h2>${plan.name}</h2>
  <p>${plan.said}</p>
  <div class="row"><button type="button" class="go" data-plan="${plan.key}">${START_PLAN}</button>${deeds(plan, sure)}</div>
  <ol>${plan.parts.map(part)}</ol>
</article>`;

const card = (plan, sure) => (plan.trouble ? broken(plan, sure) : usable(plan, sure));

/** The list as markup; null: not known yet; `sure`: the key of the plan that may be deleted. Pure. */
export const listed = (plans, sure = null) => {
  if (plans === null) return html``;
  return plans.length > 0 ? html`${plans.map((plan) => card(plan, sure))}` : html`<p>${NO_PLANS}</p>`;
};

/**
 * {open}: fetches the list again and shows it, with what is proposed (`propose`) on top; `start(key)` starts a plan, `now()` is the
 * daemon's state. A plan that is being made waits while other views are shown.
 */
export function plansView(find, { attempt, propose, start, now }) {
  const list = find("#plans-list");
  const status = find("#plans-status");
  let plans = null;
  let sure = null;

  function draw() {
    show(list, !editor.open);
    show(find("#plan-new"), !editor.open);
    find("#plans").classList.toggle("edits", editor.open);
    fill(list, listed(plans, sure));
  }

  const look = async () => {
    plans = await api.plans();
    draw();
  };

  const editor = planEditor(find("#plan-edit"), status, {
    attempt,
    now,
    saved: (plan) =>
      attempt(async () => {
        await look();
        say(status, plan ? savedWords(plan.name) : "");
        if (plan === null) find("#plan-new").focus();
        else list.querySelector(`[data-plan="${CSS.escape(plan.key)}"]`)?.focus();
      }),
  });

  const edit = async (begin) => {
    if (now() === null) return;
    await begin();
    draw();
  };
  const ask = (key, focus) => {
    sure = key;
    draw();
    list.querySelector(focus)?.focus();
  };
  const drop = (key) =>
    attempt(async () => {
      const { name } = plans.find((plan) => plan.key === key);
      await api.deletePlan(key, (await api.plan(key)).version);
      sure = null;
      await look();
      say(status, deletedWords(name));
      find("#plan-new").focus();
    });

  find("#plan-new").addEventListener("click", () => edit(editor.create));
  list.addEventListener("click", (event) => {
    const { dataset } = event.target.closest("button") ?? { dataset: {} };
    if ("plan" in dataset) start(dataset.plan);
    else if ("change" in dataset) edit(() => editor.change(dataset.change));
    else if ("copy" in dataset) edit(() => editor.copy(dataset.copy));
    else if ("delete" in dataset) ask(dataset.delete, "[data-keep]");
    else if ("keep" in dataset) ask(null, `[data-delete="${CSS.escape(dataset.keep)}"]`);
    else if ("gone" in dataset) drop(dataset.gone);
  });
  return {
    open() {
      sure = null;
      propose();
      attempt(look);
    },
  };
}
