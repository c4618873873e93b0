/** What came of a run through a tune, after it and in the history: the sentence, what to take out next, what is not alike, the tempo by bar. */

import { html } from "../ui/html.js";
import { tempoPicture } from "./state.js";
import { ALIKE, ALIKE_ALL, PRACTISE, TAKE_OUT, TEMPI, askedWords, followedWords, outWords, tempiWords } from "./words.js";

const takeOut = ({ take_out }) => html`<h3>${TAKE_OUT}</h3>
  <ol class="take-out">${take_out.map((one) => html`<li>
    <span><b>${one.words}</b> <span class="muted">${outWords(one)}</span></span>
    ${one.drill === null ? "" : html`<button type="button" data-practise="${one.drill}" aria-label="${PRACTISE} ${one.drill}">${PRACTISE}</button>`}
  </li>`)}</ol>`;

const alike = (said) => html`<h3>${ALIKE}</h3><ul class="alike">${said.map((one) => html`<li>${one}</li>`)}</ul>`;

/** The tempo of every bar in the order in which they were played, the line of the click across it. */
function tempi(summary, title) {
  const { low, high, asked, bars, points } = tempoPicture(summary);
  return html`<figure class="tempi">
    <figcaption>${TEMPI}</figcaption>
    <div class="plot">
      <span class="levels muted" aria-hidden="true"><span>${Math.round(high)}</span><span>${Math.round(low)}</span></span>
      <svg viewBox="0 0 100 100" preserveAspectRatio="none" role="img" aria-label="${tempiWords(summary.tempi, title)}">
        <line x1="0" x2="100" y1="${asked}" y2="${asked}"></line>
        <polyline points="${points}"></polyline>
      </svg>
      <div class="bars muted" aria-hidden="true">${bars.map(({ at, bar }) => html`<span data-at="${at}">${bar}</span>`)}</div>
    </div>
    <small class="muted">${askedWords(summary)}</small>
  </figure>`;
}

/** Puts the bars' numbers where they belong, once the markup is in the page: its content policy allows no styles in markup. */
export function placeBars(root) {
  for (const bar of root.querySelectorAll("[data-at]")) bar.style.setProperty("left", `${bar.dataset.at}%`);
}

/** All of it; `title` is the tune's. */
export const resultMarkup = (summary, title) => html`
  <p><b>${summary.said}</b></p>
  <p class="muted">${followedWords(summary)}</p>
  ${summary.take_out.length === 0 ? "" : takeOut(summary)}
  ${summary.alike.length > 0 ? alike(summary.alike) : summary.compared > 0 ? html`<p>${ALIKE_ALL}</p>` : ""}
  ${summary.tempi.length < 2 ? "" : tempi(summary, title)}`;
