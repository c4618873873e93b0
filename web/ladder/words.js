/** What the page says of tempo ladders, and of clicks and beats. What the daemon says of a ladder is shown as it is. */

/** A tempo as it is written: no more decimals than it has. */
export const tempoWords = (bpm) => String(Math.round(bpm * 100) / 100);

/** Beats a minute, of clicks a minute and how many clicks a beat has. */
export const beatsOf = (click_bpm, toBeat) => click_bpm / toBeat;

/** The rule on one line, for the closed panel. */
export const ruleWords = (rule) =>
  `${tempoWords(rule.first_bpm)} to ${tempoWords(rule.top_bpm)}, ${rule.in_a_row} in a row`;

/** How much of the row is there. */
export const rowWords = (ladder) => `${ladder.row} of ${ladder.rule.in_a_row} in a row`;

/** How many tries are left, the one under way included. */
export function triesWords(ladder) {
  if (ladder.phase === "over") return "";
  return ladder.tries_left === 1 ? "last try" : `${ladder.tries_left} tries left`;
}

/** What the ladder is about now. */
const PHASE = {
  climbing: "climbing",
  falling: "down until it comes",
  proving: "proving it",
  over: "over",
};

/** The picture of the ladder as a sentence for those who listen to the page. */
export const rungsSentence = (ladder) =>
  `${PHASE[ladder.phase]}: at ${tempoWords(ladder.click_bpm)} of ${tempoWords(ladder.rule.first_bpm)} to ` +
  `${tempoWords(ladder.rule.top_bpm)}${performingWords(ladder.rule)}.`;

const performingWords = ({ performing_bpm }) =>
  performing_bpm === null ? "" : `, performing tempo ${tempoWords(performing_bpm)}`;

export const RULE = {
  first_bpm: "First tempo",
  raise_bpm: "Raise by",
  top_bpm: "Top",
  performing_bpm: "Performing",
};

/** What may be left out, and what its field says then. */
export const MAY_BE_NONE = { performing_bpm: "none" };

export const OFF = "Tempo ladder: off";
export const OWN_TEMPI = "tempi of your own";
export const START_LADDER = "Climb";
export const MAKE_READY = "Make ready";
export const COUNTED_IN = "Four clicks are counted in at the new tempo.";

/** What is played at which tempo: the sentence under the choice of a tune. */
export const paceWords = (pace) =>
  `${pace.said} ${tempoWords(pace.low)} to ${tempoWords(pace.high)} beats a minute. ${pace.source}`;

export const LADDER_CHANGED =
  "The rule is locked while the ladder runs, so your change has ended it. Press Climb to begin by the new rule.";
export const LADDER_SETS_TEMPO =
  "The ladder sets the tempo while it runs. Stop it first if you want another one.";

const LIMITS = { raise_bpm: [1, 20], in_a_row: [1, 100], tries: [1, 100] };
const COUNTED = { in_a_row: "Clean in a row", tries: "Down after" };

/** Why there can be no ladder by this rule, in the player's words; null: there can. `range` is the daemon's of tempi. */
export function ruleTrouble(rule, range) {
  for (const [field, value] of Object.entries(rule)) {
    if (field === "performing_bpm" && value === null) continue; // there is none to prove
    const [low, high] = LIMITS[field] ?? range;
    const name = RULE[field] ?? COUNTED[field];
    if (value < low || value > high) return `${name} is ${tempoWords(value)}; it must be from ${low} to ${high}.`;
    if (field in COUNTED && !Number.isInteger(value)) return `${name} is ${value}; it must be a whole number.`;
  }
  for (const field of ["first_bpm", "performing_bpm"]) {
    if (rule[field] > rule.top_bpm)
      return `${RULE[field]} is ${tempoWords(rule[field])} clicks, above the top, ${tempoWords(rule.top_bpm)}. Lower it, or raise the top first.`;
  }
  return null;
}

export const badRule = (name, typed) => `'${name}' of the ladder is '${typed}'; it must be a number.`;
