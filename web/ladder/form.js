/** The panel that sets the rule of a tempo ladder, in clicks or in beats, before it starts. */

import { tempoFrom } from "../practise/controls.js";
import { fill, html, say } from "../ui/html.js";
import { MAY_BE_NONE, OFF, OWN_TEMPI, RULE, badRule, beatsOf, paceWords, ruleTrouble, ruleWords, tempoWords } from "./words.js";

const tempi = Object.entries(RULE);

/** A row for each tempo of the rule: what it is called, clicks, beats. */
const rows = () => html`${tempi.map(
  ([field, name]) => html`<tr>
    <th scope="row">${name}</th>
    ${["clicks", "beats"].map(
      (unit) => html`<td><input data-rule="${field}" data-unit="${unit}" aria-label="${name}, ${unit} a minute" placeholder="${MAY_BE_NONE[field] ?? ""}" inputmode="decimal" autocomplete="off"></td>`,
    )}
  </tr>`,
)}`;

/** The rule with the tempi of a kind of tune, in beats. Pure. */
const atPace = (rule, pace, toBeat) => ({
  ...rule,
  first_bpm: pace.first * toBeat,
  top_bpm: pace.high * toBeat,
  performing_bpm: pace.performing * toBeat,
});

/** The pace that the rule has now, or null. Pure. */
const paceOf = (rule, paces, toBeat) =>
  paces.find((pace) => Object.entries(atPace({}, pace, toBeat)).every(([field, bpm]) => rule[field] === bpm)) ?? null;

/** What is typed as a value of the rule, in clicks, or null if it is no number. Pure. */
export function valueFrom(typed, unit, toBeat) {
  const number = tempoFrom(typed);
  return number === null ? null : number * (unit === "beats" ? toBeat : 1);
}

/** draw(state, player, toBeat); `wish({climbs?, rule?})` wants another rule, `refuse(said)` says what cannot be taken. */
export function ladderForm(find, { now, wish, refuse, toBeat }) {
  fill(find("#rule tbody"), rows());
  const inputs = [...find("#ladder").querySelectorAll("input[data-rule]")];
  /** Before a chanter is known there is no rule to change. */
  const asked = (change) => {
    const { seat, state } = now();
    if (!seat) return;
    const rule = { ...seat.wanted.rule, ...change };
    const trouble = ruleTrouble(rule, state.daemon.tempo_range);
    refuse(trouble);
    if (trouble === null) wish({ climbs: true, rule });
  };
  find("#climbs").addEventListener("change", (event) => wish({ climbs: event.target.checked }));
  for (const input of inputs) {
    input.addEventListener("change", () => {
      const { rule, unit } = input.dataset;
      const none = rule in MAY_BE_NONE && input.value.trim() === "";
      const value = valueFrom(input.value, unit, toBeat());
      if (none) asked({ [rule]: null });
      else if (value === null) refuse(badRule(RULE[rule] ?? input.getAttribute("aria-label"), input.value));
      else asked({ [rule]: value });
    });
  }
  find("#row-offered").addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-row]");
    if (chosen) asked({ in_a_row: Number(chosen.dataset.row) });
  });
  find("#pace").addEventListener("change", (event) => {
    const pace = now().state.daemon?.paces.find((one) => one.name === event.target.value);
    if (pace) asked(atPace({}, pace, toBeat()));
  });

  return (state, seat) => {
    const { climbs, rule } = seat.wanted;
    const each = toBeat();
    find("#climbs").checked = climbs;
    say(find("#ladder-now"), climbs ? `Ladder ${ruleWords(rule)}` : OFF);
    for (const input of inputs) {
      const bpm = rule[input.dataset.rule];
      if (document.activeElement === input) continue;
      if (bpm === null) input.value = "";
      else input.value = tempoWords(input.dataset.unit === "beats" ? beatsOf(bpm, each) : bpm);
    }
    for (const button of find("#row-offered").querySelectorAll("button"))
      button.setAttribute("aria-pressed", String(Number(button.dataset.row) === rule.in_a_row));
    const { paces } = state.daemon;
    const pace = paceOf(rule, paces, each);
    const option = (name, value) => html`<option value="${value}">${name}</option>`;
    fill(find("#pace"), html`${option(OWN_TEMPI, "")}${paces.map(({ name }) => option(name, name))}`);
    if (document.activeElement !== find("#pace") || pace) find("#pace").value = pace?.name ?? "";
    say(find("#pace-said"), pace ? paceWords(pace) : "");
  };
}
