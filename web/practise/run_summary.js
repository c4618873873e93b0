/** What is told on demand about the newest rep, and what a teacher would write under a run that is over. */

import { PARTS, faultHead, practiseWords, rows } from "./summary_words.js";
import { fill, html, show } from "../ui/html.js";
import { lastPlayed } from "./reading.js";

const button = (drill, click_bpm) => html`<button type="button" data-practise="${drill}" data-tempo="${click_bpm ?? ""}">
  ${practiseWords(drill, click_bpm)}
</button>`;

const fault = (one) => html`<li>
  <h3>${faultHead(one)}</h3>
  <p>${one.said} ${one.do}</p>
  ${one.drill === null ? "" : button(one.drill)}
</li>`;

/** The details of a rep as markup. */
export const details = (rep) => html`${rep.faults.length > 0 ? html`<ul>${rep.faults.map(fault)}</ul>` : ""}
  <dl>${rows(rep).map(([name, words]) => html`<div><dt>${name}</dt><dd>${words}</dd></div>`)}</dl>`;

/** A teacher's remarks as markup. */
export function remarks(told) {
  const parts = PARTS.filter(([key]) => told[key].length > 0);
  const { next } = told;
  return html`<dl>${parts.map(([key, name]) => html`<div><dt>${name}</dt><dd>${told[key].join(" ")}</dd></div>`)}</dl>
    ${next ? html`<p class="next"><span>${next.said}</span> ${button(next.drill, next.click_bpm)}</p>` : ""}`;
}

/** draw(run, looked): both, for the run shown (with no more of it than may be told) or null, and the rep looked at or null. */
export function afterView(find) {
  const opener = find("#rep-details");
  const isOpen = () => opener.getAttribute("aria-expanded") === "true";
  opener.addEventListener("click", () => {
    opener.setAttribute("aria-expanded", String(!isOpen()));
    show(find("#rep-told"), isOpen());
    if (isOpen()) find("#rep-told").scrollIntoView({ block: "nearest" });
  });
  return (run, looked) => {
    const rep = looked ?? (run && lastPlayed(run));
    show(opener, rep !== null);
    show(find("#rep-told"), rep !== null && isOpen());
    if (rep) fill(find("#rep-told"), details(rep));
    const told = run?.ended ? run.remarks : null;
    show(find("#after"), Boolean(told));
    if (told) fill(find("#after-told"), remarks(told));
  };
}
