/** Drawing without flicker: a list of marks is laid over what is there, and only what changed is written. */

const SPACE = "http://www.w3.org/2000/svg";
const drawn = new WeakMap();

function write(node, mark, before) {
  for (const [name, value] of Object.entries(mark)) {
    if (name === "key" || name === "tag" || before[name] === value) continue;
    if (name === "text") node.textContent = value;
    else node.setAttribute(name, value);
  }
  for (const name of Object.keys(before)) if (!(name in mark) && name !== "text") node.removeAttribute(name);
}

/**
 * Make the children of `parent` be `marks`, in their order: {key, tag, text?, ...attributes}.
 *
 * Keys are unique among the marks of one parent; a key keeps its node from one call to the next.
 */
export function patch(parent, marks) {
  const before = drawn.get(parent) ?? new Map();
  const after = new Map();
  let place = null;
  for (const mark of marks) {
    const name = `${mark.tag} ${mark.key}`;
    const known = before.get(name);
    const node = known?.node ?? document.createElementNS(SPACE, mark.tag);
    write(node, mark, known?.mark ?? {});
    const next = place ? place.nextSibling : parent.firstChild;
    if (node !== next) parent.insertBefore(node, next);
    place = node;
    after.set(name, { node, mark });
    before.delete(name);
  }
  for (const { node } of before.values()) node.remove();
  drawn.set(parent, after);
}
