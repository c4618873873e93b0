/** The tune that a player was noticed to play: its music with a cursor, each ornament's mark as it was played this time. */

import * as api from "../core/api.js";
import { say, show } from "../ui/html.js";
import { drawing } from "../ui/staff.js";
import { cursorIn, drawMarks } from "../tunes/music.js";
import { rowWidth } from "../tunes/state.js";
import { playingWords } from "./words.js";

/** How each ornament went that was played so far, the last time it was: Map(note -> {drill, mastery}). */
export const marksOf = (verdicts, { notes }) =>
  new Map(verdicts.map(({ note, rep: { clean } }) => [note, { drill: notes[note].drill ?? "", mastery: clean ? "steady" : "not yet" }]));

/** Which part of a tune a note is in, from 0; before any note was heard the first. */
export const partOf = ({ parts }, note) => Math.max(0, parts.findIndex(([first, last]) => first <= (note ?? 0) && (note ?? 0) <= last));

/** draw(seat): the section, hidden while no tune is played; `leave()` has it followed no longer. */
export function tuneNow(find, { attempt, redraw, leave }) {
  const place = find("#listen-music");
  const light = cursorIn(place, (row) => {
    place.scrollTop += row.getBoundingClientRect().top - place.getBoundingClientRect().top - place.clientHeight / 4;
  });
  let open = null; // {key, tune}: the tune that was fetched, or is about to be
  let drawn = { part: null, width: null };
  let marked = null;

  find("#listen-leave").addEventListener("click", leave);

  async function fetch(key) {
    open = { key, tune: null };
    const tune = await api.tune(key);
    if (open.key !== key) return;
    open = { key, tune };
    drawn = { part: null, width: null };
    redraw();
  }

  async function engrave(part, width) {
    const { key } = open;
    const svg = drawing(await api.tuneStaff(key, part + 1, width), 0);
    if (open.key !== key || drawn.part !== part || drawn.width !== width) return;
    place.replaceChildren(svg);
    marked = null;
    redraw();
  }

  return {
    /** The bar of a note of the tune; null while the tune is not there yet. */
    barOf: (note) => open?.tune?.notes[note]?.bar ?? null,
    draw({ tune_run, verdicts }) {
      const run = tune_run?.noticed ? tune_run : null;
      show(find("#listen-tune"), run !== null);
      if (run === null) return light(null);
      if (open?.key !== run.tune) {
        place.replaceChildren();
        attempt(() => fetch(run.tune));
      }
      const tune = open?.key === run.tune ? open.tune : null;
      say(find("#listen-title"), playingWords(run, tune));
      say(find("#listen-verdict"), run.going ? "" : (run.result?.summary.said ?? ""));
      find("#listen-open").href = `#tunes/${encodeURIComponent(run.tune)}`;
      show(find("#listen-leave"), run.going);
      if (tune === null || place.clientWidth === 0) return null;
      const part = partOf(tune, run.cursor);
      const width = rowWidth(place.clientWidth, parseFloat(getComputedStyle(place).fontSize));
      if (drawn.part !== part || drawn.width !== width) {
        drawn = { part, width };
        attempt(() => engrave(part, width));
      }
      const svg = place.querySelector(":scope > svg");
      if (svg && marked !== verdicts) {
        marked = verdicts;
        drawMarks(svg, marksOf(verdicts, tune));
      }
      return light(run.going ? run.cursor : null);
    },
  };
}
