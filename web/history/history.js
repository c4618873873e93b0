/** The view of what was practised: runs by day; one of them with its reps, to see and to hear again, to take away, to delete. */

import * as api from "../core/api.js";
import { habit } from "../practise/habit.js";
import {
  addressOf, byDay, closedHistory, filtered, gathered, kindOf, ladderOf, listed, mixed, namesOf, opened, picked, reaching, repOf, runsListed,
} from "./state.js";
import { sureButtons, sureMarkup } from "./sure.js";
import { FREE_RUN, fetchFreeRun, freeRunView } from "./free_run.js";
import { FREE, freeCleanWords, lastedWords } from "./free_words.js";
import { TUNE_RUN, fetchTuneRun, tuneRunView } from "./tune_run.js";
import { tuneCleanWords, tuneRunWords } from "./tune_words.js";
import {
  ALL_ORNAMENTS, CHOOSE, CLICK_OFF, DELETE, LADDER, NONE_SUCH, NONE_YET, OLDER, ORNAMENTS, SURE, TUNES, cleanWords, dayWords, drillOf, figureRows, runWords,
  tempiWords, timeWords,
} from "./words.js";
import { fill, html, say, show } from "../ui/html.js";
import { optionList } from "../ui/options.js";
import { NO_CLOCK, runThatIsOver, stripView } from "../practise/strip_view.js";
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
      <p id="run-tempi" class="row" hidden></p>
      <figure class="card"><svg id="run-strip" class="strip" role="img"><g id="run-marks"></g></svg></figure>
      <p id="run-said" class="said"></p><p id="run-more" class="muted"></p>
      <dl id="run-figures"></dl>
      <div class="row acts">
        <button type="button" class="go" id="run-practise">Practise this</button>
        <a id="run-take" class="button" download>Take as MIDI</a>
        <button type="button" id="run-delete">${DELETE}</button>
      </div>
      ${sureMarkup("run", SURE)}
      <p id="run-damaged" class="notice" hidden></p>
      <div class="again">
        <div><h3 id="run-reps-name">Reps, the last first</h3><ol id="run-reps" aria-labelledby="run-reps-name" reversed></ol></div>
        <div class="beside"><section id="run-replay" class="replay" aria-label="Hear yourself" hidden></section></div>
      </div>
    </div>
    <div id="past-tune" hidden>${TUNE_RUN}</div>
    <div id="past-free" hidden>${FREE_RUN}</div>
  </section>`;

/** What a row of the list says: one run, or those of a ladder. */
const rowWords = (row) =>
  kindOf(row[0]) === "free" ? [capital(FREE), freeCleanWords(row[0])] : kindOf(row[0]) === "tune" ? [tuneRunWords(row[0]), tuneCleanWords(row[0])] : [`${runWords(row[0])}${row.length > 1 ? `, ${LADDER}` : ""}`, cleanWords(row)];

const line = (row, open) => html`<li>
  <a href="#history/${addressOf(row[0])}" ${row.some((run) => addressOf(run) === open) ? html`aria-current="true"` : ""}>
    <span class="muted">${timeWords(row.at(-1))}</span> <b>${rowWords(row)[0]}</b>
    <span>${kindOf(row[0]) === "free" ? lastedWords(row[0]) : tempiWords(row)}</span> <span class="muted">${rowWords(row)[1]}</span>
  </a>
</li>`;

/** The tempi of a ladder, each a link to its reps. */
const tempi = (runs, open) =>
  html`${runs.map((run) => html`<a class="button" href="#history/${run.run}" ${run === open ? html`aria-current="true"` : ""}>${tempoWords(run.click_bpm)}</a>`)}`;

const daysOf = (history) =>
  byDay(runsListed(history)).map(
    ({ day, rows }) => html`<h2>${dayWords(day)}</h2>
      <ol>${rows.map((row) => line(row, history.open ? addressOf(history.open.run) : null))}</ol>`,
  );

/** A past run in the shape that list and strip are drawn from. */
const asRun = ({ on_beat_ms, reps, timetable }) =>
  runThatIsOver({
    on_beat_ms,
    reps,
    sequence: timetable.sequence,
    segments: timetable.segments,
    grid: { beat0_ns: 0, count_in: 0, ...timetable },
  });

/** open(name), draw() and play(kind); `player()` is whose runs they are, or null; `practise(drill, tempo)` leads away. */
export function historyView(find, { attempt, player, practise, redraw, ...voice }) {
  const root = find("#history");
  fill(root, FRAME);
  let history = closedHistory();
  let wanted = null; // the run of the address
  let latest = null; // what was last asked to be looked at: an answer to anything earlier comes too late
  const turn = (next) => {
    history = next;
    redraw();
  };
  const card = replayView(find("#run-replay"), { attempt, ...voice });
  const tuneRun = tuneRunView(find, {
    ...voice, attempt, practise, redraw,
    ask: (sure) => ask(sure),
    deleted: () => away(),
  });
  const freeRun = freeRunView(find, { attempt, ask: (sure) => ask(sure), deleted: () => away() });
  const strip = stripView(find("#run-strip"), find("#run-marks"));
  let shape = { open: null, run: null };
  const options = optionList(find("#run-reps"), ({ rep }) => turn(picked(history, Number(rep))));

  async function list() {
    const pages = (ask) => gathered((before) => ask(player(), before), history.pages, api.RUNS);
    const runs = mixed(await Promise.all([pages(api.runs), pages(api.tuneRuns), pages(api.freeRuns)]));
    turn(listed(history, runs)); // of what the page knows by now: meanwhile a run may have been chosen
  }

  async function look() {
    const mine = (latest = Symbol("look"));
    if (player() === null) return;
    await list();
    if (mine !== latest) return;
    const newest = runsListed(history)[0] ?? null;
    const address = wanted ?? (newest && addressOf(newest));
    if (address === null) return turn(opened(history, null));
    if (address.startsWith("tune-")) {
      const open = await fetchTuneRun(Number(address.slice("tune-".length)));
      if (mine === latest) turn(opened(history, open));
      return;
    }
    if (address.startsWith("free-")) {
      const open = await fetchFreeRun(Number(address.slice("free-".length)));
      if (mine === latest) turn(opened(history, open));
      return;
    }
    const { run, on_beat_ms, reps, said } = await api.run(Number(address));
    const { click_bpm, spread, layout } = run;
    const timetable = await api.timetable({ drill: drillOf(run), click_bpm, spread, layout });
    timetable.click_off = run.mode === CLICK_OFF;
    if (mine === latest) turn(opened(history, { run, on_beat_ms, reps, timetable, damaged: said ?? null }));
  }

  /** After a run is deleted; the newest one was opened without an address of its own, so that this one may not change. */
  function away() {
    wanted = null;
    location.hash = "#history";
    return look();
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
  sureButtons(find, "run", {
    ask,
    gone: () =>
      attempt(async () => {
        await api.deleteRun(history.open.run.run);
        await away();
      }),
  });

  function drawRun(playback) {
    const { sure } = history;
    const tune = history.open?.kind === "tune" ? history.open : null;
    const free = history.open?.kind === "free" ? history.open : null;
    const open = tune || free ? null : history.open;
    const words = free ? capital(FREE) : tune ? tuneRun.words(tune) : open ? capital(runWords(open.run)) : null;
    say(find("#run-name"), words ? `${words}, ${dayWords(history.open.run.day)}` : "");
    show(find("#run-choose"), history.open === null && runsListed(history).length > 0);
    show(find("#run-whole"), open !== null);
    freeRun.draw(free, sure);
    tuneRun.draw(tune, history.runs, sure, playback);
    if (!open) return card.draw(null, playback);
    const rep = repOf(history);
    const rows = figureRows(open.run, open.on_beat_ms).map(([name, what]) => html`<div><dt>${name}</dt><dd>${what}</dd></div>`);
    fill(find("#run-figures"), html`${rows}`);
    find("#run-take").href = api.takeOf(open.run.run);
    show(find("#run-sure"), sure);
    show(find("#run-damaged"), open.damaged !== null);
    say(find("#run-damaged"), open.damaged ?? "");
    if (shape.open !== open) shape = { open, run: asRun(open) };
    if (rep) strip({ run: shape.run, calibration_ms: 0 }, NO_CLOCK, 0, rep);
    const ladder = ladderOf(history, open.run);
    show(find("#run-tempi"), ladder.length > 1);
    fill(find("#run-tempi"), html`<span class="muted">${LADDER}</span> ${tempi(ladder, ladder.find((run) => run.run === open.run.run))}`);
    options.draw(() => fill(find("#run-reps"), habit(shape.run, rep)), rep !== null);
    say(find("#run-said"), rep?.said ?? "");
    say(find("#run-more"), rep ? moreWords(rep) : "");
    card.draw(rep && { rep, timetable: open.timetable, words: repName(rep) }, playback);
  }

  return {
    play: (kind) => history.open?.kind !== "free" && (history.open?.kind === "tune" ? tuneRun : card).play(kind),
    open(name) {
      wanted = /^(tune-|free-)?\d+$/.test(name ?? "") ? name : null;
      attempt(look);
    },
    draw(playback) {
      const { ornaments, tunes, free } = namesOf(history);
      const options = (names) => names.map((one) => html`<option>${one}</option>`);
      const chosen = html`<option value="">${ALL_ORNAMENTS}</option>${options(free)}${
        tunes.length > 0 ? html`<optgroup label="${TUNES}">${options(tunes)}</optgroup><optgroup label="${ORNAMENTS}">${options(ornaments)}</optgroup>` : options(ornaments)
      }`;
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
