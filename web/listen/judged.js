/** The last ornament of a tune that is followed, as the tune's own judge heard it, in the shape of one that was recognised. Pure. */

const MS_PER_NS = 1e-6;

const stepOf = ({ note, kind, state, played_note = null, onset_ms, length_ms }, from_ms) => ({
  note, kind, state, played_note, onset_ms: onset_ms === null ? null : from_ms + onset_ms, length_ms,
});

/** A "tune ornament" frame as an ornament; its times count from the beginning of the run. */
function ornamentOf({ asked, rep, note }, { grid }) {
  const from_ms = grid.beat0_ns * MS_PER_NS;
  const steps = rep.steps.map((step) => stepOf(step, from_ms));
  const played = steps.filter((step) => step.onset_ms !== null);
  return {
    note,
    start_ms: played.at(0)?.onset_ms ?? from_ms,
    theme_ms: played.at(-1)?.onset_ms ?? from_ms,
    ornament: asked.ornament,
    drill: asked.drill,
    or: [],
    clean: rep.clean,
    faults: rep.faults,
    said: rep.said,
    steps,
  };
}

/**
 * What is shown large: {last, tune}. While a tune is followed its judge alone has the say, since it knows what is written
 * there; afterwards whatever was played later.
 */
export function shownLarge({ tune_run, verdicts, free: { last } }) {
  if (!tune_run?.noticed) return { last, tune: false };
  const judged = verdicts.length === 0 ? null : ornamentOf(verdicts.at(-1), tune_run);
  if (tune_run.going) return { last: judged, tune: true };
  if (judged !== null && (last === null || last.theme_ms <= judged.theme_ms)) return { last: judged, tune: true };
  return { last, tune: false };
}
