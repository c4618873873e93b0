/** The view of what was practised: runs by day; one of them with its reps, to see and to hear again, to take away, to delete. */

import * as api from "../core/api.js";
import { habit } from "../practise/habit.js";
import {
  byDay, closedHistory, filtered, gathered, listed, opened, ornamentsOf, picked, reaching, repOf, runsListed,
} from "./state.js";
import {
  ALL_ORNAMENTS, CHOOSE, DELETE, NONE_SUCH, NONE_YET, OLDER, SURE, cleanWords, dayWords, drillOf, figureRows, runWords,
  timeWords,
} from "./words.js";
import { fill, html, say, show } from "../ui/html.js";
import { optionList } from "../ui/options.js";
import { moreWords } from "../practise/view.js";
import { replayView } from "../practise/replay_view.js";
import { repName } from "../practise/replay_words.js";
import { tempoWords } from "../ladder/words.js";
import { capital } from "../ui/words.js";

const FRAME = html`
  <section class="runs" aria-labelledby="history-name">
    <h1 id="history-name">History</h1>
    <label class="row">Show <select id="history-ornament"></select></label>
    <p id="history-none" class="muted" hidden></p>
    <div id="history-days"></div>
    <button type="button" id="history-older" hidden>${OLDER}</button>
  </section>
  <section class="run" aria-labelledby="run-name">
    <h2 id="run-name"></h2>
    <p id="run-choose" class="muted">${CHOOSE}</p>
    <div id="run-whole" hidden>
      <dl id="run-figures"></dl>
      <div class="row acts">
        <button type="button" class="go" id="run-practise">Practise this</button>
        <a id="run-take" class="button" download>Take as MIDI</a>
        <button type="button" id="run-delete">${DELETE}</button>
      </div>
      <p id="run-sure" class="notice" role="alert" hidden><span>${SURE}</span><button type="button" id="run-yes">Delete</button><button type="button" id="run-no">Keep</button></p>
      <p id="run-damaged" class="notice" hidden></p>
      <div class="again">
        <div><h3 id="run-reps-name">Reps, the last first</h3><ol id="run-reps" aria-labelledby="run-reps-name" reversed></ol></div>
        <div class="beside"><p id="run-said" class="said"></p><p id="run-more" class="muted"></p><section id="run-replay" class="replay" aria-label="Hear yourself" hidden></section></div>
      </div>
    </div>
  </section>`;

const line = (run, open) => html`<li>
  <a href="#history/${run.run}" ${run.run === open ? html`aria-current="true"` : ""}>
    <span class="muted">${timeWords(run)}</span> <b>${runWords(run)}</b>
    <span>${tempoWords(run.click_bpm)}</span> <span class="muted">${cleanWords(run)}</span>
  </a>
</li>`;

const daysOf = (history) =>
  byDay(runsListed(history)).map(
    ({ day, runs }) => html`<h3>${dayWords(day)}</h3>
      <ol>${runs.map((run) => line(run, history.open?.run.run ?? null))}</ol>`,
  );

/** A run in the shape that the list of reps is drawn from. */
const asRun = ({ reps, timetable }) => ({ reps, sequence: timetable.sequence, grid: timetable });

/** open(name), draw() and play(kind); `player()` is whose runs they are, or null; `practise(drill, tempo)` leads away. */
export function historyView(find, { attempt, player, practise, redraw, ...voice }) {
  const root = find("#history");
  fill(root, FRAME);
  let history = closedHistory();
  let wanted = null; // the run of the address
  const turn = (next) => {
    history = next;
    redraw();
  };
  const card = replayView(find("#run-replay"), { attempt, ...voice });
  const options = optionList(find("#run-reps"), ({ rep }) => turn(picked(history, Number(rep))));

  const list = async () =>
    turn(listed(history, await gathered((before) => api.runs(player(), before), history.pages, api.RUNS)));

  async function look() {
    if (player() === null) return;
    await list();
    if (wanted === null) return turn(opened(history, null));
    const { run, on_beat_ms, reps, said } = await api.run(wanted);
    const { click_bpm, spread, layout } = run;
    const timetable = await api.timetable({ drill: drillOf(run), click_bpm, spread, layout });
    if (run.run === wanted) turn(opened(history, { run, on_beat_ms, reps, timetable, damaged: said ?? null }));
  }

  find("#history-ornament").addEventListener("change", ({ target }) => turn(filtered(history, target.value || null)));
  find("#history-older").addEventListener("click", () => {
    turn(reaching(history));
    attempt(list);
  });
  find("#run-practise").addEventListener("click", () => 
    practise(drillOf(history.open.run), history.open.run.click_bpm),
  );
  const ask = (sure) => turn({ ...history, sure });
  find("#run-delete").addEventListener("click", () => {
    ask(true);
    requestAnimationFrame(() => find("#run-no").focus());
  });
  find("#run-no").addEventListener("click", () => {
    ask(false);
    find("#run-delete").focus();
  });
  find("#run-yes").addEventListener("click", () =>
    attempt(async () => {
      await api.deleteRun(history.open.run.run);
      location.hash = "#history";
    }),
  );

  function drawRun(playback) {
    const { open, sure } = history;
    say(find("#run-name"), open ? `${capital(runWords(open.run))}, ${dayWords(open.run.day)}` : "");
    show(find("#run-choose"), open === null && runsListed(history).length > 0);
    show(find("#run-whole"), open !== null);
    if (!open) return card.draw(null, playback);
    const rep = repOf(history);
    const rows = figureRows(open.run, open.on_beat_ms).map(([name, what]) => html`<div><dt>${name}</dt><dd>${what}</dd></div>`);
    fill(find("#run-figures"), html`${rows}`);
    find("#run-take").href = api.takeOf(open.run.run);
    show(find("#run-sure"), sure);
    show(find("#run-damaged"), open.damaged !== null);
    say(find("#run-damaged"), open.damaged ?? "");
    options.draw(() => fill(find("#run-reps"), habit(asRun(open), rep)), rep !== null);
    say(find("#run-said"), rep?.said ?? "");
    say(find("#run-more"), rep ? moreWords(rep) : "");
    card.draw(rep && { rep, timetable: open.timetable, words: repName(rep) }, playback);
  }

  return {
    play: card.play,
    open(name) {
      wanted = /^\d+$/.test(name ?? "") ? Number(name) : null;
      attempt(look);
    },
    draw(playback) {
      const chosen = html`<option value="">${ALL_ORNAMENTS}</option>${ornamentsOf(history).map((one) => html`<option>${one}</option>`)}`;
      fill(find("#history-ornament"), chosen);
      find("#history-ornament").value = history.ornament ?? "";
      const runs = runsListed(history);
      show(find("#history-none"), history.runs !== null && runs.length === 0);
      say(find("#history-none"), history.ornament === null ? NONE_YET : NONE_SUCH);
      fill(find("#history-days"), html`${daysOf(history)}`);
      show(find("#history-older"), history.older);
      drawRun(playback);
    },
  };
}
