/**
 * A timer in a thread of its own: browsers slow a page's own timers down, to one a minute in the end, while nobody looks
 * at it (common practice of browsers, from memory), and the class would take the chanter for gone.
 */

let timer = null;

addEventListener("message", ({ data: { every_ms } }) => {
  clearInterval(timer);
  timer = every_ms === null ? null : setInterval(() => postMessage(null), every_ms);
});
