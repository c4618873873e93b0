/** The ornaments of a take as a list: which, when, how; one of them is picked, and drawn large with its sentence. */

import { count } from "../ui/dates.js";
import { fill, html, say, show } from "../ui/html.js";
import { optionList } from "../ui/options.js";
import { patch } from "../ui/svg.js";
import { HEIGHT, stripMarks } from "./strip.js";
import { ALL, FAULTY, MORE, SHOW, UNKNOWN, clockWords, nameWords, otherWords, shortWords, stripSentence } from "./words.js";

/** So many are listed at first, and more when they are asked for: twenty minutes hold two thousand. */
const ROWS = 100;

const FRAME = (name) => html`<p class="row filters">
    <label class="row">${SHOW} <select></select></label>
    <label class="row"><input type="checkbox"> ${FAULTY}</label>
    <span class="muted" role="status"></span>
  </p>
  <div class="listed">
    <div><ol aria-label="${name}"></ol><button type="button" hidden>${MORE}</button></div>
    <section class="picked-one" aria-live="polite" hidden><h4></h4><svg role="img"></svg><p class="said"></p><p class="muted"></p></section>
  </div>`;

export const nameOf = (one) => one.ornament ?? UNKNOWN;

/** Those of that name (null: all), with or without the clean ones: [{one, index}]. */
export const listedOf = (ornaments, { name, faulty }) =>
  ornaments.map((one, index) => ({ one, index })).filter(({ one }) => (name === null || nameOf(one) === name) && !(faulty && one.clean));

const row = ({ one, index }, picked) => html`<li role="option" data-at="${index}" aria-selected="${index === picked}" tabindex="${index === picked ? 0 : -1}">
  <span class="muted">${clockWords(one.theme_ms)}</span> <b>${one.drill ?? nameOf(one)}</b> <span class="${one.clean ? "muted" : "faulty"}">${shortWords(one)}</span>
</li>`;

/** draw(ornaments) lists them, pick(place) shows one; `place` holds all of it, `name` is what the list is. */
export function ornamentList(place, name) {
  fill(place, FRAME(name));
  const [select, box, list, more, card] = ["select", "input", "ol", "button", ".picked-one"].map((what) => place.querySelector(what));
  let ornaments = null;
  let seen = { name: null, faulty: false, rows: ROWS, picked: null };
  const options = optionList(list, ({ at }) => turn({ picked: Number(at) }));

  function turn(changed) {
    seen = { ...seen, ...changed };
    const found = listedOf(ornaments, seen);
    const shown = found.slice(0, seen.rows);
    const picked = shown.some(({ index }) => index === seen.picked) ? seen.picked : (shown[0]?.index ?? null);
    options.draw(() => fill(list, html`${shown.map((one) => row(one, picked))}`), shown.length > 0);
    say(place.querySelector("[role=status]"), count(found.length, "ornament"));
    show(more, found.length > shown.length);
    show(card, picked !== null);
    if (picked !== null) drawCard(ornaments[picked]);
  }

  function drawCard(one) {
    const svg = card.querySelector("svg");
    const width = card.clientWidth || 320;
    say(card.querySelector("h4"), [clockWords(one.theme_ms), ...nameWords(one)].filter(Boolean).join(" "));
    svg.setAttribute("viewBox", `0 0 ${width} ${HEIGHT}`);
    svg.setAttribute("aria-label", stripSentence(one));
    patch(svg, stripMarks(one, width));
    say(card.querySelector(".said"), one.said);
    say(card.querySelector(".muted"), otherWords(one));
  }

  select.addEventListener("change", () => turn({ name: select.value || null, rows: ROWS, picked: null }));
  box.addEventListener("change", () => turn({ faulty: box.checked, rows: ROWS, picked: null }));
  more.addEventListener("click", () => turn({ rows: seen.rows + ROWS }));

  return {
    /** Those; what was shown of others is forgotten. */
    draw(next) {
      if (next === ornaments) return;
      ornaments = next;
      const names = [...new Set(ornaments.map(nameOf))].sort();
      fill(select, html`<option value="">${ALL}</option>${names.map((one) => html`<option>${one}</option>`)}`);
      [select.value, box.checked] = ["", false];
      turn({ name: null, faulty: false, rows: ROWS, picked: null });
    },
    /** Only those of that name; "" for all. */
    only(wanted) {
      select.value = wanted;
      turn({ name: wanted || null, rows: ROWS, picked: null });
    },
    /** The first one from then on, in ms, of all. */
    jump(from_ms) {
      const at = ornaments.findIndex((one) => one.theme_ms >= from_ms);
      if (at < 0) return;
      [select.value, box.checked] = ["", false];
      turn({ name: null, faulty: false, rows: Math.max(ROWS, at + ROWS), picked: at });
      list.querySelector("[aria-selected=true]")?.focus();
    },
  };
}
