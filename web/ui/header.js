/** The header and the notices under it: how the chanter, the daemon and the sound are. */

import { say, show } from "./html.js";
import { VIEWS } from "../core/route.js";
import { running } from "../core/state.js";
import { SIGNS } from "./icons.js";
import { AWAY, CHANTER, goingWords, soundingWords } from "./words.js";

/** A gracenote is gone before it can be read: a note is shown once it has sounded this long. */
const STEADY_MS = 70;

/** Which note to show, calmly: a new one when it has lasted; a stray one or silence at once. Pure. */
export function steady(shown, sounding, sounded_ms) {
  const words = soundingWords(sounding);
  return !sounding.note || !(sounded_ms < STEADY_MS) ? words : (shown ?? words);
}

export function header(find) {
  const parts = {
    name: find("#chanter-name"),
    state: find("#chanter-state"),
    sign: find("#chanter-sign"),
    symbol: find(".chanter .state"),
    sounding: find("#sounding"),
    sounds: find("#sounds"),
  };
  let shown = null;
  let drawn = { chanter: null, sounding: null, unsteady: true };
  return (seat, clock, page_ms) => {
    const { chanter, sounding } = seat;
    if (!drawn.unsteady && drawn.chanter === chanter && drawn.sounding === sounding) return false;
    say(parts.name, chanter.input);
    parts.name.dataset.ready = "";
    say(parts.state, CHANTER[chanter.state] ?? chanter.state);
    parts.symbol.dataset.state = chanter.state;
    parts.sign.setAttribute("d", SIGNS[chanter.state] ?? SIGNS.waiting);
    const sounded_ms = (clock.toDaemon_ns(page_ms) - sounding.at_ns) / 1e6;
    shown = steady(shown, sounding, sounded_ms);
    say(parts.sounding, shown);
    parts.sounding.classList.toggle("aside", !sounding.note);
    show(parts.sounds, Boolean(sounding.note || sounding.midi));
    drawn = { chanter, sounding, unsteady: sounded_ms < STEADY_MS };
    return drawn.unsteady;
  };
}

/** draw(...) what is the matter; `acts` says by the id of a notice what its button does. */
export function notices(find, acts) {
  for (const [id, act] of Object.entries(acts)) find(`#${id} button`).addEventListener("click", act);
  const text = (id) => find(`${id} span`);
  return (state, seat, { blocked, refused, wait_s }) => {
    const away = state.link.state === "away" && state.daemon !== null;
    show(find("#away"), away);
    if (away) say(text("#away"), AWAY(wait_s));
    const unready = Boolean(seat?.run) && !away && seat.chanter.state !== "ready";
    show(find("#unready"), unready);
    if (unready) say(text("#unready"), seat.chanter.said);
    const notSaved = state.daemon !== null && !state.daemon.history.kept;
    show(find("#not-saved"), notSaved);
    if (notSaved) say(text("#not-saved"), state.daemon.history.said);
    show(find("#silent"), blocked);
    show(find("#refused"), refused !== null);
    say(text("#refused"), refused ?? "");
    show(find("#trouble"), state.trouble !== null);
    if (state.trouble)
      say(
        text("#trouble"),
        state.trouble.times > 1 ? `${state.trouble.said} (${state.trouble.times} times)` : state.trouble.said,
      );
  };
}

/** draw(state, seat, rep): a run that goes on while another view is shown, with a button that stops it. */
export function elsewhereView(find, stop) {
  find("#elsewhere button").addEventListener("click", stop);
  return ({ view }, seat, rep) => {
    const elsewhere = seat !== null && running(seat) && view !== "practise";
    show(find("#elsewhere"), elsewhere);
    if (elsewhere) say(find("#elsewhere a"), goingWords(seat.run, rep));
  };
}

/** draw(state): which view is shown, in the links and in the window's title. */
export function viewLinks(find) {
  return ({ view }) => {
    for (const each of VIEWS) show(find(`#${each}`), each === view);
    show(find("#sheet-open"), view === "book");
    for (const link of document.querySelectorAll("a[data-view]")) {
      if (link.dataset.view !== view) link.removeAttribute("aria-current");
      else {
        link.setAttribute("aria-current", "page");
        say(find("title"), `${link.textContent} · chanterd`);
      }
    }
  };
}
