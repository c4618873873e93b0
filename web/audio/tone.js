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
 * The notes of every rep, each rep's in turn, the note before it first; a step that is not heard by itself has no onset.
 * `beat_s` is the own beat of the first rep's ornament.
 */
export function score({ sequence, clicks_per_rep, ornament_beat, click_bpm }, reps) {
  const click_s = 60 / click_bpm;
  const notes = [];
  for (let rep = 0; rep < reps; rep += 1) {
    const asked = sequence[rep % sequence.length];
    const beat_s = (rep * clicks_per_rep + ornament_beat) * click_s;
    notes.push({ at_s: beat_s + asked.lead_offset_ms / 1000, note: asked.lead });
    for (const step of asked.steps) if (step.sounds) notes.push({ at_s: beat_s + step.offset_ms / 1000, note: step.note });
  }
  const start_s = Math.max(0, -notes[0].at_s);
  const end_s = start_s + ((reps - 1) * clicks_per_rep + ornament_beat) * click_s + sequence[0].end_offset_ms / 1000;
  const count = reps * clicks_per_rep;
  return {
    notes: notes.map((one) => ({ ...one, at_s: one.at_s + start_s })),
    clicks: Array.from({ length: count }, (_, index) => ({
      at_s: start_s + index * click_s,
      accent: index % clicks_per_rep === 0,
    })),
    end_s,
    beat_s: start_s + ornament_beat * click_s,
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
