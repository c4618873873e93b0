/** How a drill is heard: the card in the book, the button on the practice view, and that it is never heard over a run. */

import * as api from "../core/api.js";
import { held, showChoices, showSpread, tempoFrom } from "../practise/controls.js";
import { tempoWords } from "../ladder/words.js";
import { say, show } from "../ui/html.js";
import { running } from "../core/state.js";
import { playbackWords, modelWords } from "../book/words.js";
import { badTempo } from "../ui/words.js";

const REPS = 4;
const VOLUMES = ["#tone", "#tone-here"];

/**
 * hear(drill), hearOrStop(drill), tuning(), known() (that the tunings are) and draw(state, player).
 *
 * `hear` sounds it, `turn(change)` changes the book, `attempt(act)` shows refusals.
 * `halt()` stops the player's run and is waited for: model and chanter must not sound at once.
 */
export function playbackView(find, { hear, now, turn, attempt, settings, set, halt }) {
  hear.volume = settings().tone;
  /** Chosen here; null: as it is practised. */
  const chosen = { layout: null, spread: null };
  const redraw = () => turn((book) => ({ ...book }));

  find("#hear-form").addEventListener("submit", (event) => event.preventDefault());
  for (const volume of VOLUMES) {
    find(volume).value = settings().tone;
    find(volume).addEventListener("input", (event) => {
      set({ tone: Number(event.target.value) });
      hear.volume = settings().tone;
    });
  }
  find("#tuning").addEventListener("change", (event) => {
    set({ tuning: event.target.value });
    redraw();
  });
  find("#hear-layout").addEventListener("change", (event) => {
    chosen.layout = event.target.value;
    redraw();
  });
  find("#hear-spread").addEventListener("input", (event) => {
    chosen.spread = Number(event.target.value) / 100;
    redraw();
  });
  find("#hear-asked").addEventListener("click", () => orStop(playAsked));

  const tuningOf = ({ book }) => book.tunings.find((one) => one.name === settings().tuning) ?? book.tunings[0];

  async function fetchTunings() {
    const tunings = await api.tunings();
    turn((book) => ({ ...book, tunings }));
  }

  /** The tuning that is chosen, fetched if need be. */
  async function tuning() {
    if (now().state.book.tunings.length === 0) await fetchTunings();
    return tuningOf(now().state);
  }

  /** Sound it; a run that is going on is stopped first. */
  async function sound(asked) {
    const chosen = await tuning();
    const stopped = running(now().seat);
    if (stopped) await halt();
    await hear.play({ ...asked, tuning: chosen, stopped });
  }

  const wantedOr = (name) => chosen[name] ?? now().seat?.wanted[name] ?? null;

  const play = (drill) =>
    attempt(async () => {
      const range = now().state.daemon?.tempo_range;
      const click_bpm = tempoFrom(find("#hear-tempo").value);
      if (click_bpm === null || (range && held(click_bpm, range) !== click_bpm))
        throw new api.Refused(badTempo(find("#hear-tempo").value, range));
      await sound({
        drill,
        click_bpm,
        spread: wantedOr("spread"),
        layout: wantedOr("layout"),
        reps: Number(find("#hear-reps").value),
        half: find("#hear-half").checked,
        click: find("#hear-click").checked,
      });
    });

  /** What is asked on the practice view, as it is asked there. */
  const playAsked = () =>
    attempt(async () => {
      const { drill, click_bpm, spread, layout } = now().seat.wanted;
      await sound({ drill, click_bpm, spread, layout, reps: REPS, half: false, click: true });
    });

  /** One button begins and ends it. */
  const orStop = (begin) => (now().state.book.playback ? hear.stop() : begin());

  function drawCard(state, seat) {
    const tempo = find("#hear-tempo");
    if (tempo.value === "" && seat && document.activeElement !== tempo)
      tempo.value = tempoWords(seat.wanted.click_bpm);
    showChoices(find("#tuning"), find("#tuning-said"), state.book.tunings, tuningOf(state)?.name ?? null);
    if (!state.daemon) return;
    const { layouts, spread: usual, spread_range } = state.daemon;
    showChoices(find("#hear-layout"), find("#hear-layout-said"), layouts, wantedOr("layout") ?? layouts[0]?.name ?? null);
    showSpread(find("#hear-spread"), find("#hear-spread-now"), wantedOr("spread") ?? usual, spread_range);
  }

  function draw(state, seat) {
    for (const volume of VOLUMES) if (document.activeElement !== find(volume)) find(volume).value = settings().tone;
    const { playback } = state.book;
    drawCard(state, seat);
    say(find("#way-hear"), playback === null ? "Hear it" : "Stop");
    say(find("#playback"), playbackWords(playback));
    const [button, beside] = modelWords(playback);
    say(find("#hear-asked"), button);
    say(find("#hear-asked-said"), beside);
    show(find("#keys-hint"), playback === null);
    find("#hear-asked").disabled = !seat || seat.wanted.drill === "";
  }
  const hearOrStop = (drill) => orStop(() => play(drill));
  return { hear: play, hearOrStop, tuning, known: () => attempt(tuning), draw };
}
