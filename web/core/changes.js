/** Draw only what changed: each part of the page names what it is drawn from, and is drawn when one of these is another. */

/**
 * changes() -> {at(turned)} -> when(name, inputs, draw): calls `draw` if one of `inputs` differs from the last time.
 *
 * Inputs are compared by identity: the state is never changed in place. `turned` is an input of every part.
 */
export function changes() {
  const drawn = new Map();
  return {
    at: (turned) => (name, inputs, draw) => {
      const before = drawn.get(name);
      const now = [turned, ...inputs];
      if (before && now.every((one, index) => Object.is(one, before[index]))) return;
      drawn.set(name, now);
      draw();
    },
  };
}
