/** Which view the address names: "#practise", "#book", ..., after a slash what is open in it; nothing is the first view. */

/** The views, by the id of their `main` element; the first one is shown when the address names no other. */
export const VIEWS = ["practise", "listen", "book", "tunes", "plans", "progress", "report", "history", "diagnostics"];

/** {view, name} of a location's hash; what is not known leads to the first view. Pure. */
export function routeOf(hash) {
  const [view, name] = hash.replace(/^#/, "").split("/");
  if (!VIEWS.includes(view)) return { view: VIEWS[0], name: null };
  try {
    return { view, name: name ? decodeURIComponent(name) : null };
  } catch (error) {
    console.warn("The address cannot be read:", hash, error);
    return { view, name: null };
  }
}

/** The hash of an ornament's page in the book. */
export const addressOf = (ornament) => `#book/${encodeURIComponent(ornament)}`;
