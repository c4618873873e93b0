/**
 * Where everything is on the wall: as many rows as can be read from the last row, the band below. Pure; CSS pixels.
 */

const LINE = 1.5;
/** A row's height, in letters. */
const TITLE = 2.7;
const BAND = 4.4;
const SENTENCE = 2.6;
/** The word about a rep and its count, in letters: "another one" in bold, and two figures. */
const WORD = 9.6;
const LEAST_ROWS = 2;
/** How much taller than need be a row becomes where there is room; the rows of one seat alone, more. */
const TALLER = 1.6;
const TALLEST = 8;

/** `alone`: one seat has the whole wall, and there is no band below. {letter, rows, pages, title, labels, lanes: [{y, height}], band, sentence, left, right, names, strip: {left, right}, word}. */
export function wallPlan(seats, width, height, letter, alone = false) {
  const size = Math.max(letter, height / 40);
  const margin = size * 0.6;
  const row = size * LINE;
  const room = height - margin - size * (TITLE + (alone ? 1 : BAND + SENTENCE));
  const fit = Math.max(LEAST_ROWS, Math.floor(room / row));
  const pages = Math.max(1, Math.ceil(seats / fit));
  const rows = Math.max(1, Math.ceil(seats / pages)); // pages that are alike full
  const tall = Math.min(room / rows, row * (alone ? TALLEST : TALLER));
  const top = margin + size * TITLE;
  const lanes = Array.from({ length: rows }, (_, index) => ({ y: top + index * tall, height: tall }));
  const below = top + rows * tall;
  const names = Math.min(width * 0.2, size * 6);
  return {
    letter: size,
    rows,
    pages,
    title: margin + size * 1.2,
    labels: top - size * 0.2,
    lanes,
    band: { y: below + size * 0.5, height: size * 2 },
    sentence: height - margin - size * 1.2,
    left: margin,
    names,
    right: width - margin,
    strip: { left: margin + names, right: width - margin - size * (WORD + 0.4) },
    word: width - margin - size * WORD,
  };
}

/** The page turns between two reps, after a fixed number of them. */
export const REPS_A_PAGE = 4;
/** While nobody plays, or the wall is held, there is no rep to turn it: then a page stays as long as this. */
export const PAGE_MS = 8000;
/** Which page is shown; `turns` counts those that time has turned. */
export const pageOf = (rep, pages, turns = 0) => (rep === null ? turns : Math.floor(rep / REPS_A_PAGE) + turns) % pages;
