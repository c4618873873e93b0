/** Practising a passage of a tune over and over: a cursor in the music, how each ornament went, and what came of it. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { tuneGoing } from "../core/state.js";
import { cursorIn } from "./music.js";
import { RUN, STOP_RUN, TAKE_OUT, TEMPI, WIDER, followedWords, goingWords, outWords, tempiWords, verdictWords } from "./words.js";
import { ranOf, tempoLine, wider } from "./state.js";

/** By then the history holds the run that ended, so that the marks are those of today. */
const WRITTEN_MS = 700;

const RESULT = ({ summary }, title) => html`
  <p><b>${summary.said}</b></p>
  <p class="muted">${followedWords(summary)}</p>
  ${summary.take_out.length === 0 ? "" : html`<h3>${TAKE_OUT}</h3>
    <ol id="tune-out">${summary.take_out.map((one) => html`<li>
      <span><b>${one.words}</b> <span class="muted">${outWords(one)}</span></span>
      ${one.drill === null ? "" : html`<button type="button" data-practise="${one.drill}" aria-label="Practise ${one.drill}">Practise</button>`}
    </li>`)}</ol>`}
  ${summary.alike.map((said) => html`<p>${said}</p>`)}
  ${summary.tempi.length < 2 ? "" : html`<figure><figcaption>${TEMPI}</figcaption>
    <svg viewBox="0 0 100 24" preserveAspectRatio="none" role="img" aria-label="${tempiWords(summary.tempi, title)}">
      <line x1="0" x2="100" y1="${tempoLine(summary).asked}" y2="${tempoLine(summary).asked}"></line>
      <polyline points="${tempoLine(summary).points}"></polyline>
    </svg></figure>`}`;

/**
 * draw(open, seat): the row's second button and what is below it; `passages()` are those of the list, `chosen()` the one in it.
 *
 * `renew()` fetches how the ornaments go. `tempo()` is the tempo that is typed, or throws Refused; `sound()` lets the page sound, `hush()` ends what is heard.
 */
export function runRow(find, { attempt, now, sound, hush, passages, chosen, tempo, choose, renew }) {
  let open = null;
  const light = cursorIn(find("#tune-parts"), (row) => row.scrollIntoView({ block: "nearest" }));
  let shown = null;

  const start = async (passage) => {
    hush();
    sound();
    await api.startTuneRun(now().seat, open.tune.tune, passage.first, passage.last, tempo());
  };

  find("#tune-run").addEventListener("click", () =>
    attempt(async () => (tuneGoing(now()) ? api.stopPractice(now().seat) : start(chosen()))),
  );
  find("#tune-wider").addEventListener("click", () => {
    const next = wider(passages(), now().tune_run);
    if (!next) return;
    choose(next.key);
    attempt(() => start(next));
  });

  return {
    draw(next) {
      open = next;
      const seat = now();
      const run = ranOf(open, seat);
      const going = Boolean(run?.going);
      say(find("#tune-run"), going && !run.noticed ? STOP_RUN : RUN);
      find("#tune-run").disabled = !seat;
      show(find("#tune-going"), going);
      show(find("#tune-wider"), Boolean(run) && wider(passages(), run) !== null);
      say(find("#tune-wider"), WIDER);
      if (going) say(find("#tune-going"), [goingWords(run, open.tune), verdictWords(seat.verdicts.at(-1), open.tune)].filter(Boolean).join(" "));
      light(going ? run.cursor : null);
      const result = run && !going ? run.result : null;
      show(find("#tune-result"), result !== null);
      if (result && result !== shown) {
        fill(find("#tune-result"), RESULT(result, run.title));
        setTimeout(renew, WRITTEN_MS);
      }
      shown = result;
    },
  };
}
