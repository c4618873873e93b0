/** The card with which a played rep is heard beside the model: yours or the model, how slowly, with the click, how loud. */

import { fill, html, say, show } from "../ui/html.js";
import { SPEEDS, canBeHeard, model, played } from "./replay.js";
import { slowed } from "../audio/tone.js";
import { LOUD, NOTHING_HEARD, REPLAY_KEYS, heardWords, modelWords } from "./replay_words.js";

/** Fingers on glass have no arrow keys. */
const HINT = matchMedia("(pointer: coarse)").matches ? "" : REPLAY_KEYS;

const CARD = html`
  <div class="row">
    <button type="button" data-hear="rep">Yours</button>
    <button type="button" data-hear="model">Model</button>
  </div>
  <div class="row speeds" role="group" aria-label="Speed">
    ${SPEEDS.map(({ factor, said }) => html`<button type="button" data-factor="${factor}">${said}</button>`)}
  </div>
  <div class="row">
    <label class="check"><input class="replay-click" type="checkbox" /> click</label>
    <label class="tone">volume <input type="range" min="0" max="1" step="0.05" /></label>
  </div>
  <small class="muted">${LOUD}</small>
  <p class="hint" role="status"></p>`;

/**
 * draw(what, playback) and play(kind), for one `root`: `what` is {rep, timetable, words} or null.
 *
 * `hear` sounds it, `tuning()` promises the tuning, `settings` and `set` are those of this browser.
 */
export function replayView(root, { hear, tuning, attempt, settings, set }) {
  fill(root, CARD);
  const part = (selector) => root.querySelector(selector);
  let shown = null;
  const factor = () => settings().speed;

  const sounds = {
    rep: ({ rep, timetable, words }) => [played(rep, timetable), heardWords(words, factor())],
    model: ({ rep, timetable }) => [model(rep, timetable), modelWords(factor())],
  };

  /** Sound "rep" or "model", if there is one. */
  function play(kind) {
    if (!shown || (kind === "rep" && !canBeHeard(shown.rep))) return;
    const [score, words] = sounds[kind](shown);
    const slow = slowed(score, factor());
    attempt(() =>
      hear.sound({ kind, words, factor: factor(), beat_s: slow.beat_s }, async () => ({
        score: slow,
        tuning: await tuning(),
        click: settings().replay_click,
      })),
    );
  }

  root.addEventListener("click", (event) => {
    const { hear: kind, factor: chosen } = event.target.closest("button")?.dataset ?? {};
    if (kind && kind === hear.playing) hear.stop();
    else if (kind) play(kind);
    if (!chosen) return;
    const going = hear.playing;
    set({ speed: Number(chosen) });
    if (going && going in sounds) play(going);
  });
  part(".replay-click").addEventListener("change", (event) => set({ replay_click: event.target.checked }));
  part("[type=range]").addEventListener("input", (event) => {
    set({ tone: Number(event.target.value) });
    hear.volume = settings().tone;
  });

  function draw(what, playback) {
    shown = what;
    show(root, what !== null);
    const silent = what !== null && !canBeHeard(what.rep);
    for (const button of root.querySelectorAll("[data-hear]")) {
      const { hear: kind } = button.dataset;
      button.disabled = kind === "rep" && silent;
      button.setAttribute("aria-pressed", String(playback?.kind === kind));
    }
    for (const button of root.querySelectorAll("[data-factor]"))
      button.setAttribute("aria-pressed", String(Number(button.dataset.factor) === factor()));
    part(".replay-click").checked = settings().replay_click;
    if (document.activeElement !== part("[type=range]")) part("[type=range]").value = settings().tone;
    say(part("[role=status]"), silent ? NOTHING_HEARD : playback?.kind in sounds ? playback.words : HINT);
  }
  return { play, draw };
}
