/**
 * JSON Schema (draft 2020-12), as much of it as the daemon's description of its frames uses. Pure.
 *
 * checks(schema, fail) -> check(name, value, where): is `value` what the schema's definition `name` says? If not,
 * `fail(sentence)` is thrown; the sentence names the field (`where` is what it begins with). A keyword that is not known
 * here is an error at once: a rule that is not understood must not be passed over.
 */

const TYPES = {
  string: ["a text", (value) => typeof value === "string"],
  number: ["a number", Number.isFinite],
  integer: ["a whole number", Number.isInteger],
  boolean: ["true or false", (value) => typeof value === "boolean"],
  null: ["null", (value) => value === null],
  array: ["a list", Array.isArray],
  object: ["an object", (value) => typeof value === "object" && value !== null && !Array.isArray(value)],
};

/** Keywords that describe and do not bind. */
const DESCRIBES = new Set(["title", "description", "default", "$schema", "$defs"]);

const shown = (value) => JSON.stringify(value) ?? "nothing";

/** What a schema allows, in a few words. */
function allowed(schema) {
  if ("const" in schema) return shown(schema.const);
  if ("enum" in schema) return `one of ${schema.enum.map(shown).join(", ")}`;
  if ("anyOf" in schema) return schema.anyOf.map(allowed).join(" or ");
  return TYPES[schema.type]?.[0] ?? "an object";
}

export function checks(schema, fail) {
  const compiled = new Map();

  /** The rule of a definition, made once and when it is first needed: definitions may name one another. */
  function named(reference) {
    if (!compiled.has(reference)) {
      const name = reference.replace("#/$defs/", "");
      if (!Object.hasOwn(schema.$defs, name)) throw new Error(`The schema has no definition '${name}'.`);
      compiled.set(reference, compile(schema.$defs[name]));
    }
    return compiled.get(reference);
  }

  const KEYWORDS = {
    $ref: (reference) => (value, where) => named(reference)(value, where),
    const: (only) => (value, where) => value === only || no(where, value, { const: only }),
    enum: (list) => (value, where) => list.includes(value) || no(where, value, { enum: list }),
    type: (type) => (value, where) => TYPES[type][1](value) || no(where, value, { type }),
    minItems: (least) => (value, where) => value.length >= least || fails(`${where} has fewer than ${least} entries.`),
    maxItems: (most) => (value, where) => value.length <= most || fails(`${where} has more than ${most} entries.`),
    items: (each) => {
      const check = compile(each);
      return (value, where) => value.forEach((one, index) => check(one, `${where}[${index}]`));
    },
    prefixItems: (list) => {
      const found = list.map(compile);
      return (value, where) => value.forEach((one, index) => found[index]?.(one, `${where}[${index}]`));
    },
    required: (names) => (value, where) => {
      for (const name of names) if (!Object.hasOwn(value, name)) fails(`${where} has no '${name}'.`);
    },
    properties: (fields) => {
      const found = Object.entries(fields).map(([name, one]) => [name, compile(one)]);
      return (value, where) => {
        for (const [name, check] of found) if (Object.hasOwn(value, name)) check(value[name], `${where}.${name}`);
      };
    },
    anyOf: anyOf,
  };

  function fails(sentence) {
    throw fail(sentence);
  }
  const no = (where, value, rule) => fails(`${where} is ${shown(value)}; it must be ${allowed(rule)}.`);

  /** One of several: the one of the value's own type says what is wrong with it. */
  function anyOf(list) {
    const found = list.map((one) => [one, compile(one)]);
    return (value, where) => {
      const near = found.filter(([one]) => (one.type ? TYPES[one.type][1](value) : value !== null));
      if (near.length === 0) no(where, value, { anyOf: list });
      near[0][1](value, where);
    };
  }

  /** No field but those of the schema. */
  const closed = (fields) => (value, where) => {
    for (const name of Object.keys(value)) if (!Object.hasOwn(fields, name)) fails(`${where} has '${name}', which it must not.`);
  };

  function compile(one) {
    const rules = [];
    for (const [keyword, rule] of Object.entries(one)) {
      if (DESCRIBES.has(keyword)) continue;
      if (keyword === "additionalProperties" && rule === false) rules.push(closed(one.properties ?? {}));
      else if (Object.hasOwn(KEYWORDS, keyword)) rules.push(KEYWORDS[keyword](rule));
      else throw new Error(`The schema's '${keyword}' is not known to this page.`);
    }
    // The type first: the other rules rely on it.
    if ("type" in one) rules.unshift(KEYWORDS.type(one.type));
    return (value, where) => {
      for (const rule of rules) rule(value, where);
    };
  }

  return (name, value, where) => named(`#/$defs/${name}`)(value, where);
}
