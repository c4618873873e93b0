/** The header and the notices under it: how the chanter, the daemon and the sound are. */

import { say, show } from "./html.js";
import { VIEWS } from "../core/route.js";
import { SIGNS } from "./icons.js";
import { AWAY, CHANTER, soundingWords } from "./words.js";

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
  return (seat, clock, page_ms) => {
    const { chanter, sounding } = seat;
    say(parts.name, chanter.input);
    parts.name.dataset.told = "";
    say(parts.state, CHANTER[chanter.state] ?? chanter.state);
    parts.symbol.dataset.state = chanter.state;
    parts.sign.setAttribute("d", SIGNS[chanter.state] ?? SIGNS.waiting);
    const sounded_ms = (clock.toDaemon_ns(page_ms) - sounding.at_ns) / 1e6;
    shown = steady(shown, sounding, sounded_ms);
    say(parts.sounding, shown);
    parts.sounding.classList.toggle("aside", !sounding.note);
    show(parts.sounds, Boolean(sounding.note || sounding.midi));
    return sounded_ms < STEADY_MS;
  };
}

/** draw(...) what is the matter; `acts` says by the id of a notice what its button does. */
export function notices(find, acts) {
  for (const [id, act] of Object.entries(acts)) find(`#${id} button`).addEventListener("click", act);
  const text = (id) => find(`${id} span`);
  return (state, seat, { blocked, refused }, page_ms) => {
    const away = state.link.state === "away" && state.daemon !== null;
    show(find("#away"), away);
    if (away) say(text("#away"), AWAY(Math.max(0, Math.ceil((state.link.again_at_ms - page_ms) / 1000))));
    const unready = Boolean(seat?.run) && !away && seat.chanter.state !== "ready";
    show(find("#unready"), unready);
    if (unready) say(text("#unready"), seat.chanter.said);
    const unkept = state.daemon !== null && !state.daemon.history.kept;
    show(find("#unkept"), unkept);
    if (unkept) say(text("#unkept"), state.daemon.history.said);
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
