/**
 * A chanter-like tone, into any BaseAudioContext. Our own synthesis: a reed's many partials, one resonance, no breath.
 *
 * A chanter never stops while it is blown: one oscillator sounds all the way, and its frequency jumps at each step.
 */

const PARTIALS = 32;
/** How steeply the partials fall; a conical reed pipe has odd and even ones alike. */
const FALL = 0.55;
const RESONANCE = { frequency: 2100, Q: 0.9, gain: 7 };
const CEILING = { frequency: 7500, Q: 0.5 };
const RISE_S = 0.04;
const FADE_S = 0.09;
const LEVEL = 0.22;
/** How fast it stops and begins where the player stopped blowing: without a click of its own. */
const BREATH_S = 0.004;

const NOTES = ["low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"];

/** The same in slow motion: every time `factor` times as late, every pitch as it was. Pure. */
export function slowed({ notes, clicks, end_s, beat_s }, factor) {
  const later = (one) => ({ ...one, at_s: one.at_s * factor });
  return { notes: notes.map(later), clicks: clicks.map(later), end_s: end_s * factor, beat_s: beat_s * factor };
}

/**
 * What sounds when, in seconds: {notes: [{at_s, note}], clicks: [{at_s, accent}], end_s, beat_s}. Pure.
 *
 * Of reps, [{asked, beat_ms}], each with its own beat in ms: its notes, the note before it first, and its clicks. A step
 * that is not heard by itself has no onset. `beat_s` is the own beat of the first rep's ornament.
 */
export function score(reps) {
  const sounding = ({ asked, beat_ms }) => [
    { at_ms: beat_ms + asked.lead_offset_ms, note: asked.lead },
    ...asked.steps.filter(({ sounds }) => sounds).map((step) => ({ at_ms: beat_ms + step.offset_ms, note: step.note })),
  ];
  const clicking = ({ asked, beat_ms }) =>
    asked.clicks_ms.map((at_ms, index) => ({ at_ms: beat_ms + at_ms, accent: index === 0 }));
  const notes = reps.flatMap(sounding);
  const clicks = reps.flatMap(clicking);
  const from_ms = Math.min(notes[0].at_ms, clicks[0].at_ms);
  const seconds = (at_ms) => (at_ms - from_ms) / 1000;
  const last = reps.at(-1);
  return {
    notes: notes.map(({ at_ms, note }) => ({ at_s: seconds(at_ms), note })),
    clicks: clicks.map(({ at_ms, accent }) => ({ at_s: seconds(at_ms), accent })),
    end_s: seconds(last.beat_ms + last.asked.end_offset_ms),
    beat_s: seconds(reps[0].beat_ms),
  };
}

/** The frequency of a note by a tuning's table, which has low G first. */
const hzOf = (tuning, note) => tuning.hz[NOTES.indexOf(note)];

const waves = new WeakMap();

function reed(context) {
  if (!waves.has(context)) {
    const real = new Float32Array(PARTIALS + 1);
    const imag = Float32Array.from(real, (_, partial) => (partial === 0 ? 0 : partial ** -FALL));
    waves.set(context, context.createPeriodicWave(real, imag));
  }
  return waves.get(context);
}

/** Open and close the tone where the player stopped blowing and began again. */
function breathe(gain, notes, at_s) {
  notes.forEach((one, index) => {
    const opens = one.note !== null && notes[index - 1]?.note === null;
    if (!opens && one.note !== null) return;
    gain.setValueAtTime(opens ? 0 : LEVEL, at_s + one.at_s);
    gain.linearRampToValueAtTime(opens ? LEVEL : 0, at_s + one.at_s + BREATH_S);
  });
}

/**
 * Schedule the notes from `at_s` of the context's own time on, into `output`; returns the oscillator and its gain.
 *
 * It rises and fades softly; in between nothing but the frequency changes, and a note that is null is silence.
 */
export function renderTone(context, output, { notes, end_s }, tuning, at_s) {
  const oscillator = context.createOscillator();
  const gain = context.createGain();
  const resonance = Object.assign(context.createBiquadFilter(), { type: "peaking" });
  const ceiling = Object.assign(context.createBiquadFilter(), { type: "lowpass" });
  for (const [name, value] of Object.entries(RESONANCE)) resonance[name].value = value;
  for (const [name, value] of Object.entries(CEILING)) ceiling[name].value = value;
  oscillator.setPeriodicWave(reed(context));
  oscillator.frequency.value = hzOf(tuning, notes[0].note);
  for (const one of notes)
    if (one.note !== null) oscillator.frequency.setValueAtTime(hzOf(tuning, one.note), at_s + one.at_s);
  const first_s = at_s + notes[0].at_s;
  gain.gain.setValueAtTime(0, first_s);
  gain.gain.linearRampToValueAtTime(LEVEL, first_s + RISE_S);
  breathe(gain.gain, notes, at_s);
  if (notes.at(-1).note !== null) {
    gain.gain.setValueAtTime(LEVEL, at_s + end_s - FADE_S);
    gain.gain.linearRampToValueAtTime(0, at_s + end_s);
  }
  oscillator.connect(resonance).connect(ceiling).connect(gain).connect(output);
  oscillator.start(first_s);
  oscillator.stop(at_s + end_s + 0.01);
  return { oscillator, gain };
}
