/** A tune in staff notation: its parts from the daemon, a mark under each ornament, and the chosen ornament shown. */

import { MASTERY } from "./words.js";

const SPACE = "http://www.w3.org/2000/svg";
/** From the origin of a row, its top staff line, down to its marks, and a mark's size, in the drawing's own units. */
const MARK_Y = 1180;
const MARK_SIZE = 125;

const make = (name, attributes) => {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
};

/** A mark, to be used in a drawing or alone. */
export const markPath = (mastery) => make("path", { class: `mark ${mastery.replace(" ", "-")}`, d: MASTERY[mastery] });

/** Where the gracenotes of each note are: Map(index -> {row, x}), x being the middle. */
function places(svg) {
  const found = new Map();
  for (const grace of svg.querySelectorAll("[data-grace]")) {
    const { x, width } = grace.getBBox();
    const row = grace.closest("svg > g");
    const offset = grace.parentElement.getCTM().e - row.getCTM().e;
    const left = x + offset / row.getCTM().a;
    const index = Number(grace.dataset.grace);
    const before = found.get(index) ?? { row, from: left, to: left };
    found.set(index, { row, from: Math.min(before.from, left), to: Math.max(before.to, left + width) });
  }
  return found;
}

/** Draw the marks of these notes into a drawing that is on the page: Map(index -> {drill, mastery}). */
export function drawMarks(svg, ornaments) {
  svg.querySelectorAll(".marked").forEach((old) => old.remove());
  for (const [index, { row, from, to }] of places(svg)) {
    const found = ornaments.get(index);
    if (!found) continue;
    const group = make("g", { class: "marked", transform: `translate(${(from + to) / 2} ${MARK_Y}) scale(${MARK_SIZE})` });
    group.dataset.drill = found.drill;
    group.append(make("rect", { class: "target", x: -2, y: -2, width: 4, height: 4 }), markPath(found.mastery));
    row.append(group);
  }
}

/** A cursor in the music of a place: `light(note)` shows where the player is, null nowhere; `reveal(row)` brings its row into view; `name` is the class that shows it. */
export function cursorIn(place, reveal, name = "cursor") {
  let lit = [];
  return (note) => {
    const elements = note === null ? [] : [...place.querySelectorAll(`[data-note="${note}"], [data-grace="${note}"]`)];
    if (elements.length === lit.length && elements.every((one, index) => one === lit[index])) return;
    const row = lit[0]?.closest("svg > g");
    for (const one of lit) one.classList.remove(name);
    for (const one of elements) one.classList.add(name);
    lit = elements;
    const now = elements[0]?.closest("svg > g");
    if (now && now !== row) reveal(now);
  };
}

/** Show which notes belong to the chosen ornament; null: none. */
export function drawChosen(svg, ornaments, drill) {
  for (const group of svg.querySelectorAll("[data-note], [data-grace]")) {
    const index = Number(group.dataset.note ?? group.dataset.grace);
    group.classList.toggle("chosen", drill !== null && ornaments.get(index)?.drill === drill);
  }
  for (const mark of svg.querySelectorAll(".marked")) mark.classList.toggle("chosen", mark.dataset.drill === drill);
}
