/** While a passage is played, and after it: where the ladder is and why, the ornament just played as a strip, and hearing it again. */

import { fill, html, say, show } from "../ui/html.js";
import { replayView } from "../practise/replay_view.js";
import { NO_CLOCK, runThatIsOver, stripView } from "../practise/strip_view.js";
import { climbWords, ornamentWords, roundWords, rungWords, shownVerdict, verdictWords } from "./words.js";

export const LIVE = html`<section id="tune-live" aria-label="How it goes" hidden>
  <p id="tune-said" role="status"></p>
  <div id="tune-climb" hidden>
    <ol id="tune-rungs"></ol>
    <p id="tune-climb-now"></p>
  </div>
  <figure id="tune-last" hidden>
    <figcaption id="tune-last-said" aria-live="polite"></figcaption>
    <svg id="tune-strip" class="strip" role="img" aria-label="The ornament just played"><g></g></svg>
  </figure>
  <p id="tune-more" class="muted"></p>
  <div id="tune-guess" class="row" role="group" aria-label="What you heard" hidden>
    <button type="button" data-say="early">early</button>
    <button type="button" data-say="on">on the beat</button>
    <button type="button" data-say="late">late</button>
  </div>
  <div id="tune-replay" hidden></div>
</section>`;

/** The ornament as a run of one rep that is over, as the strip draws it. Pure. */
export const asRun = ({ rep, asked }, { on_beat_ms, grid }) =>
  runThatIsOver({ on_beat_ms, reps: [rep], sequence: [asked], segments: [], grid: { ...grid, click_off: true } });

/** The same for hearing it: with the clicks where they are about it. */
const timetableOf = ({ asked }, { grid }) => ({ sequence: [asked], click_bpm: grid.click_bpm });

/** draw(run, verdicts, tune) and play("rep" or "model"); `guess(rep, word)` answers what is asked, the rest is for hearing oneself. */
export function liveView(find, { guess, playback, ...sounding }) {
  const strip = stripView(find("#tune-strip"), find("#tune-strip g"));
  const replay = replayView(find("#tune-replay"), sounding);
  let asks = null;
  find("#tune-guess").addEventListener("click", ({ target }) => {
    const word = target.closest("[data-say]")?.dataset.say;
    if (word && asks !== null) guess(asks, word);
  });
  let drawnOf = null;
  let drawnRun = null;

  return {
    play: replay.play,
    draw(run, verdicts, tune) {
      const last = run && shownVerdict(run, verdicts);
      show(find("#tune-live"), Boolean(run) && (run.going || Boolean(last) || run.ladder !== null));
      if (!run) return;
      const { ladder, feedback } = run;
      say(find("#tune-said"), roundWords(run));
      show(find("#tune-climb"), ladder !== null);
      if (ladder) {
        fill(find("#tune-rungs"), html`${ladder.rungs.map((one) => html`<li class="${one.here ? "here" : one.held ? "held" : ""}" ${one.here ? html`aria-current="step"` : ""}>${rungWords(one)}</li>`)}`);
        say(find("#tune-climb-now"), climbWords(ladder));
      }
      say(find("#tune-more"), [feedback.said, feedback.more].filter(Boolean).join(" "));
      asks = run.going ? feedback.ask : null;
      show(find("#tune-guess"), asks !== null);
      show(find("#tune-last"), Boolean(last));
      const heard = !run.going && last ? { rep: last.rep, timetable: timetableOf(last, run), words: ornamentWords(last, tune) } : null;
      replay.draw(heard, playback());
      if (!last) return;
      say(find("#tune-last-said"), verdictWords(last, tune));
      if (drawnOf !== last) [drawnOf, drawnRun] = [last, asRun(last, run)];
      strip({ run: drawnRun, calibration_ms: null }, NO_CLOCK, 0);
    },
  };
}
