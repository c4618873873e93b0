/**
 * How large letters must be to be read from the last row. Pure; CSS pixels.
 *
 * ISO 9241-303 asks for capitals of at least 16 minutes of arc (20 to 22 preferred); capitals are about 0.7 of the size
 * of a sans-serif letter (from memory, by most system fonts).
 */

const LEAST_ARC_MINUTES = 16;
const CAPITAL_OF_SIZE = 0.7;

/** The height of a capital that far away, in metres. */
export const capital_m = (distance_m) => distance_m * Math.tan((LEAST_ARC_MINUTES / 60) * (Math.PI / 180));

/** The least size of letters in a picture so wide on the wall (metres) and so wide on the screen (pixels). */
export const letterSize = ({ picture_m, distance_m }, width) =>
  (capital_m(distance_m) / CAPITAL_OF_SIZE) * (width / picture_m);
