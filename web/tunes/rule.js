/** How a passage is practised, set beforehand: the stage of the build-up, a ladder and its rule, what is shown. */

import { Refused } from "../core/api.js";
import { html, fill, show } from "../ui/html.js";
import { HOW, LADDERS, OWN_PULSE, WIDTHS, badCount, stageWords } from "./words.js";

export const RULE = html`<fieldset id="tune-how" class="row" hidden>
  <legend>${HOW}</legend>
  <label class="row" id="tune-stage-row">Build-up <select id="tune-stage"></select></label>
  <label class="row">Ladder <select id="tune-ladder">${LADDERS.map(([value, words]) => html`<option value="${value}">${words}</option>`)}</select></label>
  <label class="row" data-of="tempo width">on after <input id="tune-in-a-row" inputmode="numeric" autocomplete="off" value="3"> clean in a row</label>
  <label class="row" data-of="tempo width">back after <input id="tune-tries" inputmode="numeric" autocomplete="off" value="5"> tries</label>
  <label class="row" data-of="tempo">up to <input id="tune-top" inputmode="decimal" autocomplete="off" value="80"> clicks</label>
  <label class="row" data-of="width">as wide as <select id="tune-to">${WIDTHS.map(([value, words]) => html`<option value="${value}">${words}</option>`)}</select></label>
  <label class="row" data-of=" width"><input type="checkbox" id="tune-own"> ${OWN_PULSE}</label>
  <label class="row" data-of="">You see <select id="tune-shown"></select></label>
</fieldset>`;

/** What of a request a passage of the list is: an ornament and how much around it, or notes. Pure. */
export function asked(passage) {
  const [kind, note] = passage.key.split(" ");
  const width = { around: "ornament", beat: "beat", two: "two bars" }[kind];
  return width ? { ornament: Number(note), width } : { from: passage.first, to: passage.last };
}

/** draw(tune, passage, feedbacks), hidden where the tune is null, and wish(passage): what the fields ask for, or throws Refused. */
export function ruleForm(find) {
  const ladder = () => find("#tune-ladder").value;
  const count = (id, name) => {
    const value = Number(find(id).value.replace(",", "."));
    if (find(id).value.trim() === "" || !Number.isFinite(value)) throw new Refused(badCount(name, find(id).value));
    return value;
  };
  find("#tune-ladder").addEventListener("change", arrange);

  function arrange() {
    for (const one of find("#tune-how").querySelectorAll("[data-of]")) show(one, one.dataset.of.split(" ").includes(ladder()));
  }
  arrange();

  return {
    wish(passage) {
      const found = asked(passage);
      const stage = find("#tune-stage").value;
      if ("ornament" in found && stage !== "") found.stage = Number(stage);
      if (ladder() !== "tempo" && find("#tune-own").checked) found.click_off = true;
      if (ladder() === "") return find("#tune-shown").value === "" ? found : { ...found, feedback: find("#tune-shown").value };
      const rule = { in_a_row: count("#tune-in-a-row", "clean in a row"), tries: count("#tune-tries", "tries") };
      if (ladder() === "tempo") return { ...found, ladder: { ...rule, top_bpm: count("#tune-top", "the top") } };
      return { ...found, widen: { ...rule, to: find("#tune-to").value } };
    },
    draw(tune, passage, feedbacks) {
      show(find("#tune-how"), tune !== null);
      if (tune === null) return;
      const found = asked(passage);
      const stages = "ornament" in found ? tune.stages[found.ornament] : 1;
      show(find("#tune-stage-row"), stages > 1);
      const numbers = Array.from({ length: Math.max(stages - 1, 0) }, (_, index) => index + 1);
      fill(find("#tune-stage"), html`<option value="">${stageWords(null, stages)}</option>${numbers.map((one) => html`<option value="${one}">${stageWords(one, stages)}</option>`)}`);
      fill(find("#tune-shown"), html`${feedbacks.map(({ name }) => html`<option value="${name}">${name}</option>`)}`);
    },
  };
}
