/** The fields of one part of a plan that is being made or changed, as markup. Pure. */

import { LADDER_FIELDS, HOW_LONG, canMove, wrongWith } from "./draft.js";
import { html } from "../ui/html.js";
import { BUILD_UP, DOWN, FIELDS, HINTS, HOW, LADDER_HINTS, OF_TUNE, REMOVE, UP, USUAL, WARM_UP_TICK, draftWords } from "./words.js";

/** A field with its label and, below it, what is wrong with it; `control(attributes)` makes the control. */
function labelled(draft, id, field, label, control, { wide = false, hint = "" } = {}) {
  const name = id === null ? `plan-${field}` : `part-${id}-${field.replace(".", "-")}`;
  const wrong = wrongWith(draft, id, field.split(".").at(-1));
  const said = [hint && `${name}-hint`, wrong && `${name}-wrong`].filter(Boolean).join(" ");
  const own = html`id="${name}" data-part="${id ?? ""}" data-field="${field}" aria-describedby="${said}" ${wrong ? html`aria-invalid="true"` : ""}`;
  return html`<div class="field${wide ? " wide" : ""}">
    <label for="${name}">${label}</label>
    ${control(own)}
    ${hint ? html`<small id="${name}-hint">${hint}</small>` : ""}
    ${wrong ? html`<p class="wrong" id="${name}-wrong">${wrong}</p>` : ""}
  </div>`;
}

/** A line to type in. */
export const typed = (draft, id, field, label, value, { mode = "text", longest = 200, ...more } = {}) =>
  labelled(
    draft, id, field, label,
    (own) => html`<input ${own} value="${value}" inputmode="${mode}" maxlength="${longest}" autocomplete="off" placeholder="${more.empty ?? ""}">`,
    more,
  );

const chosen = (draft, id, field, label, value, options) =>
  labelled(draft, id, field, label, (own) =>
    html`<select ${own}>${options.map(([name, words]) => html`<option value="${name}" ${name === value ? "selected" : ""}>${words}</option>`)}</select>`,
  );

const ticked = (draft, { id, ...part }, field, words) => {
  const wrong = wrongWith(draft, id, field);
  return html`<div class="field">
    <label class="check"><input type="checkbox" id="part-${id}-${field}" data-part="${id}" data-field="${field}" ${part[field] ? "checked" : ""} ${wrong ? html`aria-invalid="true" aria-describedby="part-${id}-${field}-wrong"` : ""}> ${words}</label>
    ${wrong ? html`<p class="wrong" id="part-${id}-${field}-wrong">${wrong}</p>` : ""}
  </div>`;
};

const drill = (draft, { id, ...part }) =>
  labelled(
    draft, id, "drill", FIELDS.drill,
    (own) => html`<input ${own} value="${part.drill}" role="combobox" aria-expanded="false" aria-controls="part-${id}-drills" aria-autocomplete="list" autocomplete="off" spellcheck="false" maxlength="200" placeholder="grip from B to C">
      <ul id="part-${id}-drills" class="drills" role="listbox" aria-label="${FIELDS.drill}" hidden></ul>`,
  );

function howLong(draft, part) {
  const { id } = part;
  const tempo = () => typed(draft, id, "click_bpm", FIELDS.click_bpm, part.click_bpm, { mode: "decimal" });
  const amount = () => typed(draft, id, part.how, FIELDS[part.how], part[part.how], { mode: "decimal", hint: HINTS[part.how] });
  const rule = () =>
    LADDER_FIELDS.map((field) =>
      typed(draft, id, `ladder.${field}`, FIELDS[field], part.ladder[field], { mode: "decimal", empty: LADDER_HINTS[field] }),
    );
  return html`${chosen(draft, id, "how", HOW, part.how, HOW_LONG.map((one) => [one, FIELDS[one]]))}
    ${part.how === "ladder" ? rule() : [amount(), tempo()]}`;
}

const choices = (all) => [["", USUAL], ...all.map(({ name }) => [name, name])];

/** What is wrong with a part as a whole, or with what has no field of its own. */
function rest({ mistakes }, id, shown) {
  const lines = mistakes.filter((one) => one.id === id && !shown.includes(one.field)).map(({ said }) => html`<p class="wrong">${said}</p>`);
  return html`${lines}`;
}

const SHOWN = ["title", "drill", "warm_up", "stages", "standard", "layout"];

/** The fields of a part that plays a drill. */
function drillFields(draft, part, daemon) {
  const { id } = part;
  const fields = part.how === "ladder" ? LADDER_FIELDS : [part.how, "click_bpm"];
  return html`<div class="fields">
        ${drill(draft, part)}
        ${typed(draft, id, "title", FIELDS.title, part.title, { longest: 80, empty: HINTS.title })}
        ${howLong(draft, part)}
        ${ticked(draft, part, "warm_up", WARM_UP_TICK)}
        ${ticked(draft, part, "stages", BUILD_UP)}
        ${chosen(draft, id, "standard", FIELDS.standard, part.standard, choices(daemon.standards))}
        ${chosen(draft, id, "layout", FIELDS.layout, part.layout, choices(daemon.layouts))}
      </div>
      ${rest(draft, id, [...SHOWN, ...fields])}`;
}

/** One part; `daemon` names the standards and layouts there are. */
export function partForm(draft, part, index, daemon) {
  const { id } = part;
  const act = (what, words, can = true) =>
    html`<button type="button" data-act="${what}" data-part="${id}" aria-label="${words}: ${index + 1}" aria-disabled="${can ? "false" : "true"}">${words}</button>`;
  return html`<li class="part" data-row="${id}">
    <details data-part="${id}" ${part.open ? "open" : ""}>
      <summary data-summary="${id}"><span>${draftWords(part, index)}</span></summary>
      ${part.passage ? html`<p class="muted">${OF_TUNE}</p>${rest(draft, id, [])}` : drillFields(draft, part, daemon)}
    </details>
    <div class="row acts">${act("up", UP, canMove(draft, id, -1))}${act("down", DOWN, canMove(draft, id, 1))}${act("remove", REMOVE)}</div>
  </li>`;
}

/** What is wrong with the plan beyond its fields. */
export const restOfPlan = (draft) => rest(draft, null, ["name", "said", "after_minutes", "break_minutes"]);
