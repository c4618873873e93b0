/** Practising a passage of a tune over and over: a cursor in the music, how each ornament went, and what came of it. */

import * as api from "../core/api.js";
import { fill, html, say, show } from "../ui/html.js";
import { tuneGoing } from "../core/state.js";
import { cursorIn } from "./music.js";
import { placeBars, resultMarkup } from "./result.js";
import { LOOK_BACK, RUN, STOP_RUN, WIDER, goingWords } from "./words.js";
import { liveView } from "./live.js";
import { ruleForm } from "./rule.js";
import { ranOf, wider } from "./state.js";

/** By then the history holds the run that ended, so that the marks are those of today. */
const WRITTEN_MS = 700;

/**
 * draw(open, seat) and play("rep" or "model"): the row's second button and what is below it; `passages()` are those of the list, `chosen()` the one in it.
 *
 * `renew()` fetches how the ornaments go. `tempo()` is the tempo that is typed, or throws Refused; `sound()` lets the page sound, `hush()` ends what is heard.
 */
export function runRow(find, { attempt, now, sound, hush, passages, chosen, tempo, choose, renew, feedbacks, ...sounding }) {
  let open = null;
  const light = cursorIn(find("#tune-parts"), (row) => row.scrollIntoView({ block: "nearest" }));
  let shown = null;

  const start = async (passage) => {
    hush();
    sound();
    await api.startTuneRun(now().seat, open.tune.tune, tempo(), rule.wish(passage));
  };

  let wentOn = false;
  const rule = ruleForm(find);
  const live = liveView(find, { ...sounding, attempt, guess: (rep, word) => attempt(() => api.guess(now().seat, rep, word)) });

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
    play: live.play,
    draw(next) {
      open = next;
      const seat = now();
      const run = ranOf(open, seat);
      const going = Boolean(run?.going);
      const started = going && !run.noticed;
      say(find("#tune-run"), started ? STOP_RUN : RUN);
      find("#tune-run").disabled = !seat;
      show(find("#tune-going"), going);
      show(find("#tune-wider"), Boolean(run) && wider(passages(), run) !== null);
      say(find("#tune-wider"), WIDER);
      if (going) say(find("#tune-going"), goingWords(run, open.tune));
      show(find("#tune-choice"), !started); // what is chosen there is for the next run: a plan may play something else
      rule.draw(started ? null : (open?.tune ?? null), open && chosen(), feedbacks());
      live.draw(run, seat?.verdicts ?? [], open?.tune);
      light(going ? run.cursor : null);
      const result = run && !going ? run.result : null;
      show(find("#tune-result"), result !== null);
      if (result && result !== shown) {
        fill(find("#tune-result"), html`${resultMarkup(result.summary, run.title)}<p><a href="#history">${LOOK_BACK}</a></p>`);
        placeBars(find("#tune-result"));
      }
      shown = result;
      if (wentOn && !going) setTimeout(renew, WRITTEN_MS); // also where nothing was played on the last notch of a ladder
      wentOn = going;
    },
  };
}
