/** The lanes of the strip, one under the other: {y, height, bottom} each. Pure; CSS pixels. */

/** Heights, in rem, of the lanes that hold words; what asked and played should have between them, and the least. */
const WORDS = { beat: 1.7, names: 1.6, leader: 0.6, extras: 3.2, axis: 1.5 };
/** The height of a second row of names. */
const SECOND_ROW = 0.9;
const GOOD_REST = 7;
const LEAST_REST = 3.4;
/** With less the row for names that are not there goes to asked and played. */
const LOW_REST = 5;

/** The height that is left beside the words and `rest` rem. */
const roomBeside = (height, rem, rest) => height - rem * Object.values(WORDS).reduce((sum, tall) => sum + tall, rest);

/** The height that the figures may take. */
export const figureRoom = (height, rem) => roomBeside(height, rem, GOOD_REST);

/**
 * The lanes from top to bottom: what figures and words leave over goes to the asked and the played.
 *
 * In a low strip the row for names above the asked goes to them too, unless there are names in it: `above` is how many rows of them.
 */
export function lanesOf(height, rem, figuresHeight, above) {
  const fixed = Object.fromEntries(Object.entries(WORDS).map(([name, tall]) => [name, tall * rem]));
  fixed.figures = figuresHeight;
  if (above > 1) fixed.names += SECOND_ROW * rem;
  let left = roomBeside(height, rem, 0) - figuresHeight - (fixed.names - WORDS.names * rem);
  if (above === 0 && left < LOW_REST * rem) {
    left += fixed.names;
    fixed.names = 0;
  }
  const rest = Math.max(left, LEAST_REST * rem);
  const tall = {
    ...fixed,
    asked: Math.min(rest * 0.27, 5 * rem),
    join: Math.min(rest * 0.31, 7 * rem),
    played: Math.min(rest * 0.42, 8 * rem),
  };
  const lanes = {};
  let y = 0;
  for (const name of ["beat", "names", "asked", "join", "played", "leader", "figures", "extras"]) {
    lanes[name] = { y, height: tall[name], bottom: y + tall[name] };
    y += tall[name];
  }
  lanes.axis = { y: height - fixed.axis, height: fixed.axis, bottom: height };
  return lanes;
}
