/** The fields of one part of a plan that is being made or changed, as markup. Pure. */

import { LADDER_FIELDS, HOW_LONG, canMove, wrongWith } from "./draft.js";
import { html } from "../ui/html.js";
import { beginnings, ends, ornamentChoices, tuneChoices } from "./passage.js";
import {
  BUILD_UP, CHOOSE_TUNE, DOWN, FIELDS, HINTS, HOW, LADDER_HINTS, NO_ORNAMENT, PLAYS, PLAYS_WHAT, REMOVE, ROUNDS_HINT, UP, USUAL, WARM_UP_TICK,
  WIDEN, WIDTHS, draftWords,
} from "./words.js";

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

/** A choice; what is chosen and no longer on offer is in the list too, so that it can be seen and changed. */
function chosen(draft, id, field, label, value, options) {
  const all = options.some(([name]) => name === value) ? options : [...options, [value, value]];
  return labelled(draft, id, field, label, (own) =>
    html`<select ${own}>${all.map(([name, words]) => html`<option value="${name}" ${name === value ? "selected" : ""}>${words}</option>`)}</select>`,
  );
}

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
  const hint = part.how === "reps" && part.plays === "tune" ? ROUNDS_HINT : HINTS[part.how];
  const amount = () => (part.how === "widen" ? "" : typed(draft, id, part.how, FIELDS[part.how], part[part.how], { mode: "decimal", hint }));
  const rule = () =>
    LADDER_FIELDS.map((field) =>
      typed(draft, id, `ladder.${field}`, FIELDS[field], part.ladder[field], { mode: "decimal", empty: LADDER_HINTS[field] }),
    );
  const ways = [...HOW_LONG.map((one) => [one, FIELDS[one]]), ...(part.plays === "tune" && part.widen !== undefined ? [["widen", WIDEN]] : [])];
  return html`${chosen(draft, id, "how", HOW, part.how, ways)}
    ${part.how === "ladder" ? rule() : [amount(), tempo()]}`;
}

const choices = (all) => [["", USUAL], ...all.map(({ name }) => [name, name])];

/** What is wrong with a part as a whole, or with what has no field of its own. */
function rest({ mistakes }, id, shown) {
  const lines = mistakes.filter((one) => one.id === id && !shown.includes(one.field)).map(({ said }) => html`<p class="wrong">${said}</p>`);
  return html`${lines}`;
}

/** The fields for what of a tune is played. */
function passage(draft, part, { rows, open }) {
  const { id } = part;
  const tune = open.get(part.tune) ?? null;
  const choice = (field, options) => chosen(draft, id, field, FIELDS[field], part[field], options);
  const which = part.ornament === "" ? [choice("from", beginnings(tune, part.from)), choice("to", ends(tune, part.to))] : choice("width", WIDTHS);
  return html`${choice("tune", tuneChoices(rows, part.tune, CHOOSE_TUNE))}
        ${choice("ornament", ornamentChoices(tune, part.ornament, NO_ORNAMENT))}
        ${which}`;
}

/** The fields that are shown for what a part plays, by their names. */
const ofPlayed = ({ plays, ornament }) => {
  if (plays === "drill") return ["drill", "stages", "layout"];
  return ornament === "" ? ["tune", "ornament", "from", "to"] : ["tune", "ornament", "width", "stages"];
};
const SHOWN = ["title", "warm_up", "standard"];

/** The fields of a part; `tunes` is {rows, open: Map(key -> tune)}. */
function fieldsOf(draft, part, daemon, tunes) {
  const { id } = part;
  const fields = [...ofPlayed(part), ...(part.how === "ladder" ? LADDER_FIELDS : [part.how, "click_bpm"])];
  return html`<div class="fields">
        ${chosen(draft, id, "plays", PLAYS, part.plays, PLAYS_WHAT)}
        ${part.plays === "drill" ? drill(draft, part) : passage(draft, part, tunes)}
        ${typed(draft, id, "title", FIELDS.title, part.title, { longest: 80, empty: HINTS.title })}
        ${howLong(draft, part)}
        ${ticked(draft, part, "warm_up", WARM_UP_TICK)}
        ${fields.includes("stages") ? ticked(draft, part, "stages", BUILD_UP) : ""}
        ${chosen(draft, id, "standard", FIELDS.standard, part.standard, choices(daemon.standards))}
        ${fields.includes("layout") ? chosen(draft, id, "layout", FIELDS.layout, part.layout, choices(daemon.layouts)) : ""}
      </div>
      ${rest(draft, id, [...SHOWN, ...fields])}`;
}

/** One part; `daemon` names the standards and layouts there are, `tunes` the tunes. */
export function partForm(draft, part, index, daemon, tunes) {
  const { id } = part;
  const act = (what, words, can = true) =>
    html`<button type="button" data-act="${what}" data-part="${id}" aria-label="${words}: ${index + 1}" aria-disabled="${can ? "false" : "true"}">${words}</button>`;
  return html`<li class="part" data-row="${id}">
    <details data-part="${id}" ${part.open ? "open" : ""}>
      <summary data-summary="${id}"><span>${draftWords(part, index, tunes)}</span></summary>
      ${fieldsOf(draft, part, daemon, tunes)}
    </details>
    <div class="row acts">${act("up", UP, canMove(draft, id, -1))}${act("down", DOWN, canMove(draft, id, 1))}${act("remove", REMOVE)}</div>
  </li>`;
}

/** What is wrong with the plan beyond its fields. */
export const restOfPlan = (draft) => rest(draft, null, ["name", "said", "after_minutes", "break_minutes"]);
