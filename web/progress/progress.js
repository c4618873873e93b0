/** The progress view: fetched when it is opened or something else is chosen; pictures, and the same figures as tables. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { handMarks, handRems, placementMarks, practiceMarks, tempoMarks } from "./pictures.js";
import { PROGRESS_PAGE } from "./page.js";
import { IN_A_ROW, SPANS, dayOf, progressEmptiness, spanDays, spanShown } from "./state.js";
import { handTable, placementTable, practiceTable, tempoTable, waysTable } from "./tables.js";
import {
  CAPTIONS, EMPTY_PROGRESS, NO_PLACEMENT, NO_TEMPO, NO_WEAK, ONLY_STAGES, SIMULATED,
  daysSentence, headline, placementSentence, takeUp, tempoSentence,
} from "./words.js";
import { freeOverTime } from "./free.js";
import { tunesOverTime } from "./tunes.js";
import { patch } from "../ui/svg.js";

const weakItem = (weak) => html`<li>
  <div><b>${weak.drill}</b> <span class="muted">${weak.said} ${takeUp(weak.click_bpm)}</span></div>
  <button type="button" data-practise="${weak.drill}" data-bpm="${weak.click_bpm ?? ""}" aria-label="Practise ${weak.drill}">Practise</button>
</li>`;

const option = (chosen) => (name) => html`<option ${name === chosen ? html`selected` : ""}>${name}</option>`;

/** The pictures: which element, its marks, its sentence, what takes its place if there is nothing to draw. */
const PICTURES = {
  days: {
    marks: ({ answer }, days, size) => practiceMarks(answer.practice, answer.grain, days, size),
    caption: (answer) => CAPTIONS.days[answer.grain],
    sentence: daysSentence,
    table: practiceTable,
    lacking: () => "",
  },
  tempo: {
    ofOne: true,
    marks: ({ answer }, days, size) => tempoMarks(answer.shown.tempo, days, size),
    caption: (answer) => CAPTIONS.tempo(answer.grain, answer.in_a_row),
    sentence: (answer) => tempoSentence(answer.shown.tempo),
    table: tempoTable,
    lacking: (answer) => (answer.shown.tempo.length === 0 ? NO_TEMPO : ""),
  },
  placement: {
    ofOne: true,
    marks: ({ answer }, days, size) => placementMarks(answer.shown.placement, answer.on_beat_ms, days, size),
    caption: (answer) => CAPTIONS.placement(answer.grain),
    sentence: (answer) => placementSentence(answer.shown.placement, answer.on_beat_ms),
    table: placementTable,
    lacking: (answer) => (answer.shown.placement.length === 0 ? NO_PLACEMENT : ""),
  },
  hand: {
    marks: ({ answer }, _, size) => handMarks(answer.hand, size),
    caption: (answer) => CAPTIONS.hand(answer),
    sentence: (answer) => answer.hand.said,
    table: handTable,
    lacking: (answer) => (answer.hand.families.length === 0 ? answer.hand.said : ""),
  },
};

/** draw(progress, days, rem): whether it is drawn; it is not before its place has been measured. */
function pictureView(find, name) {
  const { marks, caption, sentence, table, lacking, ofOne } = PICTURES[name];
  const svg = find(`#${name}-picture`);
  let size = { width: 0, height: 0 };
  new ResizeObserver(([entry]) => {
    size = { width: entry.contentRect.width, height: entry.contentRect.height };
    svg.setAttribute("viewBox", `0 0 ${size.width} ${size.height}`);
    svg.dispatchEvent(new Event("resized", { bubbles: true }));
  }).observe(svg);
  return (progress, days, rem) => {
    const { answer } = progress;
    if (ofOne && answer.shown === null) return true;
    const lack = lacking(answer);
    say(find(`#${name}-said`), lack || caption(answer));
    // A picture with nothing in it is left out; what it would need is said once, in words.
    show(svg, !lack);
    show(find(`#${name}-figures`), !lack);
    if (lack) return true;
    svg.setAttribute("aria-label", sentence(answer));
    fill(find(`#${name}-figures table`), table(answer));
    if (size.width > 0) patch(svg, marks(progress, days, { ...size, rem }));
    return size.width > 0;
  };
}

/**
 * `now()` -> the progress in the page's state; `turn(act)` changes it; `practise(drill, bpm)` goes there;
 * `settings()` and `set({...})` are what the browser keeps; `attempt(action)` shows a refusal of the daemon.
 */
export function progressView(find, { now, turn, attempt, practise, settings, set }) {
  fill(find("#progress"), PROGRESS_PAGE);
  const pictures = Object.keys(PICTURES).map((name) => pictureView(find, name));
  let asked = 0;
  const tunes = tunesOverTime(find, () => find("#progress-tunes").dispatchEvent(new Event("resized", { bubbles: true })));

  const ask = () =>
    attempt(async () => {
      const progress = now();
      const { player } = progress;
      if (player === null) return;
      const mine = (asked += 1);
      const { from, to } = spanDays(progress.span, dayOf(new Date()));
      const answer = await api.progress({ player, from, in_a_row: progress.in_a_row, drill: progress.drill });
      if (mine === asked) turn((before) => ({ ...before, answer, from, to: to < answer.last_day ? answer.last_day : to }));
    });
  const choose = (what) => {
    turn((before) => ({ ...before, ...what }));
    ask();
  };

  find("#span").addEventListener("click", ({ target }) => {
    const name = target.closest("button")?.dataset.span;
    if (!name) return;
    set({ span: name });
    choose({ span: name, drill: null });
  });
  find("#in-row").addEventListener("change", ({ target }) => choose({ in_a_row: Number(target.value) }));
  find("#progress-drill").addEventListener("change", ({ target }) => choose({ drill: target.value }));
  find("#progress").addEventListener("click", ({ target }) => {
    const { practise: drill, bpm, show: shown } = target.dataset;
    if (drill) practise(drill, bpm ? Number(bpm) : null);
    if (shown) {
      choose({ drill: shown });
      find("#one").scrollIntoView({ block: "start" });
      find("#progress-drill").focus({ preventScroll: true });
    }
  });
  find("#progress-practise").addEventListener("click", () => practise(now().answer.shown.drill, null));

  const draw = (progress, player) => {
    if (player !== progress.player) choose({ player, drill: null, answer: null });
    fill(find("#span"), html`${SPANS.map(({ name }) => html`<button type="button" data-span="${name}" aria-pressed="${name === progress.span}">${name}</button>`)}`);
    fill(find("#in-row"), html`${IN_A_ROW.map(String).map(option(String(progress.in_a_row)))}`);
    const empty = progressEmptiness(progress);
    show(find("#progress-empty"), empty !== null);
    show(find("#progress-shown"), empty === null);
    show(find("#progress-choices"), empty !== "nothing yet");
    if (empty !== null) {
      const [title, how] = EMPTY_PROGRESS[empty];
      say(find("#progress-empty h2"), title);
      say(find("#progress-empty p"), how);
      show(find("#progress-empty a"), empty !== "asking");
      say(find("#progress-headline"), "");
      return;
    }
    const { answer } = progress;
    const days = spanShown(progress);
    say(find("#progress-headline"), headline(answer, days));
    say(find("#progress-simulated"), answer.simulated ? SIMULATED : "");
    fill(find("#weakest"), html`${answer.weakest.map(weakItem)}`);
    say(find("#weakest-said"), answer.weakest.length === 0 ? NO_WEAK : "");
    show(find("#one"), answer.shown !== null);
    fill(find("#progress-drill"), html`${answer.ways.map((way) => way.drill).map(option(answer.shown?.drill))}`);
    say(find("#hand-verdict"), answer.hand.families.length > 0 ? answer.hand.said : "");
    find("#hand-picture").setAttribute("height", `${handRems(answer.hand)}em`);
    fill(find("#all-ways"), answer.shown === null ? html`<caption>${ONLY_STAGES}</caption>` : waysTable(answer));
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    tunes(answer, days, rem);
    freeOverTime(find, answer);
    const drawn = pictures.map((picture) => picture(progress, days, rem));
    if (drawn.every(Boolean)) Object.assign(find("#progress").dataset, { drawn: answer.shown?.drill ?? "", from: progress.from ?? "" });
  };
  return { open: () => choose({ span: settings().span, drill: null }), draw };
}
