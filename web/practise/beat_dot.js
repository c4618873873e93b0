/**
 * The beat without flashing: a dot that moves from the note before, through the beat, to the end of the rep.
 *
 * Where the reader asked for less motion it steps from click to click instead.
 */

import { patch } from "../ui/svg.js";

const WIDTH = 200;
const HEIGHT = 20;
const EDGE = 8;

/** The marks of the track at a beat of the run; `smooth` false: only whole clicks. Pure. */
export function track(grid, beat, smooth) {
  const reach = WIDTH - 2 * EDGE;
  const span = beat < 0 ? grid.count_in : grid.clicks_per_rep;
  const within = beat < 0 ? beat + grid.count_in : beat % grid.clicks_per_rep;
  const place = Math.max(0, smooth ? within : Math.floor(within));
  const x = (click) => EDGE + (click / span) * reach;
  const posts = Array.from({ length: span + 1 }, (_, click) => {
    const own = beat >= 0 && click === grid.ornament_beat;
    return {
      key: `post ${click}`,
      tag: "line",
      class: own ? "post own" : "post",
      x1: x(click),
      x2: x(click),
      y1: own ? 1 : 6,
      y2: own ? HEIGHT - 1 : HEIGHT - 6,
    };
  });
  return [
    { key: "way", tag: "line", class: "way", x1: EDGE, x2: WIDTH - EDGE, y1: HEIGHT / 2, y2: HEIGHT / 2 },
    ...posts,
    { key: "dot", tag: "circle", class: "dot", cx: x(Math.min(place, span)), cy: HEIGHT / 2, r: 6 },
  ];
}

/** draw(grid or null, beat) for an <svg>. */
export function beatDot(svg) {
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  svg.setAttribute("viewBox", `0 0 ${WIDTH} ${HEIGHT}`);
  return (grid, beat) => patch(svg, grid && Number.isFinite(beat) ? track(grid, beat, !still.matches) : []);
}
