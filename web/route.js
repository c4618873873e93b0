/** Which view the address names: nothing or "#practise", "#book", or "#book/" and an ornament's name. */

/** {view, ornament} of a location's hash; what is not known leads to the practice view. Pure. */
export function routeOf(hash) {
  const [view, name] = hash.replace(/^#/, "").split("/");
  if (view !== "book") return { view: "practise", ornament: null };
  try {
    return { view, ornament: name ? decodeURIComponent(name) : null };
  } catch (error) {
    console.warn("The address cannot be read:", hash, error);
    return { view, ornament: null };
  }
}

/** The hash of an ornament's page in the book. */
export const addressOf = (ornament) => `#book/${encodeURIComponent(ornament)}`;
