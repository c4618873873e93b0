/** What is on the progress view and on the report before anything is known: put in once, when the page is wired. */

import { html } from "../ui/html.js";
import { FREE } from "./words.js";

export const PROGRESS_PAGE = html`
  <div class="top">
    <h1>Progress</h1>
    <div id="progress-choices" class="row">
      <div id="span" role="group" aria-label="Days to look back on"></div>
      <label>clean in a row <select id="in-row"></select></label>
      <a href="#report" data-view="report">Report</a>
    </div>
    <p id="progress-headline" role="status"></p>
    <p id="progress-simulated" class="muted"></p>
  </div>
  <section id="progress-empty" class="nothing" hidden><h2></h2><p></p><p><a href="#practise">Go and practise</a></p></section>
  <div id="progress-shown" hidden>
    <section class="weak" aria-labelledby="weak-name">
      <h2 id="weak-name">Needs practice most</h2>
      <ol id="weakest"></ol>
      <p id="weakest-said" class="muted"></p>
    </section>
    <figure class="often">
      <figcaption><h2>Days practised</h2><p id="days-said" class="muted"></p></figcaption>
      <svg id="days-picture" class="picture" role="img"></svg>
      <details id="days-figures"><summary>As a table</summary><table></table></details>
    </figure>
    <section id="one" aria-labelledby="one-name">
      <div class="row">
        <h2 id="one-name"><label for="progress-drill">One ornament</label></h2>
        <select id="progress-drill"></select>
        <button type="button" id="progress-practise">Practise it</button>
      </div>
      <figure>
        <figcaption><h3>Tempo held clean</h3><p id="tempo-said" class="muted"></p></figcaption>
        <svg id="tempo-picture" class="picture" role="img"></svg>
        <details id="tempo-figures"><summary>As a table</summary><table></table></details>
      </figure>
      <figure>
        <figcaption><h3>On the beat</h3><p id="placement-said" class="muted"></p></figcaption>
        <svg id="placement-picture" class="picture" role="img"></svg>
        <details id="placement-figures"><summary>As a table</summary><table></table></details>
      </figure>
    </section>
    <figure class="hand">
      <figcaption><h2>An even hand</h2><p id="hand-verdict"></p><p id="hand-said" class="muted"></p></figcaption>
      <svg id="hand-picture" class="picture" role="img"></svg>
      <details id="hand-figures"><summary>As a table</summary><table></table></details>
    </figure>
    <section id="progress-tunes" aria-labelledby="progress-tunes-name" hidden>
      <div class="row">
        <h2 id="progress-tunes-name"><label for="progress-tune">One tune</label></h2>
        <select id="progress-tune"></select>
        <a id="progress-tune-open" class="button">To the tune</a>
      </div>
      <figure>
        <figcaption><h3>Clean ornaments</h3><p id="tune-share-said" class="muted"></p></figcaption>
        <svg id="tune-share-picture" class="picture" role="img"></svg>
        <details><summary>As a table</summary><table id="tune-weeks"></table></details>
      </figure>
      <figure>
        <figcaption><h3>Tempo</h3><p id="tune-tempo-said" class="muted"></p></figcaption>
        <svg id="tune-tempo-picture" class="picture" role="img"></svg>
      </figure>
      <div class="wide" tabindex="0" role="group" aria-label="Ornaments of the tune"><table id="tune-ways"></table></div>
    </section>
    <section id="progress-free" aria-labelledby="progress-free-name" hidden>
      <h2 id="progress-free-name">${FREE.name}</h2>
      <p class="muted">${FREE.said}</p>
      <div class="wide" tabindex="0" role="group" aria-label="${FREE.name}"><table id="free-ways"></table></div>
    </section>
    <section class="all"><div class="wide" tabindex="0" role="group" aria-label="All that was practised"><table id="all-ways"></table></div></section>
  </div>
`;

export const REPORT_PAGE = html`
  <div class="which row">
    <label>from <input id="report-from" type="date"></label>
    <label>to <input id="report-to" type="date"></label>
    <button type="button" id="report-print" class="go">Print</button>
    <a href="#progress">Back to progress</a>
  </div>
  <article aria-labelledby="report-title">
    <h1 id="report-title"></h1>
    <p class="whose"><b id="report-name"></b> <span id="report-days"></span></p>
    <figure id="report-figure"><svg id="report-picture" class="picture" role="img"></svg></figure>
    <div id="report-words"></div>
  </article>
`;
