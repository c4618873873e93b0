/** Hearing a tune or a passage of it, with its ornaments, at a tempo; the note that sounds is shown in the music. */

import * as api from "../core/api.js";
import { held, tempoFrom } from "../practise/controls.js";
import { fill, html, say } from "../ui/html.js";
import { badTempo } from "../ui/words.js";
import { cursorIn } from "./music.js";
import { HEAR, STOP, heardWords, passageWords } from "./words.js";
import { passagesOf, soundingAt } from "./state.js";

/**
 * draw(open) and follow(head_ms): the row under a tune's name.
 *
 * `hear` sounds it, `tuning()` is fetched, `halt()` stops a run that goes on: chanter and model must not sound at once.
 */
export function hearRow(find, { hear, attempt, tuning, range, halt }) {
  let open = null;
  let heard = null; // the daemon's {notes, clicks, end_s} that sounds or sounded last
  let drill = null;
  const light = cursorIn(find("#tune-parts"), (row) => row.scrollIntoView({ block: "nearest" }), "sounding");

  const passages = () => (open ? passagesOf(open.tune, drill) : []);
  const passage = () => passages().find((one) => one.key === find("#tune-passage").value) ?? passages()[0];

  function tempo() {
    const click_bpm = tempoFrom(find("#tune-tempo").value);
    if (click_bpm === null || held(click_bpm, range()) !== click_bpm)
      throw new api.Refused(badTempo(find("#tune-tempo").value, range()));
    return click_bpm;
  }

  async function play() {
    const click_bpm = tempo();
    const { tune, title } = open.tune; // before we wait: another tune may be opened meanwhile
    const { first, last } = passage();
    const words = heardWords(title, passage());
    const chosen = await tuning();
    await halt();
    const click = find("#tune-click").checked;
    const made = async () => {
      heard = await api.heardTune(tune, first, last, click_bpm);
      return { score: heard, tuning: chosen, click };
    };
    await hear.sound({ kind: "tune", words, factor: 1, beat_s: 0 }, made);
  }

  find("#tune-hear").addEventListener("submit", (event) => {
    event.preventDefault();
    if (hear.playing === "tune") hear.stop();
    else attempt(play);
  });

  return {
    passages,
    chosen: passage,
    tempo,
    choose(key) {
      find("#tune-passage").value = key;
    },
    draw(next, of) {
      const begins = of !== null && of !== drill; // the ornament that was just chosen is what to take out
      [open, drill] = [next, of];
      if (!open) return;
      const options = passages().map((one) => html`<option value="${one.key}">${passageWords(one)}</option>`);
      fill(find("#tune-passage"), html`${options}`);
      if (begins) find("#tune-passage").value = passages()[0].key;
    },
    follow(head_ms) {
      const playing = hear.playing === "tune" && head_ms !== null;
      say(find("#tune-play"), playing ? STOP : HEAR);
      light(playing ? soundingAt(heard.notes, head_ms / 1000) : null);
    },
  };
}
