/** The last twelve reps: while a run goes on a picture of the habit, afterwards a list to pick from, to see and to hear. */

import { habit } from "./habit.js";
import { fill, html, show } from "../ui/html.js";
import { optionList } from "../ui/options.js";
import { replayView } from "./replay_view.js";
import { repName } from "./replay_words.js";
import { repToHear, runShown } from "../core/state.js";

/** What there is to hear of a rep of this run: {rep, timetable, words}, or null. Pure. */
const heardAgain = (run, rep) =>
  rep && {
    rep,
    timetable: { sequence: run.sequence, ...run.grid },
    words: repName(rep),
  };

/** draw(player, playback) and play(kind); `pick(rep)` is called with the number of the rep that was picked. */
export function recentView(find, { pick, ...voice }) {
  const list = find("#habit");
  const card = replayView(find("#replay"), voice);
  const options = optionList(list, (data) => pick(Number(data.rep)));
  return {
    play: card.play,
    draw(seat, playback) {
      const run = seat && runShown(seat);
      const rep = run ? repToHear(run) : null;
      options.draw(() => fill(list, run ? habit(run, rep) : html``), rep !== null);
      show(find("#habit-empty"), !run || run.reps.length === 0);
      card.draw(run && heardAgain(run, rep), playback);
    },
  };
}
