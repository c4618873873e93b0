/** One ornament of the book: how it should sound, its names, its spelling, its ways in and its build-up. */

import { ornamentOf, wayOf, wordsBetween } from "./state.js";
import { fill, html, say, show } from "../ui/html.js";
import { showStaff } from "../ui/staff.js";
import { waysView } from "./ways.js";
import { CHOOSE_BEAT, NO_WAY, beatWords, spellingLines, stageWords, waysWords } from "./words.js";
import { capital } from "../ui/words.js";

const line = (name, text, kind = "") => (text ? html`<dt>${name}</dt><dd class="${kind}">${text}</dd>` : "");

/** A plain change has no steps to spell. */
const spelled = (lines) =>
  lines.some(Boolean) ? html`${lines.map((line) => html`<span class="spelling">${line}</span>`)}` : "";

const about = (ornament) =>
  html`${line("Also called", ornament.also.join(", "))}${line("The beat falls", ornament.beat)}${line(
    "Spelled",
    spelled(spellingLines(ornament.spellings)),
    "wide",
  )}${line(
    "Disputed",
    ornament.disputed && `${ornament.disputed}${ornament.placed.length > 0 ? ` ${CHOOSE_BEAT}` : ""}`,
  )}`;

const stage = ({ stages, beats }) => (drill, index) =>
  html`<li>
    <h4>${stageWords(index, stages.length)} <small class="muted">${beatWords(beats[index])}</small></h4>
    <div class="staff" data-drill="${drill}"></div>
    <div class="row">
      <button type="button" data-practise="${drill}" aria-label="Practise: ${drill}">Practise</button>
      <button type="button" data-hear="${drill}" aria-label="Hear: ${drill}">Hear</button>
    </div>
  </li>`;

/** draw(book); `pick(lead, theme)` is called when a way is chosen. */
export function bookEntry(find, pick) {
  const ways = waysView(find("#ways"), pick);
  return (book) => {
    const ornament = ornamentOf(book);
    show(find("#entry"), ornament !== null);
    show(find("#book-said"), ornament === null);
    say(find("#book-said"), book.said ?? "");
    if (!ornament) return;
    const way = wayOf(book);
    say(find("#entry-name"), capital(ornament.name));
    say(find("#entry-how"), ornament.how);
    fill(find("#entry-about"), about(ornament));
    say(find("#ways-name"), waysWords(ornament));
    ways(ornament, book);
    say(find("#way-name"), wordsBetween(ornament, book.lead, book.theme));
    const staff = find("#way-staff");
    show(staff, way !== null);
    if (way) showStaff(staff, way.drill);
    show(find("#way-reason"), way === null);
    say(find("#way-reason"), way === null ? (book.reason ?? NO_WAY) : "");
    for (const button of find("#way-acts").querySelectorAll("button")) button.disabled = way === null;
    if (book.playback) find("#way-hear").disabled = false;
    const built = (way?.stages.length ?? 0) > 1;
    show(find("#built"), built);
    fill(find("#built-stages"), built ? html`${way.stages.map(stage(way))}` : html``);
    for (const place of find("#built-stages").querySelectorAll(".staff")) showStaff(place, place.dataset.drill);
  };
}
