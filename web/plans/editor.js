/** Making and changing a plan: its fields, its parts in their order, and what the daemon finds wrong, beside its field. */

import * as api from "../core/api.js";
import { Chooser } from "../practise/chooser.js";
import { fill, html, say, show } from "../ui/html.js";
import {
  broughtBack, copyOf, draftOf, moved, newDraft, tableOf, withField, withMistakes, withOpen, withPart, withPartField, withoutPart,
} from "./draft.js";
import { partForm, restOfPlan, typed } from "./part_form.js";
import {
  ADD_PART, BRING_BACK, BREAK_HINT, BREAK_OF_HINT, CANCEL, CHANGE_PLAN, FIELDS, HINTS, KEEP_EDITING, MOVE_HINT, NEW_PLAN, SAVE, THROW_AWAY,
  THROW_AWAY_SURE, draftWords, movedWords, removedWords, wrongWords,
} from "./words.js";

const STEPS = { up: -1, down: 1 };
const KEYS = { ArrowUp: "up", ArrowDown: "down" };

/** The fields that decide which others are shown, or what can be chosen in them. */
const REDRAWN = ["how", "plays", "tune", "ornament"];
const NO_TUNES = { rows: null, open: new Map() };

/** The draft as markup; `tunes` is {rows, open}: all of them, null while not known, and those that were opened by their keys. Pure. */
export const edited = (draft, daemon, sure, tunes = NO_TUNES) => html`<h2 id="plan-edit-name">${draft.called === null ? NEW_PLAN : CHANGE_PLAN(draft.called)}</h2>
  <div class="fields">
    ${typed(draft, null, "name", FIELDS.name, draft.name, { longest: 80, wide: true })}
    ${typed(draft, null, "said", FIELDS.said, draft.said, { longest: 400, wide: true, empty: HINTS.said })}
    ${typed(draft, null, "after_minutes", FIELDS.after_minutes, draft.after_minutes, { mode: "decimal", empty: "25", hint: BREAK_HINT })}
    ${typed(draft, null, "break_minutes", FIELDS.break_minutes, draft.break_minutes, { mode: "decimal", empty: "5", hint: BREAK_OF_HINT })}
  </div>
  <ol class="parts">${draft.parts.map((part, index) => partForm(draft, part, index, daemon, tunes))}</ol>
  ${restOfPlan(draft)}
  <p class="row"><button type="button" data-act="add">${ADD_PART}</button>
    ${draft.removed ? html`<button type="button" data-act="back">${BRING_BACK}</button>` : ""}
    <span class="muted">${MOVE_HINT}</span></p>
  ${sure
    ? html`<div class="notice" role="alertdialog" aria-label="${THROW_AWAY_SURE}"><p>${THROW_AWAY_SURE}</p>
        <button type="button" data-act="keep">${KEEP_EDITING}</button><button type="button" data-act="away">${THROW_AWAY}</button></div>`
    : html`<div class="row"><button type="submit" class="go">${SAVE}</button><button type="button" data-act="cancel">${CANCEL}</button></div>`}`;

/**
 * {create(), change(key), copy(key), open}: `open` says whether a plan is being edited. `now()` is the daemon's state, `saved(plan)`
 * is called with what was saved, and with null when nothing is.
 */
export function planEditor(form, status, { attempt, now, saved }) {
  let draft = null;
  let sure = false;
  let busy = false;
  let drills = null;
  let tunes = NO_TUNES;
  const wired = new WeakSet();

  const listDrills = () => (drills ??= api.drills().catch((error) => {
    drills = null;
    throw error;
  }));

  /** Put the same chooser on each drill's field as on the practice view. */
  function wireDrills() {
    for (const input of form.querySelectorAll("[role=combobox]")) {
      if (wired.has(input)) continue;
      wired.add(input);
      const id = Number(input.dataset.part);
      const take = (words) => typing(id, "drill", words);
      const chooser = new Chooser(input, form.querySelector(`#part-${id}-drills`), { take, list: listDrills, look: api.drill, keeps: true });
      chooser.words = input.value;
    }
  }

  function draw() {
    show(form, draft !== null);
    if (draft === null) return;
    fill(form, edited(draft, now(), sure, tunes));
    wireDrills();
  }

  /** The tunes that a draft's parts choose from, fetched beyond what is known; one that is gone is not among those that are open. */
  async function tunesOf({ parts }, known) {
    const playing = parts.filter(({ plays }) => plays === "tune");
    if (playing.length === 0) return known;
    const rows = known.rows ?? (await api.tunes());
    const wanted = rows.filter(({ tune, said }) => said === "" && !known.open.has(tune) && playing.some((part) => part.tune === tune));
    const opened = await Promise.all(wanted.map(async ({ tune }) => [tune, await api.tune(tune)]));
    return { rows, open: new Map([...known.open, ...opened]) };
  }

  /** A field has been typed in: the page shows it already, but for the line about the part. */
  function typing(id, field, value) {
    draft = id === null ? withField(draft, field, value) : withPartField(draft, id, field, value);
    const index = draft.parts.findIndex((part) => part.id === id);
    const line = form.querySelector(`[data-summary="${id}"] span`);
    if (line) say(line, draftWords(draft.parts[index], index, tunes));
  }

  const to = (next) => {
    draft = next;
    draw();
  };
  const focus = (selector) => form.querySelector(selector)?.focus();
  const offered = () => now().ladder;
  const placeOf = (id) => draft.parts.findIndex((part) => part.id === id);

  function begin(next, known = NO_TUNES) {
    sure = false;
    tunes = known;
    say(status, "");
    to(next);
    focus("input");
  }

  function close(plan) {
    draft = null;
    draw();
    saved(plan);
  }

  function move(id, what) {
    to(moved(draft, id, STEPS[what]));
    say(status, movedWords(placeOf(id), draft.parts.length));
  }

  const acts = {
    up: (id) => move(id, "up"),
    down: (id) => move(id, "down"),
    remove(id) {
      const at = placeOf(id);
      to(withoutPart(draft, id));
      say(status, removedWords(at));
      focus("[data-act=back]");
    },
    back() {
      const { id } = draft.removed.part;
      to(broughtBack(draft));
      say(status, "");
      focus(`summary[data-summary="${id}"]`);
    },
    add() {
      to(withPart(draft, offered()));
      focus(`#part-${draft.next - 1}-drill`);
    },
    cancel() {
      sure = draft.touched;
      if (!sure) return close(null);
      draw();
      focus("[data-act=keep]");
    },
    keep() {
      sure = false;
      draw();
      focus("[data-act=cancel]");
    },
    away: () => close(null),
  };

  async function save() {
    const plan = tableOf(draft);
    to(withMistakes(draft, []));
    try {
      const made = draft.key === null ? await api.addPlan(plan) : await api.changePlan(draft.key, draft.version, plan);
      close(made);
    } catch (error) {
      if (!(error instanceof api.Refused) || error.mistakes.length === 0) throw error;
      to(withMistakes(draft, error.mistakes));
      say(status, wrongWords(error.mistakes.length));
      focus("[aria-invalid]");
    }
  }

  form.addEventListener("input", ({ target }) => {
    const { part, field } = target.dataset;
    if (field === undefined) return;
    typing(part === "" ? null : Number(part), field, target.type === "checkbox" ? target.checked : target.value);
    if (!REDRAWN.includes(field)) return;
    draw();
    attempt(async () => {
      const known = await tunesOf(draft, tunes);
      if (known === tunes || draft === null) return;
      tunes = known;
      draw();
    });
  });
  form.addEventListener("toggle", ({ target }) => {
    if (draft !== null && target.dataset.part !== undefined) draft = withOpen(draft, Number(target.dataset.part), target.open);
  }, true);
  form.addEventListener("click", ({ target }) => {
    const button = target.closest("[data-act]");
    if (button && button.getAttribute("aria-disabled") !== "true") acts[button.dataset.act](Number(button.dataset.part));
  });
  form.addEventListener("keydown", (event) => {
    const row = event.target.closest("[data-row]");
    if (!row || !event.altKey || !(event.key in KEYS)) return;
    event.preventDefault();
    move(Number(row.dataset.row), KEYS[event.key]);
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    await attempt(save);
    busy = false;
  });

  const written = (key, make) =>
    attempt(async () => {
      const next = make(await api.plan(key));
      begin(next, await tunesOf(next, NO_TUNES));
    });
  return {
    get open() {
      return draft !== null;
    },
    create: () => begin(newDraft(offered())),
    change: (key) => written(key, ({ plan, ...known }) => draftOf(plan, known, offered())),
    copy: (key) => written(key, ({ plan }) => copyOf(plan, offered())),
  };
}
