/**
 * The beat without flashing: a dot that moves from the note before, through the beat, to the end of the rep.
 *
 * Where the reader asked for less motion it steps from click to click instead.
 */

import { segmentAt } from "./reading.js";
import { patch } from "../ui/svg.js";

const WIDTH = 200;
const HEIGHT = 20;
const EDGE = 8;

/** What is under way at a beat, in clicks: the count-in, which has no own beat, or a rep. */
const spanAt = ({ grid, ...run }, beat) =>
  beat < 0 ? { starts: -grid.count_in, beat: null, ends: 0 } : segmentAt(run, beat);

/** The marks of the track at a beat of the run; `smooth` false: only from click to click. Pure. */
export function track(run, beat, smooth) {
  const reach = WIDTH - 2 * EDGE;
  const span = spanAt(run, beat);
  const place = Math.min(Math.max(smooth ? beat : Math.floor(beat), span.starts), span.ends);
  const x = (click) => EDGE + ((click - span.starts) / (span.ends - span.starts)) * reach;
  const first = Math.ceil(span.starts);
  const posts = Array.from({ length: Math.floor(span.ends) - first + 1 }, (_, index) => {
    const click = first + index;
    const own = click === span.beat;
    return {
      key: `post ${index}`,
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
    { key: "dot", tag: "circle", class: "dot", cx: x(place), cy: HEIGHT / 2, r: 6 },
  ];
}

/** draw(run or null, beat) for an <svg>. */
export function beatDot(svg) {
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  svg.setAttribute("viewBox", `0 0 ${WIDTH} ${HEIGHT}`);
  return (run, beat) => patch(svg, run && Number.isFinite(beat) ? track(run, beat, !still.matches) : []);
}
