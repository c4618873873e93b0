/** The bar of a plan that is gone through: where it is, what is left, what comes next; pause, skip, stop. */

import * as api from "../core/api.js";
import { say, show } from "../ui/html.js";
import { GO_ON, PAUSE, SKIP, SKIP_BREAK, leftWords, placeWords, thenWords } from "./words.js";

const OVER = ["done", "stopped"];

/**
 * draw(player or null); `now()` is the player, `close()` takes a session that is over off the page.
 *
 * `lead(tune)` shows where a part is played once it begins: a tune by its key, or null for a drill.
 */
export function sessionBar(find, { now, attempt, close, lead }) {
  let begun = null;

  function follow({ plan, state, paused, part }) {
    const place = `${plan.key} ${part}`;
    if (OVER.includes(state)) begun = null; // the same plan may begin again before this one is closed
    if (state !== "playing" || paused || place === begun) return;
    begun = place;
    lead(plan.parts[part].tune);
  }

  const act = (id, what) => find(id).addEventListener("click", () => attempt(() => what(now().seat)));
  act("#session-pause", (seat) => (now().session.paused ? api.goOn(seat) : api.pausePlan(seat)));
  act("#session-skip", api.skipPart);
  act("#session-stop", api.stopPlan);
  find("#session-close").addEventListener("click", close);

  return (seat) => {
    const session = seat?.session ?? null;
    show(find("#session"), session !== null);
    document.body.classList.toggle("planned", session !== null);
    if (session === null) {
      begun = null;
      return;
    }
    follow(session);
    const over = OVER.includes(session.state);
    find("#session").dataset.state = session.paused ? "paused" : session.state;
    say(find("#session-place"), over ? "" : placeWords(session));
    const news = session.state === "playing" ? "" : session.news;
    say(find("#session-said"), [news, session.said, session.reminder].filter(Boolean).join(" "));
    say(find("#session-left"), over ? "" : leftWords(session));
    say(find("#session-then"), over ? "" : thenWords(session));
    const done = session.part + (session.state === "done" ? 1 : 0);
    Object.assign(find("#session-done"), { max: session.plan.parts.length, value: done });
    say(find("#session-pause"), session.paused ? GO_ON : PAUSE);
    say(find("#session-skip"), session.state === "break" ? SKIP_BREAK : SKIP);
    for (const id of ["#session-pause", "#session-skip", "#session-stop"]) show(find(id), !over);
    show(find("#session-close"), over);
  };
}
