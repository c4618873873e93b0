/** The keyboard: space starts and stops, the arrows change the tempo, wherever no control needs the key itself. */

const STEPS = { ArrowUp: 1, ArrowDown: -1, PageUp: 4, PageDown: -4 };
const OWN_SPACE = "button, a, input, select, textarea, summary, [role=option]";
const OWN_ARROWS = "input, select, textarea, [role=option], [role=listbox]";

/** What a key asks for: {act: "toggle"}, {act: "tempo", by}, or null. `target` is the focused element. Pure but for it. */
export function meaning(event) {
  const { target } = event;
  if (event.ctrlKey || event.altKey || event.metaKey || target.closest?.("dialog") || document.querySelector("#practise[hidden]")) return null;
  if (event.key === " " && !event.repeat) return target.closest?.(OWN_SPACE) ? null : { act: "toggle" };
  if (event.key in STEPS) return target.closest?.(OWN_ARROWS) ? null : { act: "tempo", by: STEPS[event.key] };
  return null;
}

/** Listen on the document. */
export function listen({ toggle, tempo }) {
  document.addEventListener("keydown", (event) => {
    const asked = meaning(event);
    if (asked === null) return;
    event.preventDefault();
    if (asked.act === "toggle") toggle();
    else tempo(asked.by);
  });
}
