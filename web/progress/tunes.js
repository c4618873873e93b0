/** Tunes over weeks in the progress view: one of them, as two pictures and a table, and its ornaments then and now. */

import { fill, html, say, show } from "../ui/html.js";
import { patch } from "../ui/svg.js";
import { shareMarks, tempoMarks } from "./pictures.js";
import { table } from "./tables.js";
import { TUNES, fullDay, shareWords, shareSentence, tempoSentenceOf, thenWords, weekTempoWords } from "./words.js";
import { DASH } from "../ui/words.js";

const weeksTable = ({ title, weeks }) =>
  table(`${title} by week`, ["Week of", "runs", "clean", "tempo"],
    weeks.map((one) => [fullDay(one.day), one.runs, `${one.clean} of ${one.ornaments}`, weekTempoWords(one)]));

const ornamentsTable = ({ title, ornaments }) =>
  table(`Ornaments of ${title}, what went worst last first`, ["Ornament", "first week", "last week"],
    ornaments.map((one) => [one.drill, one.weeks > 1 ? thenWords(one.first_clean, one.first_played) : DASH, thenWords(one.last_clean, one.last_played)]));

/** draw(answer, days, rem): what was played of tunes in these days; nothing if no tune was. */
export function tunesOverTime(find, redraw) {
  let chosen = null;
  const sizes = new Map();
  for (const svg of [find("#tune-share-picture"), find("#tune-tempo-picture")]) {
    new ResizeObserver(([{ contentRect }]) => {
      sizes.set(svg, { width: contentRect.width, height: contentRect.height });
      svg.setAttribute("viewBox", `0 0 ${contentRect.width} ${contentRect.height}`);
      redraw();
    }).observe(svg);
  }
  find("#progress-tune").addEventListener("change", ({ target }) => {
    chosen = target.value;
    redraw();
  });

  return ({ tunes }, days, rem) => {
    show(find("#progress-tunes"), tunes.length > 0);
    if (tunes.length === 0) return;
    const tune = tunes.find((one) => one.tune === chosen) ?? tunes[0];
    fill(find("#progress-tune"), html`${tunes.map((one) => html`<option value="${one.tune}">${one.title}</option>`)}`);
    find("#progress-tune").value = tune.tune;
    find("#progress-tune-open").href = `#tunes/${encodeURIComponent(tune.tune)}`;
    say(find("#tune-share-said"), TUNES.share);
    say(find("#tune-tempo-said"), TUNES.tempo);
    const shares = tune.weeks.map((week) => ({ day: week.day, share: (100 * week.clean) / week.ornaments, text: shareWords(week.clean, week.ornaments) }));
    const tempi = tune.weeks.map((week) => ({ day: week.day, click_bpm: Math.round(week.fastest_bpm) }));
    find("#tune-share-picture").setAttribute("aria-label", shareSentence(tune));
    find("#tune-tempo-picture").setAttribute("aria-label", tempoSentenceOf(tune));
    const begins = tune.weeks[0].day < days.first ? { ...days, first: tune.weeks[0].day } : days;
    for (const [svg, marks] of [
      [find("#tune-share-picture"), (size) => shareMarks(shares, begins, size)],
      [find("#tune-tempo-picture"), (size) => tempoMarks(tempi, begins, size)],
    ]) {
      const size = sizes.get(svg);
      if (size?.width > 0) patch(svg, marks({ ...size, rem }));
    }
    fill(find("#tune-weeks"), weeksTable(tune));
    fill(find("#tune-ways"), ornamentsTable(tune));
  };
}
