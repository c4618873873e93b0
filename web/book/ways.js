/** The ways into an ornament as a square of buttons: the note before down the side, the melody note along the top. */

import { wayBetween } from "./state.js";
import { fill, html } from "../ui/html.js";
import { wayWords } from "./words.js";

export const NOTES = ["low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"];

const ARROWS = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] };

function cell(ornament, lead, theme, book) {
  const can = wayBetween(ornament, lead, theme) !== null;
  const picked = lead === book.lead && theme === book.theme;
  return html`<td>
    <button type="button" class="${can ? "can" : "cannot"}" data-lead="${lead}" data-theme="${theme}"
      aria-label="${wayWords(lead, theme, can)}" aria-pressed="${picked}" tabindex="${picked ? 0 : -1}">
      <span aria-hidden="true">${can ? "●" : "–"}</span>
    </button>
  </td>`;
}

const row = (ornament, book) => (lead) =>
  html`<tr>
    <th scope="row">${lead}</th>
    ${NOTES.map((theme) => cell(ornament, lead, theme, book))}
  </tr>`;

const head = (note) => html`<th scope="col"><span>${note}</span></th>`;

/** draw(ornament, book); `pick(lead, theme)` is called with what was asked. Arrows walk, and pick as they walk. */
export function waysView(table, pick) {
  // What is picked, known before it is drawn: keys may come faster than frames.
  let at = { lead: null, theme: null };
  const go = (lead, theme) => {
    at = { lead, theme };
    pick(lead, theme);
  };
  const buttonAt = (lead, theme) => table.querySelector(`[data-lead="${lead}"][data-theme="${theme}"]`);
  table.addEventListener("click", (event) => {
    const button = event.target.closest("[data-lead]");
    if (button) go(button.dataset.lead, button.dataset.theme);
  });
  table.addEventListener("keydown", (event) => {
    if (!event.target.closest("[data-lead]") || !(event.key in ARROWS)) return;
    event.preventDefault();
    const [down, right] = ARROWS[event.key];
    const within = (index) => NOTES[Math.min(Math.max(index, 0), NOTES.length - 1)];
    go(within(NOTES.indexOf(at.lead) + down), within(NOTES.indexOf(at.theme) + right));
  });
  return (ornament, book) => {
    at = { lead: book.lead, theme: book.theme };
    const held = table.contains(document.activeElement);
    fill(
      table,
      html`<thead>
          <tr><td></td>${NOTES.map(head)}</tr>
        </thead>
        <tbody>${NOTES.map(row(ornament, book))}</tbody>`,
    );
    if (held) buttonAt(book.lead, book.theme)?.focus();
  };
}
