/** The figures of the progress view as tables: the same as the pictures show, and all that was practised. */

import { html } from "../ui/html.js";
import { clicksWords, fullDay, shareWords, shortDay, spreadWords, timeWords } from "./words.js";
import { DASH, placeWords } from "../ui/words.js";

const head = (names) => html`<thead><tr>${names.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>`;
const row = ([first, ...others]) => html`<tr><th scope="row">${first}</th>${others.map((one) => html`<td>${one}</td>`)}</tr>`;

/** A table: a caption, the columns' names, rows of text; the first of each row names it. */
export const table = (caption, names, rows) =>
  html`<caption>${caption}</caption>${head(names)}<tbody>${rows.map(row)}</tbody>`;

const FROM = { day: "Day", week: "Week of", month: "Month from" };

export const practiceTable = ({ practice, grain }) =>
  table("Practice", [FROM[grain], "days", "time", "reps"],
    practice.map((one) => [fullDay(one.day), one.days, timeWords(one.minutes), one.played]));

export const tempoTable = ({ shown, grain, in_a_row }) =>
  table(`${shown.drill}: ${in_a_row} clean in a row`, [FROM[grain], "clicks a minute"],
    shown.tempo.map((one) => [fullDay(one.day), clicksWords(one.click_bpm)]));

export const placementTable = ({ shown, grain, on_beat_ms }) =>
  table(`${shown.drill}: on the beat`, [FROM[grain], "usually", "varied by", "clean"],
    shown.placement.map((one) => [fullDay(one.day), placeWords(one.bias_ms, on_beat_ms), spreadWords(one.spread_ms), `${one.clean} of ${one.played}`]));

export const handTable = ({ hand }) =>
  table("Held notes by family", ["Family", "length", "varied by", "reps"],
    hand.families.map((one) => [one.family, `${Math.round(one.held_ms)} ms`, spreadWords(one.spread_ms), one.played]));

const wayRow = (way) => html`<tr>
  <th scope="row"><button type="button" class="plain" data-show="${way.drill}">${way.drill}</button></th>
  <td>${way.fastest_clean_bpm === null ? DASH : clicksWords(way.fastest_clean_bpm)}</td>
  <td>${shareWords(way.clean, way.played)}</td><td>${way.days}</td><td>${shortDay(way.last_day)}</td>
</tr>`;

/** Everything that was practised in the span; each name shows its pictures. */
export const waysTable = ({ ways, in_a_row }) => html`<caption>All that was practised</caption>
  ${head(["Ornament and way in", `${in_a_row} in a row at`, "clean", "days", "last on"])}<tbody>${ways.map(wayRow)}</tbody>`;
