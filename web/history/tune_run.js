/** A past run through a tune: its music with how each ornament went, what came of it, to hear again and to compare. */

import * as api from "../core/api.js";
import { slowed } from "../audio/tone.js";
import { SPEEDS } from "../practise/replay.js";
import { LOUD } from "../practise/replay_words.js";
import { cursorIn, drawMarks } from "../tunes/music.js";
import { placeBars, resultMarkup } from "../tunes/result.js";
import { rowWidth, soundingAt } from "../tunes/state.js";
import { MASTERY, partWords } from "../tunes/words.js";
import { fill, html, say, show } from "../ui/html.js";
import { drawing } from "../ui/staff.js";
import { sureButtons, sureMarkup } from "./sure.js";
import { besideFirst, clipped, comparable, compared, marksOf, ornamentsPlayed, partsPlayed } from "./tune_state.js";
import {
  BESIDE, COLUMNS, COMPARE_WITH, DELETE, EACH, HEAR_ONE, MARKS, MODEL, NO_OTHER, NO_TAKE, PRACTISE_AGAIN, SPEED, STOP, SURE, TAKE, YOURS,
  changeWords, heardModelWords, heardOneWords, heardRunWords, otherWords, tallyWords, tuneFigureRows, tuneRunWords, whereWords,
} from "./tune_words.js";

export const TUNE_RUN = html`
  <dl id="past-figures" class="figures"></dl>
  <p id="past-missing" class="notice" hidden></p>
  <div id="past-hear" class="card replay">
    <div class="row">
      <button type="button" data-past="yours">${YOURS}</button>
      <button type="button" data-past="model">${MODEL}</button>
      <span class="row speeds" role="group" aria-label="Speed">${SPEEDS.map(({ factor, said }) => html`<button type="button" data-factor="${factor}">${said}</button>`)}</span>
      <label class="check"><input id="past-click" type="checkbox"> click</label>
    </div>
    <small class="muted">${LOUD}</small>
    <p id="past-heard" class="hint" role="status"></p>
  </div>
  <div class="row acts">
    <a id="past-practise" class="button">${PRACTISE_AGAIN}</a>
    <a id="past-take" class="button" download>${TAKE}</a>
    <button type="button" id="past-delete">${DELETE}</button>
  </div>
  ${sureMarkup("past", SURE)}
  <p id="past-legend" class="muted" aria-hidden="true">${Object.entries(MARKS).map(
    ([mastery, said]) => html`<span><svg class="sign" viewBox="-1.2 -1.2 2.4 2.4"><path class="mark ${mastery.replace(" ", "-")}" d="${MASTERY[mastery]}"></path></svg> ${said}</span> `,
  )}</p>
  <div id="past-music"></div>
  <div id="past-result"></div>
  <section aria-labelledby="past-each-name"><h3 id="past-each-name">${EACH}</h3><ol id="past-each"></ol></section>
  <section aria-labelledby="past-beside-name">
    <h3 id="past-beside-name">${BESIDE}</h3>
    <p id="past-no-other" class="muted">${NO_OTHER}</p>
    <label id="past-other-label" class="row">${COMPARE_WITH} <select id="past-other"></select></label>
    <div class="wide" tabindex="0" role="group" aria-label="${BESIDE}"><table id="past-compared"></table></div>
  </section>`;

const eachRow = (one, heard, playing) => html`<li>
  <span class="muted">${whereWords(one)}</span> <b>${one.words}</b> <span>${one.said}</span>
  ${heard ? html`<button type="button" data-one="${one.index}" aria-label="${HEAR_ONE}: ${one.words}, ${whereWords(one)}">${playing ? STOP : HEAR_ONE}</button>` : ""}
</li>`;

const comparedTable = (rows) => html`<thead><tr>${COLUMNS.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
  <tbody>${rows.map((row) => html`<tr><th scope="row">${row.words}</th><td>${tallyWords(row.mine)}</td><td>${tallyWords(row.other)}</td><td>${changeWords(row)}</td></tr>`)}</tbody>`;

/** Fetch all that is shown of a run, {kind, run, result, notes, same, said, tune}; the tune is null if it is not at hand as it was. */
export async function fetchTuneRun(number) {
  const whole = await api.tuneRun(number);
  const tune = whole.same ? await api.tune(whole.run.tune).catch(() => null) : null;
  return { kind: "tune", ...whole, tune };
}

/**
 * draw(open, runs, sure, playback) and play(kind): `open` as fetched, or null; `runs` are all that are listed.
 *
 * `ask(sure)` asks before deleting, `deleted()` leads away after it.
 */
export function tuneRunView(find, { hear, tuning, attempt, settings, set, practise, ask, deleted, redraw }) {
  let open = null;
  let shown = null; // what is drawn of it: {open, width, other}
  let other = null; // the run beside it: {run, notes}
  let heard = null; // what sounds or sounded last, in the run's own seconds: {notes, from_s}
  let one = null; // the index of the ornament that is heard
  const light = cursorIn(find("#past-music"), (row) => row.scrollIntoView({ block: "nearest" }));
  const factor = () => settings().speed;

  const sound = (kind, words, made) =>
    attempt(() =>
      hear.sound({ kind, words, factor: factor(), beat_s: 0 }, async () => {
        const score = await made();
        heard = score;
        return { score: slowed({ beat_s: 0, ...score }, factor()), tuning: await tuning(), click: settings().replay_click };
      }),
    );

  const takes = {
    yours: () => sound("yours", heardRunWords(open.run.title, SPEED[factor()]), () => api.tuneRunHeard(open.run.run)),
    model: () =>
      sound("past model", heardModelWords(open.run.title, SPEED[factor()]), () =>
        api.heardTune(open.run.tune, open.run.first, open.run.last, Math.round(open.run.click_bpm)),
      ),
  };

  function hearOne(index) {
    const ornament = ornamentsPlayed(open.notes).find((played) => played.index === index);
    const run = open.run.run;
    one = index;
    sound("one", heardOneWords(ornament, SPEED[factor()]), async () => {
      const take = await api.tuneRunHeard(run);
      return clipped(take, take.begins_s + ornament.from_s, take.begins_s + ornament.to_s);
    });
  }

  find("#past-tune").addEventListener("click", ({ target }) => {
    const { past, factor: chosen, one: index, practise: drill } = target.closest("button")?.dataset ?? {};
    const kinds = { yours: "yours", model: "past model" };
    if (past && hear.playing === kinds[past]) hear.stop();
    else if (past) takes[past]();
    if (index && hear.playing === "one" && one === Number(index)) hear.stop();
    else if (index) hearOne(Number(index));
    if (drill) practise(drill);
    if (!chosen) return;
    set({ speed: Number(chosen) });
    if (hear.playing === "yours") takes.yours();
    else if (hear.playing === "past model") takes.model();
    else if (hear.playing === "one") hearOne(one);
  });
  find("#past-click").addEventListener("change", ({ target }) => set({ replay_click: target.checked }));
  sureButtons(find, "past", { ask, gone: () => attempt(async () => deleted(await api.deleteTuneRun(open.run.run))) });
  const beside = (number) =>
    attempt(async () => {
      const mine = open;
      const { run, notes } = await api.tuneRun(number);
      if (open !== mine) return;
      other = { run, notes };
      redraw();
    });
  find("#past-other").addEventListener("change", ({ target }) => beside(Number(target.value)));
  new ResizeObserver(() => redraw()).observe(find("#past-music"));

  /** The parts that it was in, with a mark under each ornament. */
  async function engrave(width) {
    const { tune, run, result } = open;
    const mine = shown;
    const parts = partsPlayed(tune.parts, run);
    const svgs = await Promise.all(parts.map(({ number }) => api.tuneStaff(run.tune, number, width)));
    if (shown !== mine) return;
    find("#past-music").replaceChildren(
      ...svgs.flatMap((svg, index) => {
        const title = Object.assign(document.createElement("h3"), { textContent: partWords(parts[index].number, tune.parts.length) });
        return [title, drawing(svg, 0)];
      }),
    );
    for (const svg of find("#past-music").querySelectorAll(":scope > svg")) drawMarks(svg, marksOf(result.places));
  }

  function drawMusic() {
    const place = find("#past-music");
    const there = open.tune !== null && open.result !== null;
    show(place, there);
    show(find("#past-legend"), there);
    const width = rowWidth(place.clientWidth, parseFloat(getComputedStyle(place).fontSize));
    if (!there || place.clientWidth === 0 || (shown?.open === open && shown.width === width)) return;
    shown = { open, width };
    attempt(() => engrave(width));
  }

  function drawBeside(runs) {
    const others = comparable(runs, open.run);
    show(find("#past-no-other"), others.length === 0);
    show(find("#past-other-label"), others.length > 0);
    show(find("#past-compared"), other !== null && open.result !== null);
    fill(find("#past-other"), html`${others.map((run) => html`<option value="${run.run}">${otherWords(run)}</option>`)}`);
    if (other) find("#past-other").value = String(other.run.run);
    if (other && open.result) fill(find("#past-compared"), comparedTable(compared(open.notes, other.notes)));
  }

  function begin(next, runs) {
    open = next;
    other = heard = one = null;
    find("#past-music").replaceChildren();
    shown = null;
    fill(find("#past-result"), open.result ? resultMarkup(open.result.summary, open.run.title) : html``);
    placeBars(find("#past-result"));
    const first = besideFirst(comparable(runs, open.run), open.run);
    if (first) beside(first.run);
  }

  return {
    words: (next) => tuneRunWords(next.run, next.tune?.notes ?? null),
    play: (kind) => open && takes[kind === "rep" ? "yours" : "model"]?.(),
    draw(next, runs, sure, playback) {
      show(find("#past-tune"), next !== null);
      if (next === null) return void (open = null);
      if (next !== open) begin(next, runs);
      const { run, result, said } = open;
      fill(find("#past-figures"), html`${tuneFigureRows(run, result?.summary).map(([name, what]) => html`<div><dt>${name}</dt><dd>${what}</dd></div>`)}`);
      show(find("#past-missing"), said !== null);
      say(find("#past-missing"), said ?? "");
      const kind = playback?.kind;
      find("[data-past=yours]").disabled = !run.heard;
      find("[data-past=model]").disabled = open.tune === null;
      find("[data-past=yours]").setAttribute("aria-pressed", String(kind === "yours"));
      find("[data-past=model]").setAttribute("aria-pressed", String(kind === "past model"));
      for (const button of find("#past-hear").querySelectorAll("[data-factor]"))
        button.setAttribute("aria-pressed", String(Number(button.dataset.factor) === factor()));
      find("#past-click").checked = settings().replay_click;
      const ours = ["yours", "past model", "one"].includes(kind);
      say(find("#past-heard"), ours ? playback.words : run.heard ? "" : NO_TAKE);
      light(ours && heard && hear.head_ms !== null ? soundingAt(heard.notes, hear.head_ms / 1000) : null);
      drawMusic();
      const played = ornamentsPlayed(open.notes);
      fill(find("#past-each"), html`${played.map((each) => eachRow(each, run.heard, kind === "one" && one === each.index))}`);
      show(find("#past-each").closest("section"), played.length > 0);
      drawBeside(runs);
      find("#past-practise").href = `#tunes/${encodeURIComponent(run.tune)}`;
      show(find("#past-practise"), open.tune !== null);
      find("#past-take").href = api.takeOfTune(run.run);
      show(find("#past-take"), run.heard);
      show(find("#past-sure"), sure);
    },
  };
}
