/** The picture of a tempo ladder: its rungs about the present one, what was held, the top and the performing tempo. */

import { beatsOf, rungsSentence, tempoWords } from "./words.js";
import { patch } from "../ui/svg.js";

const WIDTH = 200;
/** Where the column of beats begins, if a beat has more clicks than one, and the room that its head takes. */
const BEATS = 128;
const HEAD = 22;
const STEP = 30;
const LEFT = 10;
const RIGHT = 58;
const SHOWN = 7;

/** Every tempo of the ladder from the lowest up, the present one and the performing one, if there is one, among them. Pure. */
export function stops({ rungs, rule, click_bpm }) {
  const all = [...rungs, rule.performing_bpm, click_bpm].filter((bpm) => bpm !== null);
  return [...new Set(all)].sort((one, other) => one - other);
}

/** The stops to show, {list, below, above}: a few about the present one; `below` and `above` say whether more follow. Pure. */
export function near(ladder, most = SHOWN) {
  const all = stops(ladder);
  const here = all.indexOf(ladder.click_bpm);
  const from = Math.max(0, Math.min(here - (most >> 1), all.length - most));
  const list = all.slice(from, from + most);
  return { list, below: from > 0, above: from + list.length < all.length };
}

const noteOn = (bpm, { rule }) => (bpm === rule.performing_bpm ? "perform" : bpm === rule.top_bpm ? "top" : "");

const heads = [
  ["clicks", RIGHT + 12],
  ["beats", BEATS],
].map(([text, x]) => ({ key: text, tag: "text", class: "note", x, y: -6, text, "font-size": 14 }));

/** The marks of the picture, and its height, in the units of its own view box. Pure. */
function rungMarks(ladder, toBeat) {
  const { list, below, above } = near(ladder);
  const height = list.length * STEP;
  const y = (index) => height - (index + 0.5) * STEP;
  const rail = (key, x) => ({
    key, tag: "line", class: "rail", x1: x, x2: x, y1: above ? 0 : STEP * 0.25, y2: below ? height : height - STEP * 0.25,
  });
  const marks = list.flatMap((bpm, index) => {
    const here = bpm === ladder.click_bpm;
    const held = ladder.held_bpm !== null && bpm <= ladder.held_bpm && ladder.rungs.includes(bpm);
    const kind = here ? "here" : held ? "held" : "ahead";
    const note = noteOn(bpm, ladder);
    const words = { tag: "text", y: y(index), "dominant-baseline": "central" };
    return [
      { key: `rung ${bpm}`, tag: "line", class: `rung ${kind}`, x1: LEFT, x2: RIGHT, y1: y(index), y2: y(index) },
      { ...words, key: `bpm ${bpm}`, class: `bpm ${kind}`, x: RIGHT + 12, text: tempoWords(bpm), "font-size": here ? 24 : 17 },
      ...(toBeat > 1 ? [{ ...words, key: `beats ${bpm}`, class: "beats", x: BEATS, text: tempoWords(beatsOf(bpm, toBeat)), "font-size": 17 }] : []),
      ...(note ? [{ ...words, key: `note ${bpm}`, class: "note", x: toBeat > 1 ? BEATS + 44 : BEATS, text: note, "font-size": 14 }] : []),
    ];
  });
  return { height, marks: [rail("left", LEFT), rail("right", RIGHT), ...marks, ...(toBeat > 1 ? heads : [])] };
}

/** draw(ladder) for an <svg>. */
export function rungsView(svg) {
  return (ladder, toBeat) => {
    const { height, marks } = rungMarks(ladder, toBeat);
    svg.setAttribute("viewBox", toBeat > 1 ? `0 ${-HEAD} ${WIDTH + 40} ${height + HEAD}` : `0 0 ${WIDTH} ${height}`);
    const sentence = rungsSentence(ladder);
    if (svg.getAttribute("aria-label") !== sentence) svg.setAttribute("aria-label", sentence);
    patch(svg, marks);
  };
}
