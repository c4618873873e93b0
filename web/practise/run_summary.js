/** One rep in detail, when asked for, and what a teacher would write under a run that is over. */

import { ALL_REMARKS, PARTS, faultHead, practiseWords, rows } from "./summary_words.js";
import { fill, html, show } from "../ui/html.js";
import { lastPlayed } from "./reading.js";

const button = (drill, click_bpm) => html`<button type="button" data-practise="${drill}" data-tempo="${click_bpm ?? ""}">
  ${practiseWords(drill, click_bpm)}
</button>`;

const fault = (one) => html`<li>
  <h2>${faultHead(one)}</h2>
  <p>${one.said} ${one.do}</p>
  ${one.drill === null ? "" : button(one.drill)}
</li>`;

/** The details of a rep as markup. */
export const details = (rep, on_beat_ms) => html`${rep.faults.length > 0 ? html`<ul>${rep.faults.map(fault)}</ul>` : ""}
  <dl>${rows(rep, on_beat_ms).map(([name, words]) => html`<div><dt>${name}</dt><dd>${words}</dd></div>`)}</dl>`;

/** A teacher's remarks as markup: the one thing to mend and what to practise for it; the rest is folded. */
export function remarks(said) {
  const parts = PARTS.filter(([key]) => said[key].length > 0);
  const { next } = said;
  return html`<p>${said.unsteady[0] ?? said.steady[0] ?? ""}</p>
    ${next ? html`<p class="next"><span>${next.said}</span> ${button(next.drill, next.click_bpm)}</p>` : ""}
    <details><summary>${ALL_REMARKS}</summary>
      <dl>${parts.map(([key, name]) => html`<div><dt>${name}</dt><dd>${said[key].join(" ")}</dd></div>`)}</dl>
    </details>`;
}

/** draw(run, looked): both, for the run shown (with no more of it than may be shown) or null, and the rep looked at or null. */
export function runSummaryView(find) {
  const opener = find("#rep-details");
  const isOpen = () => opener.getAttribute("aria-expanded") === "true";
  opener.addEventListener("click", () => {
    opener.setAttribute("aria-expanded", String(!isOpen()));
    show(find("#rep-detail"), isOpen());
    if (isOpen()) find("#rep-detail").scrollIntoView({ block: "nearest" });
  });
  return (run, looked) => {
    const rep = looked ?? (run && lastPlayed(run));
    show(opener, rep !== null);
    show(find("#rep-detail"), rep !== null && isOpen());
    if (rep) fill(find("#rep-detail"), details(rep, run.on_beat_ms));
    const said = run?.ended ? run.remarks : null;
    show(find("#run-summary"), Boolean(said));
    if (said) fill(find("#run-summary-body"), remarks(said));
  };
}
