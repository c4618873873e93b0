/** Every phrase of the progress view. Figures in ms, + = late; days as 2026-03-31. */

import { count, dateWords } from "../ui/dates.js";
import { placeWords, whole } from "../ui/words.js";

const MINUTES = 60;

/** "3 Nov". */
export const shortDay = (day) => dateWords(day, { day: "numeric", month: "short" });

/** "3 Nov 2026". */
export const fullDay = (day) => dateWords(day, { day: "numeric", month: "short", year: "numeric" });

/** A month on an axis; January by its year. */
export const monthWords = (day) => dateWords(day, day.slice(5, 7) === "01" ? { year: "numeric" } : { month: "short" });

/** "25 min", "6 h 40 min". */
export function timeWords(minutes) {
  const whole_min = Math.round(minutes);
  if (whole_min < 1) return "less than a minute";
  if (whole_min < MINUTES) return `${whole_min} min`;
  const rest = whole_min % MINUTES ? ` ${whole_min % MINUTES} min` : "";
  return `${Math.floor(whole_min / MINUTES)} h${rest}`;
}

/** A share in hundredths. */
export const shareWords = (part, whole_) => `${Math.round((100 * part) / whole_)}\u00a0%`;

export const clicksWords = (bpm) => String(Math.round(bpm * 10) / 10);

export const spreadWords = (spread_ms) => (spread_ms === null ? "–" : `± ${whole(spread_ms)} ms`);

/** What one point of a picture is. */
const POINT = { day: "day", week: "week", month: "month" };

/** The line under the title. */
export function headline(progress, { first, last }) {
  const time = timeWords(progress.minutes);
  const of = count(progress.played, "rep");
  return `${progress.name} practised on ${count(progress.days, "day")} from ${fullDay(first)} to ${fullDay(last)}: ${time}, ${of}.`;
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
    "The bar is how much it varied: about two reps in three are within it. Shorter is steadier.",
  hand: ({ hand, hand_at: at }) =>
    `How long a held note lasts in each family${at ? `, ${at}` : ""}. The nearer the dots are to one line, the more even ` +
    `your hand.${hand.elsewhere.length > 0 ? ` Not enough was played at that tempo of: ${hand.elsewhere.join(", ")}.` : ""}`,
};

const AXIS = { day: "minutes", week: "days a week", month: "days a month" };
export const daysAxis = (grain) => AXIS[grain];
export const TEMPO_AXIS = "clicks a minute";
export const PLACEMENT_AXIS = "ms";
export const SHARE_AXIS = "% clean";

/** The pictures as sentences, for those who listen to the page. */
export const tempoSentence = (points) =>
  points.length === 0
    ? NO_TEMPO
    : `Held clean: ${clicksWords(points[0].click_bpm)} clicks a minute on ${fullDay(points[0].day)}, ` +
      `${clicksWords(points.at(-1).click_bpm)} on ${fullDay(points.at(-1).day)}.`;
export const placementSentence = (points, on_beat_ms) =>
  points.length === 0
    ? "The beat was not heard yet."
    : `On ${fullDay(points[0].day)} ${placeWords(points[0].bias_ms, on_beat_ms)}, ${spreadWords(points[0].spread_ms)}; ` +
      `on ${fullDay(points.at(-1).day)} ${placeWords(points.at(-1).bias_ms, on_beat_ms)}, ${spreadWords(points.at(-1).spread_ms)}.`;
export const daysSentence = (progress) => `${count(progress.days, "day")} with practice, ${timeWords(progress.minutes)}.`;

export const NO_TEMPO = "You have not managed that many clean in a row at any tempo in these days.";
export const NO_PLACEMENT = "The step on the beat was not heard in these days.";

/** A level of the placement's picture: its side is always said. */
export const levelWords = (ms) => (ms === 0 ? "on the beat" : `${whole(ms)} ${ms < 0 ? "early" : "late"}`);
export const nowWords = (point, on_beat_ms) =>
  `now ${placeWords(point.bias_ms, on_beat_ms)}${point.spread_ms === null ? "" : `, ${spreadWords(point.spread_ms)}`}`;

export const ONLY_STAGES = "Only stages of a build-up, or tunes, were practised in these days; figures come with the full ornament as a drill.";
export const NO_WEAK = "No weak spot found: it was all clean, or there is too little to judge by.";

export const takeUp = (bpm) => (bpm === null ? "" : `Take it up at ${clicksWords(bpm)} clicks.`);

/** Captions of a tune's pictures. */
export const TUNES = {
  share: "How many of its ornaments were clean in each week, in hundredths of all that you played. Higher is cleaner.",
  tempo: "The fastest tempo at which you played it in each week, clean or not.",
};
export const FREE = {
  name: "Just played",
  said: "With nothing chosen and without a click: judged by shape only. What you played in your tunes is counted there.",
  caption: "What went worst last first",
  columns: ["Ornament and way in", "first week", "last week", "held notes then", "now"],
};
export const thenWords = (clean, played) => `${clean} of ${played} clean`;

/** The tempo of a week, or the slowest and the fastest. */
export function weekTempoWords({ slowest_bpm, fastest_bpm }) {
  const [slow, fast] = [Math.round(slowest_bpm), Math.round(fastest_bpm)];
  return slow === fast ? `${slow} clicks` : `${slow} to ${fast} clicks`;
}
export const shareSentence = ({ title, weeks }) =>
  `${title}: ${shareWords(weeks[0].clean, weeks[0].ornaments)} clean in the week of ${fullDay(weeks[0].day)}, ` +
  `${shareWords(weeks.at(-1).clean, weeks.at(-1).ornaments)} in the week of ${fullDay(weeks.at(-1).day)}.`;
export const tempoSentenceOf = ({ title, weeks }) =>
  `${title}: up to ${Math.round(weeks[0].fastest_bpm)} clicks a minute in the week of ${fullDay(weeks[0].day)}, ` +
  `${Math.round(weeks.at(-1).fastest_bpm)} in the week of ${fullDay(weeks.at(-1).day)}.`;

/** In place of the pictures: a headline and what to do. */
export const EMPTY_PROGRESS = {
  asking: ["Looking back", "This takes a moment."],
  "nothing yet": [
    "Your progress will appear here",
    "Play any drill: every run is kept. Then this page shows the days you practised, the fastest tempo you hold clean, " +
      "whether you are early or late, how even your hand is, and the five ornaments that need practice most.",
  ],
  "nothing then": ["Nothing was practised in these days", "Choose a longer time above, or practise something today."],
};
