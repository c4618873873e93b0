/** The card with which a drill is heard: tempo, half speed, how often, click, tuning and volume; and the button to stop. */

import * as api from "./api.js";
import { held, showChoices, tempoFrom } from "./controls.js";
import { tempoWords } from "./ladderwords.js";
import { Hear } from "./hear.js";
import { say, show } from "./html.js";
import { hearingWords } from "./bookwords.js";
import { badTempo } from "./words.js";

/** hear(drill), stop(), open() and draw(state, player); `turn(change)` changes the book, `attempt(act)` shows refusals. */
export function hearView(find, { now, turn, attempt, settings, set }) {
  const hear = new Hear((drill) => turn((book) => ({ ...book, hearing: drill })));
  hear.volume = settings().tone;
  find("#tone").value = settings().tone;
  find("#hear-form").addEventListener("submit", (event) => event.preventDefault());
  find("#tone").addEventListener("input", (event) => {
    set({ tone: Number(event.target.value) });
    hear.volume = settings().tone;
  });
  find("#tuning").addEventListener("change", (event) => {
    set({ tuning: event.target.value });
    turn((book) => ({ ...book }));
  });
  find("#hear-stop").addEventListener("click", () => {
    hear.stop();
    find("#way-hear").focus();
  });

  const tuningOf = ({ book }) => book.tunings.find((one) => one.name === settings().tuning) ?? book.tunings[0];

  async function fetchTunings() {
    const tunings = await api.tunings();
    turn((book) => ({ ...book, tunings }));
  }

  const play = (drill) =>
    attempt(async () => {
      const { state, player } = now();
      if (state.book.tunings.length === 0) await fetchTunings();
      const range = state.daemon?.tempo_range;
      const click_bpm = tempoFrom(find("#hear-tempo").value);
      if (click_bpm === null || (range && held(click_bpm, range) !== click_bpm))
        throw new api.Refused(badTempo(find("#hear-tempo").value, range));
      await hear.play({
        drill,
        click_bpm,
        spread: player?.wanted.spread ?? null,
        layout: player?.wanted.layout ?? null,
        tuning: tuningOf(now().state),
        reps: Number(find("#hear-reps").value),
        half: find("#hear-half").checked,
        click: find("#hear-click").checked,
      });
    });

  function draw(state, player) {
    const tempo = find("#hear-tempo");
    if (tempo.value === "" && player && document.activeElement !== tempo)
      tempo.value = tempoWords(player.wanted.click_bpm);
    showChoices(find("#tuning"), find("#tuning-said"), state.book.tunings, tuningOf(state)?.name ?? null);
    show(find("#hear-stop"), state.book.hearing !== null);
    say(find("#hearing"), hearingWords(state.book.hearing));
  }
  return { hear: play, stop: () => hear.stop(), open: () => attempt(fetchTunings), draw };
}
