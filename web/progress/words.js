/** Every phrase of the progress view. Figures in ms, + = late; days as 2026-03-31. */

import { ON_MS, whole } from "../ui/words.js";

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const MINUTES = 60;

const parts = (day) => day.split("-").map(Number);

/** "3 Nov". */
export function shortDay(day) {
  const [, month, date] = parts(day);
  return `${date} ${MONTHS[month - 1]}`;
}

/** "3 Nov 2026". */
export const fullDay = (day) => `${shortDay(day)} ${parts(day)[0]}`;

/** A month on an axis; January by its year. */
export function monthWords(day) {
  const [year, month] = parts(day);
  return month === 1 ? String(year) : MONTHS[month - 1];
}

export const count = (number, one) => `${number.toLocaleString("en-GB")} ${one}${number === 1 ? "" : "s"}`;

/** "25 min", "6 h 40 min". */
export function timeWords(minutes) {
  const told = Math.round(minutes);
  if (told < MINUTES) return `${told} min`;
  const rest = told % MINUTES ? ` ${told % MINUTES} min` : "";
  return `${Math.floor(told / MINUTES)} h${rest}`;
}

/** A share in hundredths. */
export const shareWords = (part, whole_) => `${Math.round((100 * part) / whole_)}\u00a0%`;

export const clicksWords = (bpm) => String(Math.round(bpm * 10) / 10);

/** "12 ms late", "on the beat". */
export function placeWords(bias_ms) {
  const shown = Math.round(bias_ms);
  if (Math.abs(shown) < ON_MS) return "on the beat";
  return `${whole(shown)} ms ${shown < 0 ? "early" : "late"}`;
}

export const spreadWords = (spread_ms) => (spread_ms === null ? "–" : `± ${whole(spread_ms)} ms`);

/** What one point of a picture stands for. */
const POINT = { day: "day", week: "week", month: "month" };

/** The line under the title. */
export function headline(told, { first, last }) {
  const time = timeWords(told.minutes);
  const of = count(told.played, "rep");
  return `${told.name} practised on ${count(told.days, "day")} from ${fullDay(first)} to ${fullDay(last)}: ${time} in all, ${of}.`;
}

export const SIMULATED = "Some of this was played by the simulated player, not by a person.";

/** Captions: what a picture says, and how to read it. */
export const CAPTIONS = {
  days: {
    day: "Each bar is a day; its height, the minutes.",
    week: "Each bar is a week; its height, the days of it with practice.",
    month: "Each bar is a month; its height, the days of it with practice.",
  },
  tempo: (grain, in_a_row) =>
    `The fastest tempo at which you played ${in_a_row} clean in a row, each ${POINT[grain]} you did. Higher is faster.`,
  placement: (grain) =>
    `The dot is where your ornament usually fell in a ${POINT[grain]}. Above the line is late, below is early. ` +
    "The bar is how much it varied: about two reps in three lie within it. Shorter is steadier.",
  hand: ({ hand, hand_at: at }) =>
    `How long a held note lasts in each family${at ? `, ${at}` : ""}. The nearer the dots lie to one line, the more even ` +
    `your hand.${hand.elsewhere.length > 0 ? ` Not enough was played at that tempo of: ${hand.elsewhere.join(", ")}.` : ""}`,
};

const AXIS = { day: "minutes", week: "days a week", month: "days a month" };
export const daysAxis = (grain) => AXIS[grain];
export const TEMPO_AXIS = "clicks a minute";
export const PLACEMENT_AXIS = "ms";

/** The pictures as sentences, for those who listen to the page. */
export const tempoSentence = (points) =>
  points.length === 0
    ? NO_TEMPO
    : `Held clean: ${clicksWords(points[0].click_bpm)} clicks a minute on ${fullDay(points[0].day)}, ` +
      `${clicksWords(points.at(-1).click_bpm)} on ${fullDay(points.at(-1).day)}.`;
export const placementSentence = (points) =>
  points.length === 0
    ? "The beat was not heard yet."
    : `On ${fullDay(points[0].day)} ${placeWords(points[0].bias_ms)}, ${spreadWords(points[0].spread_ms)}; ` +
      `on ${fullDay(points.at(-1).day)} ${placeWords(points.at(-1).bias_ms)}, ${spreadWords(points.at(-1).spread_ms)}.`;
export const daysSentence = (told) => `${count(told.days, "day")} with practice, ${timeWords(told.minutes)} in all.`;

export const NO_TEMPO = "Not held yet: no tempo had so many clean in a row in these days.";
export const NO_PLACEMENT = "The step on the beat was not heard in these days.";

/** A level of the placement's picture: its side is always said. */
export const levelWords = (ms) => (ms === 0 ? "on the beat" : `${whole(ms)} ${ms < 0 ? "early" : "late"}`);
export const nowWords = (point) =>
  `now ${placeWords(point.bias_ms)}${point.spread_ms === null ? "" : `, ${spreadWords(point.spread_ms)}`}`;

export const ONLY_STAGES = "Only stages of a build-up were practised in these days; figures come with the full ornament.";
export const NO_WEAK = "Nothing stands out as weak: not enough was played in these days, or it was all clean.";

export const takeUp = (bpm) => (bpm === null ? "" : `Take it up at ${clicksWords(bpm)} clicks.`);

/** In place of the pictures: a headline and what to do. */
export const EMPTY_PROGRESS = {
  asking: ["Looking back", "This takes a moment."],
  "nothing yet": [
    "Your progress will appear here",
    "Practise any drill; each run is kept. From the first run on, you find here on which days you practised, the fastest " +
      "tempo you hold clean, whether you come early or late and how steadily, whether your hand is even across the " +
      "families of ornaments, and the five that need practice most, each one click from practising it.",
  ],
  "nothing then": ["Nothing was practised in these days", "Choose a longer span above, or practise something today."],
};
