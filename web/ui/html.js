/**
 * Text into the page, escaped by default.
 *
 * html`<b>${anything}</b>` escapes every value; only another html`` result goes in as it is.
 */

class Markup {
  constructor(text) {
    this.text = text;
  }
}

const escaped = (value) => {
  if (value instanceof Markup) return value.text;
  if (Array.isArray(value)) return value.map(escaped).join("");
  return String(value ?? "").replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
};

/** A tagged template whose values are escaped; arrays are joined. */
export const html = (parts, ...values) =>
  new Markup(parts.reduce((text, part, index) => text + escaped(values[index - 1]) + part));

const filled = new WeakMap();

/** What distinguishes an element from its like, as a selector: its id, address and data; "" if it has none of them. */
const selectorOf = (element) =>
  [...element.attributes]
    .filter(({ name }) => name === "id" || name === "href" || name.startsWith("data-"))
    .map(({ name, value }) => `[${name}="${CSS.escape(value)}"]`)
    .join("");

/** What waits until a press inside of it is over, as [element, markup]. */
const waiting = new Map();

/** A press is over: its click comes before anything else is put there. */
function released() {
  setTimeout(() => {
    const now = [...waiting];
    waiting.clear();
    for (const [element, markup] of now) fill(element, markup);
  });
}
for (const end of ["pointerup", "pointercancel", "keyup"]) document.addEventListener(end, released, true);

/**
 * Put markup into an element; nothing is touched if it already shows the same. What had the focus keeps it, if it is
 * there again: a key that is pressed meanwhile would go nowhere otherwise. What is being pressed stays until it is let
 * go: the browser makes no click of a press on one button and a release on another.
 */
export function fill(element, markup) {
  if (!(markup instanceof Markup))
    throw new TypeError("fill() takes what html`` made, so that nothing goes in unescaped.");
  waiting.delete(element);
  if (filled.get(element) === markup.text) return;
  if (element.querySelector(":active")) return void waiting.set(element, markup);
  filled.set(element, markup.text);
  const held = element.contains(document.activeElement) ? selectorOf(document.activeElement) : "";
  element.innerHTML = markup.text;
  if (held) element.querySelector(held)?.focus({ preventScroll: true });
}

/** Put plain text into an element, only if it differs: a live region would speak again otherwise. */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Show or hide an element. */
export function show(element, visible) {
  element.toggleAttribute("hidden", !visible); // a drawing has no property of that name
}
