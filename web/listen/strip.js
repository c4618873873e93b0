/** The strip of one ornament without a beat: its notes one after the other, as long as they sounded. Pure. */

export const HEIGHT = 112;
/** The melody note goes on: so much of it is drawn. */
const THEME_MS = 120;
const NARROWEST = 3;
const BAR_Y = 40;
const BAR = 34;
/** About half as wide as a note's name ("high G") and a figure are at most, in px: at the edges they are moved inwards. */
const HALF_NAME = 30;
const HALF_FIGURE = 16;
/** A label needs so much room; a narrower step has its length below the one beside it. */
const LABEL = 46;

const lengthOf = (step) => (step.kind === "theme" ? THEME_MS : (step.length_ms ?? 0));

/** The marks of the strip, as `patch` takes them, in a picture so wide, in px. */
export function stripMarks(one, width_px) {
  const total = one.steps.reduce((sum, step) => sum + lengthOf(step), 0) || 1;
  const unsounded = one.steps.filter((step) => step.onset_ms === null).length;
  const scale = (width_px - unsounded * LABEL) / total;
  const marks = [];
  let x = 0;
  let lower = false;
  one.steps.forEach((step, index) => {
    const missing = step.onset_ms === null;
    const width = missing ? LABEL : Math.max(NARROWEST, lengthOf(step) * scale);
    const faulty = one.faults.some((fault) => fault.step === index);
    const kind = missing ? "missing" : step.kind;
    marks.push({ key: `bar ${index}`, tag: "rect", class: `bar ${kind}${faulty ? " faulty" : ""}`, x: x + 1, y: BAR_Y, width: Math.max(1, width - 2), height: BAR, rx: 4 });
    lower = width < LABEL && !lower;
    const middle = x + width / 2;
    const within = (half) => Math.min(Math.max(middle, half), width_px - half);
    marks.push({ key: `note ${index}`, tag: "text", class: "note", x: within(HALF_NAME), y: lower ? 15 : 34, text: step.played_note ?? step.note });
    if (step.kind !== "theme") {
      const below = missing ? step.state : `${Math.round(step.length_ms ?? 0)}`;
      marks.push({ key: `long ${index}`, tag: "text", class: `long${faulty ? " faulty" : ""}`, x: within(missing ? HALF_NAME : HALF_FIGURE), y: BAR_Y + BAR + (lower ? 36 : 17), text: below });
    }
    x += width;
  });
  return marks;
}

