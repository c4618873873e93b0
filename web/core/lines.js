/** A stream of JSON, a line each, as it arrives. */

/** Every line of a ReadableStream of bytes, parsed; throws what the stream throws when it is broken off. */
export async function* jsonLines(stream) {
  const reader = stream.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    const lines = (rest + value).split("\n");
    rest = lines.pop();
    for (const line of lines) yield JSON.parse(line);
  }
  if (rest !== "") yield JSON.parse(rest);
}
