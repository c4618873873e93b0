/** The figures of a run, from the reps that are kept: bias apart from scatter, both robust. Pure. */

const LEAST = 3;
/** 1 / Phi^-1(3/4): makes the median absolute deviation of normal data equal its standard deviation. */
const TO_SD = 1.482602218505602;

export function median(values) {
  const sorted = [...values].sort((one, other) => one - other);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

/** The robust standard deviation: the median distance from the median, scaled. */
export function scatter(values) {
  const centre = median(values);
  return TO_SD * median(values.map((value) => Math.abs(value - centre)));
}

/** {middle, scatter, count} of the values, or null while there are fewer than three: too few to call it a habit. */
export function summary(values) {
  return values.length < LEAST ? null : { middle: median(values), scatter: scatter(values), count: values.length };
}

/** Where the step on the beat fell: ms, + = late. */
export const placement = (reps) => summary(reps.map((rep) => rep.anchor_ms).filter((ms) => ms !== null));

/** How long the steps that carry the shape lasted, as the judge measured them: the held ones, or the quick ones of an ornament that has no held. */
export function lengths(reps) {
  const of = (kind) => reps.flatMap((rep) => rep.shape[kind].lengths_ms);
  const kind = of("held").length > 0 ? "held" : "quick";
  const found = summary(of(kind));
  return found && { ...found, kind };
}
