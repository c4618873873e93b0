/** The view of tunes: the list, one of them in staff notation with its ornaments, and what most needs work beside it. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { drawing } from "../ui/staff.js";
import { hearRow } from "./hear.js";
import { drawChosen, drawMarks } from "./music.js";
import { LIVE } from "./live.js";
import { RULE } from "./rule.js";
import { runRow } from "./run.js";
import { chosen, closedTunes, listed, opened, rowWidth, masteryByNote, keyOf, unknownOf, workOf, workedOn } from "./state.js";
import {
  ADD, ALL, DELETE, HEAR, HOW_TO_ADD, NO_TUNE, PERFORMANCE, PLAIN, PRACTISE, PRINT, MASTERY, RUN, TAKE, WIDER, partWords, remarkWords, rowWords, sheetTitle, masteryWords, unknownWords,
  WORKED_ON, WORKED_ON_SAID,
} from "./words.js";

/** A window that is being dragged to another width is followed when it has come to rest. */
const RESTED_MS = 200;

const FRAME = html`
  <section class="shelf" aria-labelledby="tunes-name">
    <h1 id="tunes-name">Tunes</h1>
    <ul id="tunes-list"></ul>
    <p><label class="button">${ADD}<input type="file" id="tune-file" accept=".abc,.musicxml,.mxl,.xml"></label></p>
    <p class="muted">${HOW_TO_ADD}</p>
  </section>
  <section class="music" aria-labelledby="tune-name">
    <h2 id="tune-name"></h2>
    <p id="tune-none" class="muted">${NO_TUNE}</p>
    <p id="tune-about" class="muted"></p>
    <div id="tune-worked" class="row" hidden>
      <label class="row"><input type="checkbox" id="tune-work-on"> ${WORKED_ON}</label>
      <label class="row" id="tune-when">${PERFORMANCE} <input type="date" id="tune-performance"></label>
      <small>${WORKED_ON_SAID}</small>
    </div>
    <form id="tune-hear" class="row" hidden>
      <span id="tune-choice">
      <label class="row">Passage <select id="tune-passage"></select></label>
      <label class="row">at <input id="tune-tempo" inputmode="decimal" autocomplete="off" value="60"> clicks</label>
      <label class="row"><input type="checkbox" id="tune-click" checked> with the click</label>
      <button type="submit" id="tune-play">${HEAR}</button>
      </span>
      <button type="button" id="tune-run">${RUN}</button>
      <button type="button" id="tune-wider" hidden>${WIDER}</button>
    </form>
    ${RULE}
    <p id="tune-going" role="status" hidden></p>
    ${LIVE}
    <div id="tune-result" hidden></div>
    <div id="tune-parts"></div>
    <ul id="tune-remarks" class="muted"></ul>
    <p><button type="button" id="tune-delete" hidden>${DELETE}</button></p>
  </section>
  <section class="work" aria-labelledby="tune-work" hidden>
    <h2 id="tune-work">What needs work first</h2>
    <p id="tune-legend" class="muted" aria-hidden="true"></p>
    <p class="row" id="tune-all"><button type="button" id="tune-plan">${ALL}</button><button type="button" id="tune-print">${PRINT}</button></p>
    <p id="tune-plain" class="muted">${PLAIN}</p>
    <ol id="tune-ornaments"></ol>
    <ul id="tune-unknown" class="muted"></ul>
  </section>`;

const sign = (mastery) =>
  html`<svg class="sign" viewBox="-1.2 -1.2 2.4 2.4" aria-hidden="true"><path class="mark ${mastery.replace(" ", "-")}" d="${MASTERY[mastery]}"></path></svg>`;

const tuneRow = (row, open) => html`<li>
  ${row.said
    ? html`<span class="unread"><b>${row.title}</b> <span class="muted">${row.said}</span></span>`
    : html`<a href="#tunes/${encodeURIComponent(row.tune)}" ${row.tune === open ? html`aria-current="true"` : ""}><b>${row.title}</b> <span class="muted">${rowWords(row)}</span></a>`}
</li>`;

const ornamentRow = (one, of) => html`<li ${one.drill === of ? html`class="chosen"` : ""}>
  <button type="button" class="plain" data-drill="${one.drill}" aria-pressed="${one.drill === of}">${one.drill}</button>
  <span>${sign(one.mastery)} <span class="word">${one.mastery}</span></span>
  <span class="muted">${masteryWords(one)}</span>
  <button type="button" data-practise="${one.drill}" aria-label="${PRACTISE} ${one.drill}">${PRACTISE}</button>
</li>`;

const legend = html`${Object.keys(MASTERY).map((one) => html`<span>${sign(one)} ${one}</span> `)}`;

/**
 * open(key), draw(), play("rep" or "model" of the ornament last played); `seat()` is whose playing counts, or null while that is not known, `practise(drill)` leads to the chanter.
 *
 * follow(head_ms) shows what sounds. `now()` is the seat on the page, or null; `sound()` makes the page sound. `startPlan(begin)` goes through a plan that `begin(seat)` starts; `print(drills, title)` opens the sheet with these.
 */
export function tunesView(find, { attempt, seat, practise, startPlan, print, redraw, now, sound, ...sounding }) {
  const root = find("#tunes");
  fill(root, FRAME);
  fill(find("#tune-legend"), legend);
  let tunes = closedTunes();
  let latest = null; // what was last asked for: an earlier answer comes too late
  let drawn = { tune: null, width: null, ornaments: null };
  const hearing = hearRow(find, { attempt, ...sounding });
  const playing = runRow(find, { attempt, now, sound, hush: () => sounding.hear.stop(), renew, ...sounding, ...hearing });

  /** The marks, after a run: what is chosen stays. */
  function renew() {
    const { open } = tunes;
    if (!open) return;
    attempt(async () => {
      const ornaments = await api.tuneMastery(open.tune.tune, seat());
      if (tunes.open?.tune === open.tune) turn({ ...tunes, open: { ...tunes.open, ornaments } });
    });
  }
  const turn = (next) => {
    tunes = next;
    redraw();
  };

  async function look(key) {
    const mine = (latest = Symbol("look"));
    if (seat() === null) return; // opened again once it is known whose playing counts
    const rows = await api.tunes();
    if (mine !== latest) return;
    turn(listed(tunes, rows));
    const worked = await api.repertoire(seat());
    if (mine !== latest) return;
    turn(workedOn(tunes, worked));
    const wanted = key ?? tunes.open?.tune.tune ?? null;
    if (wanted === null) return;
    const [tune, ornaments] = await Promise.all([api.tune(wanted), api.tuneMastery(wanted, seat())]);
    if (mine === latest) turn(opened(tunes, { tune, ornaments }));
  }

  async function add(file) {
    const [first] = await api.addTune(file);
    location.hash = `#tunes/${encodeURIComponent(first.tune)}`;
    await look(first.tune);
  }

  /** The parts in rows of that width; the same tune's at another width stay until all of them are there. */
  async function engrave({ tune }, width) {
    const place = find("#tune-parts");
    const svgs = await Promise.all(tune.parts.map((_, index) => api.tuneStaff(tune.tune, index + 1, width)));
    if (drawn.tune !== tune || drawn.width !== width) return;
    place.replaceChildren(
      ...svgs.flatMap((svg, index) => {
        const title = Object.assign(document.createElement("h3"), { textContent: partWords(index + 1, svgs.length) });
        return [title, drawing(svg, 0)];
      }),
    );
    drawn.ornaments = null;
    redraw();
  }

  find("#tunes-list").addEventListener("click", () => find("#tune-name").scrollIntoView({ block: "nearest" }));
  find("#tune-file").addEventListener("change", ({ target }) => {
    const [file] = target.files;
    target.value = "";
    if (file) attempt(() => add(file));
  });
  root.addEventListener("dragover", (event) => event.preventDefault());
  root.addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer.files;
    if (file) attempt(() => add(file));
  });
  root.addEventListener("click", ({ target }) => {
    const drill = target.closest("[data-drill]")?.dataset.drill;
    if (drill) turn(chosen(tunes, drill));
    const note = target.closest("[data-take]")?.dataset.take;
    if (note) turn(chosen(tunes, keyOf(note)));
    const wanted = target.closest("[data-practise]")?.dataset.practise;
    if (wanted) practise(wanted);
  });
  /** Shown at once, as it was ticked; what the daemon answers counts, and after a refusal it is as before. */
  function work(next, ask) {
    const before = tunes.worked;
    turn(workedOn(tunes, [...before.filter((one) => one.tune !== tunes.open.tune.tune), ...next]));
    attempt(async () => {
      let worked = before;
      try {
        worked = await ask(tunes.open.tune.tune);
      } finally {
        turn(workedOn(tunes, worked));
      }
    });
  }
  const workOn = (performance) =>
    work([{ tune: tunes.open.tune.tune, performance }], (tune) => api.workOn(seat(), tune, performance));
  find("#tune-work-on").addEventListener("change", ({ target }) => {
    if (target.checked) workOn(null);
    else work([], (tune) => api.leaveTune(seat(), tune));
  });
  find("#tune-performance").addEventListener("change", ({ target }) => workOn(target.value || null));
  find("#tune-plan").addEventListener("click", () => startPlan((whose) => api.startTune(whose, tunes.open.tune.tune)));
  find("#tune-print").addEventListener("click", () =>
    print(tunes.open.ornaments.map((one) => one.drill), sheetTitle(tunes.open.tune.title)),
  );
  find("#tune-delete").addEventListener("click", () =>
    attempt(async () => {
      const rows = await api.deleteTune(tunes.open.tune.tune);
      location.hash = "#tunes";
      turn(opened(listed(tunes, rows), null));
    }),
  );

  let rested = null;
  new ResizeObserver(() => {
    clearTimeout(rested);
    rested = setTimeout(redraw, RESTED_MS);
  }).observe(find("#tune-parts"));

  function drawMusic(open) {
    const place = find("#tune-parts");
    const width = rowWidth(place.clientWidth, parseFloat(getComputedStyle(place).fontSize));
    if (place.clientWidth > 0 && (drawn.tune !== open.tune || drawn.width !== width)) {
      if (drawn.tune !== open.tune) place.replaceChildren(); // no other tune's notes under this one's name
      drawn = { tune: open.tune, width, ornaments: null };
      attempt(() => engrave(open, width));
    }
    const ornaments = masteryByNote(open);
    for (const svg of place.querySelectorAll(":scope > svg")) {
      if (drawn.ornaments !== open.ornaments) drawMarks(svg, ornaments);
      drawChosen(svg, ornaments, tunes.chosen);
    }
    if (place.children.length > 0) drawn.ornaments = open.ornaments;
  }

  return {
    get state() {
      return tunes;
    },
    follow: hearing.follow,
    play: playing.play,
    open(name) {
      attempt(() => look(name));
    },
    draw() {
      const { rows, open } = tunes;
      fill(find("#tunes-list"), html`${(rows ?? []).map((row) => tuneRow(row, open?.tune.tune))}`);
      show(find("#tune-none"), open === null);
      show(root.querySelector(".work"), open !== null);
      say(find("#tune-name"), open?.tune.title ?? "");
      const row = rows?.find((one) => one.tune === open?.tune.tune);
      say(find("#tune-about"), row ? rowWords(row) : "");
      show(find("#tune-delete"), Boolean(open?.tune.own));
      show(find("#tune-worked"), open !== null);
      show(find("#tune-hear"), open !== null);
      hearing.draw(open, tunes.chosen);
      const work = workOf(tunes);
      find("#tune-work-on").checked = work !== null;
      show(find("#tune-when"), work !== null);
      if (document.activeElement !== find("#tune-performance")) find("#tune-performance").value = work?.performance ?? "";
      playing.draw(open);
      if (!open) return find("#tune-parts").replaceChildren();
      fill(find("#tune-remarks"), html`${open.tune.remarks.map((one) => html`<li>${remarkWords(one)}</li>`)}`);
      fill(find("#tune-ornaments"), html`${open.ornaments.map((one) => ornamentRow(one, tunes.chosen))}`);
      fill(find("#tune-unknown"), html`${unknownOf(open.tune).map((one) => html`<li ${keyOf(one.note) === tunes.chosen ? html`class="chosen"` : ""}>${unknownWords(one)} <button type="button" data-take="${one.note}" aria-pressed="${keyOf(one.note) === tunes.chosen}">${TAKE}</button></li>`)}`);
      show(find("#tune-plain"), open.ornaments.length === 0 && open.tune.unknown.length === 0);
      show(find("#tune-all"), open.ornaments.length > 0);
      drawMusic(open);
    },
  };
}
