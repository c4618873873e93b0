/** The form in which the teacher calls an exercise: drill, stage, layout, standard, tempo or a ladder. */

import * as api from "../core/api.js";
import { Chooser } from "../practise/chooser.js";
import { tempoFrom, wholeDrill } from "../practise/controls.js";
import { fill, html, say, show } from "../ui/html.js";
import { START, STOP, UNCHOSEN, badNumber } from "./words.js";

const NUMBERS = {
  tempo: { field: "click_bpm", range: (daemon) => daemon.tempo_range },
  top: { field: "top_bpm", rule: true, range: (daemon) => daemon.tempo_range },
  raise: { field: "raise_bpm", rule: true, range: () => [1, 20] },
  "in-a-row": { field: "in_a_row", rule: true, whole: true, range: () => [1, 100] },
};

/** A number typed, within its range, or null. Pure. */
export function numberFrom(typed, [low, high], whole = false) {
  const number = tempoFrom(typed);
  return number === null || number < low || number > high || (whole && !Number.isInteger(number)) ? null : number;
}

const choices = (names, none) => html`${none ? html`<option value="">${UNCHOSEN}</option>` : ""}${names.map((name) => html`<option value="${name}">${name}</option>`)}`;

/** draw(state, listed); `wish(change)` wants something else, `refuse(said)` says what cannot be taken. */
export function callForm(find, { now, wish, refuse, toggle }) {
  const chooser = new Chooser(find("#drill"), find("#drills"), { take: (drill) => wish({ drill }), list: api.drills, look: api.drill });
  const rule = (change) => wish({ ladder: { ...now().wanted.ladder, ...change } });
  for (const [id, { field, rule: ofRule, whole, range }] of Object.entries(NUMBERS))
    find(`#${id}`).addEventListener("change", ({ target }) => {
      const limits = range(now().daemon);
      const number = numberFrom(target.value, limits, whole);
      refuse(number === null ? badNumber(target.value, ...limits) : null);
      if (number !== null) (ofRule ? rule : wish)({ [field]: number });
    });
  find("#share").addEventListener("change", ({ target }) => rule({ share: Number(target.value) }));
  find("#climbs").addEventListener("change", ({ target }) => wish({ climbs: target.checked }));
  for (const id of ["layout", "standard"]) find(`#${id}`).addEventListener("change", ({ target }) => wish({ [id]: target.value || null }));
  find("#stages").addEventListener("click", (event) => {
    const stage = event.target.closest("[data-drill]");
    if (stage) wish({ drill: stage.dataset.drill });
  });
  find("#toggle").addEventListener("click", toggle);

  return ({ daemon, klass, wanted }, listed) => {
    chooser.words = wanted.drill;
    const typed = { tempo: wanted.click_bpm, top: wanted.ladder.top_bpm, raise: wanted.ladder.raise_bpm, "in-a-row": wanted.ladder.in_a_row };
    for (const [id, value] of Object.entries(typed)) if (document.activeElement !== find(`#${id}`)) find(`#${id}`).value = String(value);
    fill(find("#layout"), choices(daemon.layouts.map((one) => one.name), true));
    fill(find("#standard"), choices(daemon.standards.map((one) => one.name), true));
    for (const id of ["layout", "standard"]) find(`#${id}`).value = wanted[id] ?? "";
    find("#share").value = String(wanted.ladder.share);
    find("#climbs").checked = wanted.climbs;
    show(find("#ladder-rule"), wanted.climbs);
    say(find("#ladder-said"), klass?.ladder?.said ?? "");
    const stages = listed?.stages ?? [];
    show(find("#stages-field"), stages.length > 1);
    fill(find("#stages"), html`${stages.map((drill, index) => {
      const full = index === stages.length - 1;
      const on = drill.toLowerCase() === wanted.drill.toLowerCase();
      return html`<button type="button" data-drill="${drill}" aria-label="${full ? "full" : `stage ${index + 1}`}" aria-pressed="${on ? "true" : "false"}">${full ? "full" : index + 1}</button>`;
    })}`);
    const playing = klass?.state === "playing";
    say(find("#toggle"), playing ? STOP : START);
    find("#toggle").classList.toggle("stop", playing);
  };
}

export { wholeDrill };
