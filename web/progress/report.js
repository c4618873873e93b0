/** The report: asked for by its days, shown as a page to be printed; what it says is the daemon's, word for word. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { practiceMarks } from "./pictures.js";
import { REPORT_PAGE } from "./page.js";
import { dayOf, spanDays } from "./state.js";
import { daysAxis } from "./words.js";
import { patch } from "../ui/svg.js";

const table = ({ columns, rows }) => html`<table>
  <thead><tr>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
  <tbody>${rows.map(([first, ...others]) => html`<tr><th scope="row">${first}</th>${others.map((one) => html`<td>${one}</td>`)}</tr>`)}</tbody>
</table>`;

const said = ({ said: sentences, listed }) =>
  listed ? html`<ul>${sentences.map((one) => html`<li>${one}</li>`)}</ul>` : html`${sentences.map((one) => html`<p>${one}</p>`)}`;

const section = (one) => html`<section>
  <h2>${one.heading}</h2>${said(one)}${one.table === null ? "" : table(one.table)}
</section>`;

/** The words of a report as markup: a title, its sections, the small print. */
const reportMarkup = (report) => html`${report.sections.map(section)}
  <aside>${report.notes.map((note) => html`<p>${note}</p>`)}</aside>`;

/** `now()` -> {progress, player}; `attempt(action)` shows a refusal of the daemon; `redraw()` draws once more. */
export function reportView(find, { now, attempt, redraw }) {
  fill(find("#report"), REPORT_PAGE);
  let report = null;
  const from = find("#report-from");
  const to = find("#report-to");
  const svg = find("#report-picture");
  new ResizeObserver(redraw).observe(svg);

  const ask = () =>
    attempt(async () => {
      const { progress, player } = now();
      if (player === null || !from.value || !to.value) return;
      report = await api.report({ player, from: from.value, to: to.value, in_a_row: progress.in_a_row });
      redraw();
    });
  const open = () => {
    const { progress } = now();
    const today = dayOf(new Date());
    const days = spanDays(progress.span, today);
    if (!from.value) from.value = days.from ?? progress.answer?.first_day ?? spanDays("a year", today).from;
    if (!to.value) to.value = days.to;
    ask();
  };
  for (const day of [from, to]) day.addEventListener("change", ask);
  find("#report-print").addEventListener("click", () => print());

  const draw = (player) => {
    if (player !== null && report?.player !== player) {
      report = { player, title: "", name: "", days: "", practice: [], sections: [], notes: [] };
      ask();
    }
    if (report === null) return;
    say(find("#report-title"), report.title);
    say(find("#report-name"), report.name);
    say(find("#report-days"), report.days);
    fill(find("#report-words"), reportMarkup(report));
    const drawn = report.practice.length > 0;
    show(find("#report-figure"), drawn);
    if (!drawn) return;
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const { width, height } = svg.getBoundingClientRect();
    svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    svg.setAttribute("aria-label", `Practice: ${daysAxis(report.grain)}.`);
    const days = { first: report.first_day, last: report.last_day };
    if (width > 0) patch(svg, practiceMarks(report.practice, report.grain, days, { width, height, rem }));
  };
  return { open, draw };
}
