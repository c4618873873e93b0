/** What a player does on the page: start and stop, want another drill or tempo, answer, go to the chanter from elsewhere. */

import * as api from "../core/api.js";
import { repToGuess } from "../core/feedback_filter.js";
import { busyAt, climbing, running, tempoShown, want } from "../core/state.js";
import { valueFrom } from "../ladder/form.js";
import { LADDER_CHANGED, LADDER_SETS_TEMPO } from "../ladder/words.js";
import { NOT_YET, NO_DRILL, badTempo } from "../ui/words.js";
import { held } from "./controls.js";

/** A run that goes on begins again with what is newly wanted this long after the last change. */
const RESTART_MS = 700;

/**
 * The actions, of a `page` with {state, settings, refused, restart, arriving, starting, waiting}; `shown()` is the seat on it, or null.
 *
 * `change(state)` takes a new state, `refuse(said)` says why not, `sound()` makes the page sound, `hush()` ends a playback.
 */
export function actions({ find, page, shown, change, draw, refuse, attempt, sound, set, closeFlyouts, hush }) {
  const start = () => {
    hush();
    page.starting = true;
    return attempt(async () => {
      const { seat, wanted } = shown();
      if (wanted.drill === "") throw new api.Refused(NO_DRILL);
      await api.startPractice(seat, wanted);
    });
  };

  function toggle() {
    if (!shown()) return refuse(NOT_YET);
    sound();
    closeFlyouts();
    clearTimeout(page.restart);
    if (busyAt(shown())) attempt(() => api.stopPractice(shown().seat));
    else start();
  }

  /** The player at the seat may put the beat of a drill elsewhere than the book does: then that drill is wanted. */
  async function wishTheirs(drill) {
    const { seat } = shown();
    try {
      const listed = await api.drill(drill, seat);
      const wanted = shown()?.seat === seat && shown().wanted.drill === drill;
      if (wanted && listed.placements.length > 1 && listed.drill !== drill) change(want(page.state, seat, { drill: listed.drill }));
    } catch (error) {
      if (!(error instanceof api.Refused)) throw error; // Start says why
    }
  }

  /** The player puts the beat of the drill's ornament where the drill has it, now and from now on. */
  const placeBeat = (drill) =>
    attempt(async () => {
      await api.placeBeat(shown().seat, drill);
      wish({ drill });
    });

  /** Want something else; a run that goes on begins again with it, once the player has settled, and a ladder ends. */
  function wish(what) {
    if (!shown()) return;
    const locked = climbing(shown());
    change(want(page.state, shown().seat, what));
    if (what.rule) set({ rule: what.rule });
    if (what.drill) wishTheirs(what.drill);
    clearTimeout(page.restart);
    if (locked) endLadder();
    else if (running(shown())) page.restart = setTimeout(start, RESTART_MS);
  }

  /** The rule is locked while a ladder runs: a change ends it, and says so. */
  async function endLadder() {
    await attempt(() => api.stopPractice(shown().seat));
    refuse(page.refused ?? LADDER_CHANGED);
  }

  /** Want another tempo, in clicks: the first of the ladder, if one is to be climbed. */
  function setTempo(click_bpm) {
    const seat = shown();
    if (!seat) return;
    if (climbing(seat)) refuse(LADDER_SETS_TEMPO);
    else wish(seat.wanted.climbs ? { rule: { ...seat.wanted.rule, first_bpm: click_bpm } } : { click_bpm });
  }

  const nudge = (by) => {
    if (shown()) setTempo(held(tempoShown(shown()) + by, page.state.daemon.tempo_range));
  };

  /** Answer what is asked about a rep. */
  function guess(word) {
    const rep = repToGuess(shown());
    if (rep !== null) attempt(() => api.guess(shown().seat, rep, word));
  }

  /** Out of the book or the progress view, onto the chanter; at that tempo, if one is named. */
  function practise(drill, click_bpm = null) {
    const choose = () => wish(click_bpm === null ? { drill } : { drill, click_bpm });
    if (shown()) choose();
    else page.waiting.push(choose); // nobody's wishes are known yet
    location.hash = "#practise";
    page.arriving = true;
  }

  /** What was advised, chosen by its button: the drill and, if one is said, the tempo; the space bar starts it. */
  function advised({ practise, tempo }) {
    wish(tempo === "" ? { drill: practise } : { drill: practise, click_bpm: Number(tempo) });
    find("#toggle").focus();
  }

  /** Out of the plans, onto the chanter; `begin(player)` asks the daemon. */
  async function startPlan(begin) {
    if (!shown()) return refuse(NOT_YET);
    sound();
    page.starting = true;
    await attempt(() => begin(shown().seat));
    if (page.refused === null) location.hash = "#practise";
  }

  /** A line of today's proposal, onto the chanter. */
  function startLine({ drill, click_bpm }) {
    const goesOn = running(shown());
    sound();
    wish({ drill, click_bpm, climbs: false });
    location.hash = "#practise";
    page.arriving = true;
    if (!goesOn) start();
  }

  function typedTempo(input, unit) {
    if (!shown()) return;
    const { to_beat } = page.settings;
    const tempo = valueFrom(input.value, unit, to_beat);
    const { tempo_range: range } = page.state.daemon;
    const taken = tempo !== null && held(tempo, range) === tempo;
    page.refused = taken ? null : badTempo(input.value, unit === "beats" ? range.map((bpm) => bpm / to_beat) : range, unit);
    if (taken && tempo !== tempoShown(shown())) setTempo(tempo);
    draw();
  }

  return { advised, guess, nudge, placeBeat, practise, startLine, startPlan, toggle, typedTempo, wish };
}
