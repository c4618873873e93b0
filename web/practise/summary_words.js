/** The words of one rep in detail, and of a run that is over. Pure. */

import { capital, placeWords, whole } from "../ui/words.js";

/** Above 240 ms a shift is heard from this share of the interval (Friberg & Sundberg 1995, JASA 98:2524). */
const HEARD_SHARE = 0.025;

/** What each part of a teacher's remarks is called, in the order in which they are read. */
export const PARTS = [
  ["unsteady", "Not steady"],
  ["steady", "Steady"],
  ["open", "Not known yet"],
];

/** The headline of a run that is over. */
export const cleanWords = ({ clean, played }) => `${clean} of ${played} clean.`;

/** The fold with the rest of the remarks. */
export const ALL_REMARKS = "Everything about this run";

const OF_KIND = { held: "held notes", quick: "gracenotes and taps" };

/** The lengths of the steps of one kind: "58, 62 ms", and how even they were; null if none was played. */
function lengthsWords(lengths) {
  if (lengths.lengths_ms.length === 0) return null;
  const list = `${lengths.lengths_ms.map(whole).join(", ")} ms`;
  if (lengths.longest_over_shortest === null) return list;
  return `${list}; the longest ${lengths.longest_over_shortest.toFixed(1)} times the shortest`;
}

/** How a note on one side kept its time; null where that cannot be known. */
export function keptWords(kept) {
  if (kept.off_ms === null) return null;
  const off = Math.round(kept.off_ms);
  const long = `${whole(kept.length_ms)} ms`;
  if (Math.abs(off) < HEARD_SHARE * kept.asked_ms) return `${long}, its full time`;
  return `${long}, ${whole(off)} ms too ${off > 0 ? "long" : "short"}`;
}

/** Rows of [name, words] about one rep: placement, shape, the notes on both sides; what is not known is left out. */
export function rows(rep, on_beat_ms) {
  const { placement, shape, around } = rep;
  const beat =
    placement.off_ms === null
      ? "not played"
      : `${placeWords(placement.off_ms, on_beat_ms)}, ${Math.abs(placement.of_click * 100).toFixed(1)} % of the click off`;
  return [
    ["beat", beat],
    [OF_KIND.held, lengthsWords(shape.held)],
    [OF_KIND.quick, lengthsWords(shape.quick)],
    [`${rep.lead.note} before`, keptWords(around.lead)],
    [`${rep.steps.at(-1).note} after`, keptWords(around.theme)],
  ].filter(([, words]) => words !== null);
}

/** What the button of a drill says. */
export const practiseWords = (drill, click_bpm) => (click_bpm === undefined ? `Practise ${drill}` : "Practise this next");

/** A fault as the head of its paragraph. */
export const faultHead = (fault) => capital(fault.fault);
