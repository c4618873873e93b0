/** A recording taken apart: its passages, how each ornament went, every one of them; and into the history, if one wants. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { ornamentList } from "./ornaments.js";
import { tally } from "./table.js";
import {
  BUSY, EVERY, HOW, HOW_TO_OPEN, KEEP, KEEP_IT, NOT_NOW, NO_ORNAMENT, OPEN, OPEN_RUN, PASSAGES, PRACTISE, TAKE, TO_THESE, clockWords, keepWords, keptWords, passageWords,
} from "./words.js";

export const FRAME = html`<h2 id="listen-take">${TAKE}</h2>
  <p class="row"><label class="button">${OPEN}<input type="file" id="listen-file" accept=".mid,.midi,.smf"></label> <span id="listen-how" class="muted">${HOW_TO_OPEN}</span></p>
  <p id="take-busy" role="status" hidden>${BUSY}</p>
  <div id="take-whole" hidden>
    <h3 id="take-name" tabindex="-1"></h3>
    <p id="take-keep" class="row"><button type="button">${KEEP}</button></p>
    <p id="take-sure" class="notice" role="alert" hidden><span></span><button type="button" id="take-yes">${KEEP_IT}</button><button type="button" id="take-no">${NOT_NOW}</button></p>
    <p id="take-kept" role="status" hidden></p>
    <div class="apart">
      <div><h4 id="take-parts">${PASSAGES}</h4><div class="scroll parts" role="region" aria-labelledby="take-parts" tabindex="0"><ul id="take-passages" class="passages"></ul></div></div>
      <div><h4>${HOW}</h4><p id="take-none" class="muted">${NO_ORNAMENT}</p><div id="take-summary"></div></div>
    </div>
    <div id="take-every"><h4>${EVERY}</h4><div id="take-ornaments" class="ornaments"></div></div>
  </div>`;

/** What a run of the history goes by in an address. */
const addressOf = ({ kind, run }) => (kind === "drill" ? `${run}` : `${kind}-${run}`);

/** What would be kept: how many passages of each kind that hold an ornament. */
export function countOf({ passages, ornaments }) {
  const there = passages.filter((one) => one.kind !== "silence" && ornaments.some((ornament) => one.start_ms <= ornament.theme_ms && ornament.theme_ms < one.end_ms));
  return Object.fromEntries(["drill", "tune", "free"].map((kind) => [kind, there.filter((one) => one.kind === kind).length]));
}

const passage = (one, kept) => html`<li>
  <span class="muted">${clockWords(one.start_ms)} to ${clockWords(one.end_ms)}</span> <span>${passageWords(one)}</span>
  ${one.kind === "silence" ? "" : html`<button type="button" data-from="${one.start_ms}" aria-label="${TO_THESE}: ${passageWords(one)}, ${clockWords(one.start_ms)}">${TO_THESE}</button>`}
  ${one.drill ? html`<button type="button" data-drill="${one.drill}" data-bpm="${Math.round(one.click_bpm)}" aria-label="${PRACTISE}: ${one.drill}">${PRACTISE}</button>` : ""}
  ${kept ? html`<a class="button" href="#history/${addressOf(kept)}" aria-label="${OPEN_RUN}: ${passageWords(one)}, ${clockWords(one.start_ms)}">${OPEN_RUN}</a>` : ""}
  ${one.kind === "silence" ? "" : html`<small class="muted">${one.placement.said}</small>`}
</li>`;

/** open(file): `seat()` is where whoever played it sits, or null. */
export function takeView(find, { attempt, seat }) {
  fill(find("#listen .take"), FRAME);
  const list = ornamentList(find("#take-ornaments"), EVERY);
  let taken = null; // {file, found}
  let latest = null;

  function draw(kept = []) {
    const { file, found } = taken;
    show(find("#take-whole"), true);
    say(find("#take-name"), file.name);
    const of = (one) => kept.find((run) => Math.abs(run.start_ms - one.start_ms) < 1);
    fill(find("#take-passages"), html`${found.passages.map((one) => passage(one, of(one)))}`);
    const any = found.ornaments.length > 0;
    show(find("#take-none"), !any);
    show(find("#take-every"), any);
    fill(find("#take-summary"), any ? tally(found.summary, file.name, { choose: true }) : html``);
    list.draw(found.ornaments);
    show(find("#take-keep"), any && kept.length === 0);
    show(find("#take-sure"), false);
    show(find("#take-kept"), kept.length > 0);
    say(find("#take-kept"), keptWords(kept));
  }

  async function look(file) {
    const mine = (latest = Symbol("look"));
    show(find("#take-busy"), true);
    try {
      const found = await api.listen(file);
      if (mine !== latest) return;
      taken = { file, found };
      draw();
      find("#take-name").focus();
    } finally {
      if (mine === latest) show(find("#take-busy"), false);
    }
  }

  find("#listen-file").addEventListener("change", ({ target }) => {
    const [file] = target.files;
    target.value = "";
    if (file) attempt(() => look(file));
  });
  find("#take-keep button").addEventListener("click", () => {
    say(find("#take-sure span"), keepWords(countOf(taken.found), seat()?.player.name ?? "", new Date(taken.file.lastModified)));
    show(find("#take-sure"), true);
    find("#take-no").focus();
  });
  find("#take-no").addEventListener("click", () => {
    show(find("#take-sure"), false);
    find("#take-keep button").focus();
  });
  find("#take-yes").addEventListener("click", () =>
    attempt(async () => {
      const { file } = taken;
      draw(await api.keepTake(seat().seat, file));
      find("#take-name").focus();
    }),
  );
  find("#take-whole").addEventListener("click", ({ target }) => {
    const from = target.closest("[data-from]")?.dataset.from;
    if (from !== undefined) list.jump(Number(from));
    const only = target.closest("[data-only]")?.dataset.only;
    if (only !== undefined) list.only(only);
  });

  return { open: (file) => attempt(() => look(file)) };
}
