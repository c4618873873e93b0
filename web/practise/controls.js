/** The controls of a run: what is asked, tempo, start and stop, standard, build-up. They show what is wanted. */

import { beatWords } from "../book/words.js";
import { fill, html, say, show } from "../ui/html.js";
import { START_LADDER, beatsOf, tempoWords } from "../ladder/words.js";
import { prepareStaff, showStaff } from "../ui/staff.js";
import { runShown, running, tempoShown } from "../core/state.js";
import { askedOf, changing } from "./sequence.js";
import { UNCHOSEN, nextWords, placementWords, settingsWords, title } from "../ui/words.js";

/** Letters of an ornament's name beyond which it is set smaller, or the settings would be pushed off the screen. */
const LONG_TITLE = 20;
const STAGE = /, stage \d+$/i;

/** The drill without its build-up stage. */
export const wholeDrill = (words) => words.replace(STAGE, "");

/** The tempo held within the range. */
export const held = (click_bpm, [low, high]) => Math.min(Math.max(click_bpm, low), high);

/** A typed tempo, or null if it is not a number. A decimal comma is taken too. */
export function tempoFrom(typed) {
  const plain = typed.trim().replace(",", ".");
  return plain === "" || !Number.isFinite(Number(plain)) ? null : Number(plain);
}

const percent = (share) => Math.round(share * 100);

/** A button for each stage of the build-up, the last of them the full drill. */
function stages({ stages: all, beats }, wanted) {
  const button = (drill, index) => {
    const full = index === all.length - 1;
    return html`<button
      type="button"
      data-drill="${drill}"
      aria-label="${full ? "full" : `stage ${index + 1}`}, ${beatWords(beats[index])}"
      title="${beatWords(beats[index])}"
      aria-pressed="${drill.toLowerCase() === wanted.toLowerCase()}"
    >
      ${full ? "full" : index + 1}
    </button>`;
  };
  return html`${all.map(button)}`;
}

/** Show a list of choices in a select, and the sentence about the chosen one; null: not chosen yet. */
export function showChoices(select, said, choices, chosen) {
  const listed = choices.some((one) => one.name === chosen);
  const first = listed ? "" : html`<option value="${chosen ?? ""}">${chosen ?? UNCHOSEN}</option>`;
  fill(select, html`${first}${choices.map((one) => html`<option value="${one.name}">${one.name}</option>`)}`);
  const value = chosen ?? "";
  if (select.value !== value && document.activeElement !== select) select.value = value;
  say(said, choices.find((one) => one.name === chosen)?.said ?? "");
}

/** Show how open the hand is, a share of a click, on a slider over the daemon's range and in the figure beside it. */
export function showSpread(slider, now, share, range) {
  const [least, most] = range.map(percent);
  Object.assign(slider, { min: least, max: most });
  if (document.activeElement !== slider) slider.value = percent(share);
  say(now, `${percent(share)} %`);
}

/** Where the beat of the wanted drill may be, if teachers disagree; `found` is the drill as the book lists it, or null. */
function showPlacements(find, found) {
  const places = found?.placements ?? [];
  show(find("#beat-place-field"), places.length > 1);
  if (places.length < 2) return;
  const select = find("#beat-place");
  fill(select, html`${places.map((one) => html`<option value="${one.drill}">${one.beat}</option>`)}`);
  if (document.activeElement !== select) select.value = found.drill;
  say(find("#beat-place-said"), placementWords(found));
}

/** draw(state, seat, found, toBeat, rep): `found` is the wanted drill as the book lists it, or null; `toBeat` is how many clicks a beat has. */
export function controls(find, chooser) {
  return (state, seat, found, toBeat, rep) => {
    const { wanted } = seat;
    const run = runShown(seat);
    const asked = run ? askedOf(run, rep) : null;
    const next = run && changing(run) ? askedOf(run, rep + 1).drill : null;
    say(find("#ahead"), next === null ? "" : nextWords(title(next)[1]));
    show(find("#ahead"), next !== null);
    const [ornament, between] = title(asked?.drill ?? wanted.drill);
    say(find("#ornament"), ornament);
    say(find("#between"), between);
    find("#title").toggleAttribute("data-long", ornament.length > LONG_TITLE);
    say(find("#spelled"), asked?.spelled ?? found?.spelled ?? "");
    chooser.words = wanted.drill;
    const tempo = find("#tempo");
    const beats = find("#beats");
    const click_bpm = tempoShown(seat);
    if (document.activeElement !== tempo) tempo.value = tempoWords(click_bpm);
    tempo.toggleAttribute("data-long", tempo.value.length > 3); // a fraction, in the same room
    if (document.activeElement !== beats) beats.value = tempoWords(beatsOf(click_bpm, toBeat));
    find("#to-beat").value = String(toBeat);
    const toggle = find("#toggle");
    say(toggle, running(seat) ? "Stop" : wanted.climbs ? START_LADDER : "Start");
    toggle.classList.toggle("stop", running(seat));
    showChoices(find("#standard"), find("#standard-said"), state.daemon.standards, wanted.standard);
    showChoices(find("#layout"), find("#layout-said"), state.daemon.layouts, wanted.layout);
    showChoices(find("#feedback"), find("#feedback-said"), state.daemon.feedbacks, wanted.feedback);
    find("#click-off").checked = wanted.click_off;
    const open = wanted.spread ?? state.daemon.spread;
    showSpread(find("#spread"), find("#spread-now"), open, state.daemon.spread_range);
    say(find("#settings-now"), settingsWords(wanted.layout, wanted.standard ?? state.daemon.standard, percent(open)));
    showPlacements(find, found);
    showStaff(find("#asked-staff"), asked?.drill ?? wanted.drill);
    if (next !== null) prepareStaff(next);
    const built = (found?.stages.length ?? 0) > 1;
    show(find("#stages-field"), built);
    if (built) fill(find("#stages"), stages(found, wanted.drill));
  };
}
