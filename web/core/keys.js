/**
 * The keyboard: space starts and stops, the arrows change the tempo or sound a rep and its model, wherever no control
 * needs the key itself.
 *
 * Where a drill is offered, Enter starts it.
 *
 * While the player is asked about a rep, three arrows answer: they lie side by side, and as early and late do in the strip.
 */

const STEPS = { ArrowUp: 1, ArrowDown: -1, PageUp: 4, PageDown: -4 };
const GUESSES = { ArrowLeft: "early", ArrowDown: "on", ArrowRight: "late" };
const SOUNDS = { ArrowLeft: "rep", ArrowRight: "model" };
const OWN_SPACE = "button, input, select, textarea, summary, [role=option]";
const OWN_ENTER = "a, button, input, select, textarea, summary, label";
const OWN_ARROWS = "input, select, textarea, [role=option], [role=listbox]";
/** In a list of options, up and down walk; left and right are free there. */
const OWN_SIDEWAYS = "input, select, textarea";

/** The keys with which a rep and its model are heard, and hushed. */
function sounds({ key, target }) {
  if (key in SOUNDS) return target.closest?.(OWN_SIDEWAYS) ? null : { act: "hear", kind: SOUNDS[key] };
  return key === "Escape" ? { act: "hush" } : null;
}

/**
 * What a key asks for: {act: "toggle"}, {act: "tempo", by}, {act: "guess", word} if `asked`, {act: "hear", kind},
 * {act: "accept"}, {act: "hush"}, or null. Pure but for the page's focus.
 */
function meaning(event, asked = false) {
  const { target } = event;
  if (event.ctrlKey || event.altKey || event.metaKey || target.closest?.("dialog")) return null;
  if (event.key === " " && !event.repeat) return target.closest?.(OWN_SPACE) ? null : { act: "toggle" };
  if (event.key === "Enter" && document.querySelector("#listen:not([hidden])"))
    return event.repeat || target.closest?.(OWN_ENTER) ? null : { act: "accept" };
  if (document.querySelector("#practise[hidden]"))
    return document.querySelector("#history:not([hidden]), #tunes:not([hidden])") ? sounds(event) : null;
  if (asked && event.key in GUESSES && !event.repeat)
    return target.closest?.(OWN_ARROWS) ? null : { act: "guess", word: GUESSES[event.key] };
  if (event.key in STEPS) return target.closest?.(OWN_ARROWS) ? null : { act: "tempo", by: STEPS[event.key] };
  return sounds(event);
}

/** Listen on the document; `asked` says whether the player is asked about a rep. */
export function listen({ toggle, tempo, guess, asked, hear, hush, accept }) {
  const acts = {
    toggle,
    hush,
    accept,
    guess: ({ word }) => guess(word),
    tempo: ({ by }) => tempo(by),
    hear: ({ kind }) => hear(kind),
  };
  document.addEventListener("keydown", (event) => {
    const meant = meaning(event, asked());
    if (meant === null) return;
    if (meant.act !== "hush") event.preventDefault();
    acts[meant.act](meant);
  });
}
