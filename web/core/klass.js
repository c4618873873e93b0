/** What desk and wall share of a class: its click, and what a presenter's clicker leads to. Pure. */

/** The same click is the same object, so that what was given to the audio clock stays. */
export const sameClick = (before, now) => (JSON.stringify(before) === JSON.stringify(now) ? before : now);

/** What Page Down leads to: the class starts, then the wall is held, then it goes on. */
export const onward = (klass) => (klass?.state !== "playing" ? { act: "start" } : { act: "freeze", frozen: !klass.frozen });

/** What is sent to start the last class again. */
export function again({ drill, click_bpm, layout, standard, ladder }) {
  const rule = ladder && { in_a_row: ladder.in_a_row, share: ladder.share, raise_bpm: ladder.raise_bpm, top_bpm: ladder.top_bpm };
  return { drill, click_bpm, layout, standard, ...(rule ? { ladder: rule } : {}) };
}
