/** Staff notation from the daemon, put into the page as drawing and nothing else, and the steps marked on it. */

import * as api from "../core/api.js";

const SPACE = "http://www.w3.org/2000/svg";
const DRAWING = new Set(["svg", "text", "g", "path", "polygon", "polyline", "line", "rect", "ellipse", "circle", "title", "desc"]);
/** Room for the marks, and their place and size, in the staff's own units: 180 to a space between two lines. */
const ROOM = 200;
const THICK = 70;
const PER_EM = 360;

const kept = new Map();

/** Leave nothing but drawing; ids would stand twice where the same drill is shown twice. */
function cleaned(svg) {
  for (const node of [svg, ...svg.querySelectorAll("*")]) {
    if (!DRAWING.has(node.localName)) node.remove();
    for (const { name } of [...node.attributes]) {
      if (name === "id" || name === "style" || name.startsWith("on") || name.endsWith("href")) node.removeAttribute(name);
    }
  }
  return svg;
}

/** Make room below for the marks; the drawing keeps its scale. */
function withRoom(svg, room) {
  const [left, top, width, height] = svg.getAttribute("viewBox").split(/\s+/).map(Number);
  svg.setAttribute("viewBox", `${left} ${top} ${width} ${height + room}`);
  svg.setAttribute("width", `${width / PER_EM}em`);
  svg.setAttribute("height", `${(height + room) / PER_EM}em`);
  return svg;
}

/** The drawing in a text of SVG, with room below it in its own units; throws Refused if there is none. */
export function drawing(text, room = ROOM) {
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (svg.localName !== "svg" || svg.namespaceURI !== SPACE) throw new api.Refused("The staff that came is no drawing.");
  return withRoom(cleaned(document.importNode(svg, true)), room);
}

function staffOf(drill) {
  if (!kept.has(drill)) {
    const coming = api.staff(drill).then((text) => drawing(text));
    coming.catch(() => kept.delete(drill));
    kept.set(drill, coming);
  }
  return kept.get(drill);
}

/** Fetch a staff that will be shown soon; what goes wrong is said when it is. */
export function prepareStaff(drill) {
  staffOf(drill).catch(() => null);
}

/** Show the staff of a drill in an element, or in its place why there is none; what is shown already stays. */
export async function showStaff(place, drill) {
  if (place.dataset.staff === drill) return;
  place.dataset.staff = drill;
  let shown = [];
  try {
    if (drill !== "") shown = [(await staffOf(drill)).cloneNode(true)];
  } catch (error) {
    if (!(error instanceof api.Refused)) throw error;
    shown = [Object.assign(document.createElement("p"), { className: "reason", textContent: error.message })];
  }
  if (place.dataset.staff !== drill) return;
  place.replaceChildren(...shown);
  place.classList.toggle("none", shown.length === 0);
  place.dispatchEvent(new Event("changed", { bubbles: true }));
}

function tick(svg, group) {
  const { x, width } = group.getBBox();
  const matrix = svg.getCTM().inverse().multiply(group.getCTM());
  const left = matrix.a * x + matrix.e;
  const right = left + matrix.a * width;
  const { y, height } = svg.viewBox.baseVal;
  const mark = document.createElementNS(SPACE, "path");
  mark.setAttribute("class", "tick");
  mark.setAttribute("d", `M${left} ${y + height - THICK}H${right}`);
  mark.setAttribute("stroke-width", String(THICK));
  mark.dataset.tick = group.dataset.step;
  svg.append(mark);
  return mark;
}

/** Mark these steps as played, by a line under each and the accent's colour; all others lose their marks. */
export function markSteps(place, steps) {
  const svg = place.querySelector("svg");
  if (!svg) return;
  for (const group of svg.querySelectorAll("[data-step]")) {
    const played = steps.has(Number(group.dataset.step));
    if (group.classList.contains("played") === played) continue;
    group.classList.toggle("played", played);
    const mark = svg.querySelector(`[data-tick="${group.dataset.step}"]`) ?? tick(svg, group);
    mark.toggleAttribute("data-on", played);
  }
}
