/**
 * The sound of the click, into any BaseAudioContext.
 *
 * A short wooden knock: two partials that die away, loudest on the first sample, so that its onset is where it is asked.
 */

const LASTS_S = 0.06;
const DECAY_S = 0.012;
const PLAIN = { first_hz: 1100, second_hz: 2350, level: 0.5 };
const ACCENT = { first_hz: 1600, second_hz: 3400, level: 0.9 };

const knocks = new WeakMap();

function knock(context, voice) {
  const made = knocks.get(context) ?? new Map();
  knocks.set(context, made);
  if (!made.has(voice)) {
    const buffer = context.createBuffer(1, Math.ceil(LASTS_S * context.sampleRate), context.sampleRate);
    const samples = buffer.getChannelData(0);
    for (let index = 0; index < samples.length; index += 1) {
      const at_s = index / context.sampleRate;
      const wave =
        0.7 * Math.cos(2 * Math.PI * voice.first_hz * at_s) + 0.3 * Math.cos(2 * Math.PI * voice.second_hz * at_s);
      samples[index] = voice.level * wave * Math.exp(-at_s / DECAY_S);
    }
    made.set(voice, buffer);
  }
  return made.get(voice);
}

/**
 * Schedule one click at `at_s` of the context's own time, into `output`; returns the node, which can be stopped.
 *
 * The onset is put on the nearest whole sample: between samples it would be smeared over two.
 */
export function renderClick(context, output, at_s, accent) {
  const source = context.createBufferSource();
  source.buffer = knock(context, accent ? ACCENT : PLAIN);
  source.connect(output);
  source.start(Math.round(at_s * context.sampleRate) / context.sampleRate);
  return source;
}
