/** What the daemon sends is checked by the daemon's own JSON Schema before anything of it reaches the screen. */

import { checks } from "./schema.js";

/** A frame that the page cannot read; its message is one sentence for the screen. */
export class FrameError extends Error {}

/**
 * Checks made from the schema of all frames: {frame(frame), state(state)} return what they were given.
 *
 * Both throw FrameError, naming the field that is wrong; a kind of frame that the schema does not have is wrong, too.
 */
export function frameChecks(schema) {
  const check = checks(schema, (sentence) => new FrameError(sentence));
  const names = new Map(
    schema.anyOf.map(({ $ref }) => {
      const name = $ref.replace("#/$defs/", "");
      return [schema.$defs[name].properties.kind.const, name];
    }),
  );
  return {
    frame(frame) {
      if (typeof frame !== "object" || frame === null || Array.isArray(frame)) throw new FrameError("A frame is not an object.");
      if (!names.has(frame.kind)) throw new FrameError(`A frame of kind '${frame.kind}' is not known to this page.`);
      check(names.get(frame.kind), frame, `The frame '${frame.kind}'`);
      return frame;
    },
    state(state) {
      check("StateShown", state, "The state");
      return state;
    },
  };
}
