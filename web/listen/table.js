/** How each ornament went, as a table: today's, or those of a recording. */

import { html } from "../ui/html.js";
import { COLUMNS, SIZES, faultWords, sizeWords } from "./words.js";

/** [fault, times], however it was sent. */
const faultsOf = ({ faults }) => (Array.isArray(faults) ? faults.map(({ fault, times }) => [fault, times]) : Object.entries(faults));

const row = (one, choose) => html`<tr>
  <th scope="row">${choose ? html`<button type="button" class="plain" data-only="${one.ornament}">${one.ornament}</button>` : one.ornament}${faultsOf(one).length > 0 ? html`<small>${faultWords(faultsOf(one))}</small>` : ""}</th><td>${one.played}</td><td>${one.clean}</td><td>${sizeWords(one.held_ms)}</td><td>${sizeWords(one.quick_ms)}</td>
</tr>`;

/** The table as markup; with `choose` an ornament is a button with its name in `data-only`. */
export const tally = (rows, name, { choose = false } = {}) => html`<div class="scroll" role="region" aria-label="${name}" tabindex="0"><table>
  <thead><tr>${COLUMNS.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
  <tbody>${rows.map((one) => row(one, choose))}</tbody>
</table></div><p class="muted">${SIZES}</p>`;
