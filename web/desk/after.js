/** After class: by player what is steady and what to practise next, for the band how close together; past classes. */

import * as api from "../core/api.js";
import { dateWords } from "../ui/dates.js";
import { fill, html, show } from "../ui/html.js";
import { apartWords, keptWords, playedWords } from "./words.js";

/** By then the history holds the last rep. */
const WRITTEN_MS = 500;
const DAY = { day: "numeric", month: "long", year: "numeric" };

const player = (one) => html`<li class="after-seat">
  <h3>${one.name}</h3>
  <p class="muted">${playedWords(one)}</p>
  ${[...one.steady, ...one.unsteady].map((said) => html`<p>${said}</p>`)}
  ${one.next ? html`<p><b>${one.next.said}</b></p>` : ""}
</li>`;

const row = (name, apart_ms) => html`<tr><th scope="row">${name}</th><td class="figure">${apartWords(apart_ms)}</td></tr>`;

const summed = (summary) => html`<h2 id="after-name">After class: ${summary.drill}, ${dateWords(summary.day, DAY)}</h2>
  <p class="row"><a href="${api.classReport(summary.number)}" target="_blank">Print this (PDF)</a>
    <button type="button" data-forget="${summary.number}">Delete this record</button></p>
  <div class="after-band"><table><caption>How far apart the band was on the beat</caption><tbody>${summary.by_tempo.map((one) => row(`at ${one.click_bpm}`, one.apart_ms))}</tbody></table>
  <table><caption>On each step</caption><tbody>${summary.by_step.map((one) => row(`${one.step + 1}. ${one.note}`, one.apart_ms))}</tbody></table></div>
  <p class="muted">${keptWords(summary.players.length)}</p>
  <ul class="after-seats">${summary.players.map(player)}</ul>`;

const listed = (classes, shown) => html`<div class="field past"><label for="past">Past classes</label>
  <select id="past">${classes.map((one) => html`<option value="${one.number}" ${one.number === shown ? html`selected` : ""}>${dateWords(one.day, DAY)}: ${one.drill}</option>`)}</select></div>`;

/** look(klass): call it with each state of the class; the summary is fetched once a class is over. */
export function afterView(place, { attempt, load }) {
  let over = null;

  async function open(number) {
    const classes = await api.classes();
    const chosen = classes.find((one) => one.number === number) ?? classes[0];
    show(place, chosen !== undefined);
    if (chosen === undefined) return;
    const summary = await api.classSummary(chosen.number);
    fill(place, html`${summed(summary)}${listed(classes, chosen.number)}`);
  }

  place.addEventListener("change", (event) => attempt(() => open(Number(event.target.value))));
  place.addEventListener("click", ({ target }) => {
    const number = target.dataset.forget;
    if (number === undefined) return;
    if (target.dataset.sure === undefined) {
      target.dataset.sure = "";
      target.textContent = "Delete it for good?";
    } else
      attempt(async () => {
        await api.forgetClass(number);
        await open(null);
      });
  });
  return (klass) => {
    const now = klass?.state ?? null;
    if (now === over) return;
    over = now;
    if (now === "playing") show(place, false);
    else if (now !== null) setTimeout(() => load(() => open(null)), WRITTEN_MS);
  };
}
