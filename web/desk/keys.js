/** The desk's keyboard, and a presenter's clicker, which sends Page Up and Page Down. Pure but for `listen`. */

import { onward } from "../core/klass.js";

const OWN = "input, select, textarea, [role=option]";
const OWN_SPACE = `${OWN}, button, summary, a`;

/** What a key asks for, or null: {act: "toggle" | "start" | "stop" | "freeze" | "light" | "replay" | "alone" | "everybody", …}. */
export function meaning({ key, repeat, ctrlKey, altKey, metaKey, target }, klass, seats) {
  if (repeat || ctrlKey || altKey || metaKey) return null;
  if (key === "PageDown") return onward(klass);
  if (key === "PageUp") return { act: "stop" };
  if (key === " ") return target?.closest?.(OWN_SPACE) ? null : { act: "toggle" };
  if (target?.closest?.(OWN)) return null;
  if (key === "Escape") return { act: "everybody" };
  const letter = key.toLowerCase();
  if (letter === "h") return klass?.state === "playing" ? { act: "freeze", frozen: !klass.frozen } : null;
  if (/^[1-9]$/.test(key)) return seats.includes(key) ? { act: "light", seat: key } : null;
  const seat = klass?.spotlight ?? null;
  if (letter === "r" && seat !== null) return { act: "replay", seat };
  if (letter === "a" && seat !== null && klass.state === "playing") return { act: "alone", seat: klass.alone === seat ? null : seat };
  return null;
}

/** Listen on the document; `now()` gives {klass, seats}, `acts` a function for each act. */
export function listen(now, acts) {
  document.addEventListener("keydown", (event) => {
    const { klass, seats } = now();
    const meant = meaning(event, klass, seats);
    if (meant === null) return;
    event.preventDefault();
    acts[meant.act](meant);
  });
}
