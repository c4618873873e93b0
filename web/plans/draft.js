/** A plan that is being made or changed: each value as it is typed. Pure: every function returns another draft. */

/** The fields of a ladder's rule, in the order of its form. */
export const LADDER_FIELDS = ["first_bpm", "raise_bpm", "top_bpm", "in_a_row", "tries", "performing_bpm"];
/** The ways to say how long a part is. */
export const HOW_LONG = ["minutes", "reps", "ladder"];
/** What of a tune is played, each as the place of a note in it; "": from its beginning, to its end, no ornament taken out. */
const PLACES = ["from", "to", "ornament"];

const LONGEST_NAME = 80;
const NEW_PART = { drill: "", click_bpm: 60, minutes: 3 };

/** The keys of a part that the form has fields for. */
const IN_FORM = ["title", "drill", "tune", ...PLACES, "width", "stage", "widen", "warm_up", "stages", "standard", "layout", "click_bpm", ...HOW_LONG];

const text = (value) => (value === undefined || value === null ? "" : String(value));

/** What is typed as a number, with a decimal comma too; the text itself if it is none, so that the daemon can name it. */
export function numberOr(typed) {
  const plain = typed.trim().replace(",", ".");
  return plain === "" || !Number.isFinite(Number(plain)) ? typed.trim() : Number(plain);
}

/**
 * A row of a plan's table as fields; `id` stays with the part wherever it is moved, `rule` is the ladder on offer.
 *
 * `plays` is "drill" or "tune"; `stage` and `widen` are kept where they fit, `kept` is what else the form has no field for.
 */
function partOf(row, id, rule, open = false) {
  const how = [...HOW_LONG, "widen"].find((one) => one in row) ?? "minutes";
  const ladder = how === "ladder" ? { first_bpm: row.click_bpm, ...row.ladder } : { ...rule, first_bpm: row.click_bpm ?? rule.first_bpm };
  return {
    id,
    open,
    how,
    plays: "tune" in row ? "tune" : "drill",
    tune: text(row.tune),
    ...Object.fromEntries(PLACES.map((place) => [place, text(row[place])])),
    width: row.width === "ornament" ? "" : text(row.width), // which is what is usual
    stage: row.stage,
    widen: row.widen,
    kept: Object.fromEntries(Object.entries(row).filter(([key]) => !IN_FORM.includes(key))),
    title: text(row.title),
    drill: text(row.drill),
    warm_up: row.warm_up === true,
    stages: row.stages === true,
    minutes: text(row.minutes ?? NEW_PART.minutes),
    reps: text(row.reps ?? 20),
    click_bpm: text(row.click_bpm ?? ladder.first_bpm),
    ladder: Object.fromEntries(LADDER_FIELDS.map((field) => [field, text(ladder[field])])),
    standard: text(row.standard),
    layout: text(row.layout),
  };
}

/** The draft of a plan's table; `known` is {key, version} of the plan it changes, or null for a new one. */
export function draftOf(table, known, rule) {
  const { breaks = {}, part = [] } = table;
  const [name, said] = [text(table.name), text(table.said)];
  return {
    key: known?.key ?? null,
    version: known?.version ?? null,
    called: known === null ? null : name,
    name,
    said,
    after_minutes: text(breaks.after_minutes),
    break_minutes: text(breaks.minutes),
    parts: part.map((row, index) => partOf(row, index, rule)),
    next: part.length,
    removed: null,
    touched: false,
    mistakes: [],
  };
}

/** The draft of a plan that does not exist yet: one warm-up, to be chosen. */
export function newDraft(rule) {
  const draft = draftOf({ name: "", said: "", part: [{ ...NEW_PART, warm_up: true }] }, null, rule);
  return { ...draft, parts: draft.parts.map((part) => ({ ...part, open: true })) };
}

/** The draft of a copy. */
export const copyOf = (table, rule) => ({
  ...draftOf({ ...table, name: `Copy of ${table.name}`.slice(0, LONGEST_NAME) }, null, rule),
  touched: true,
});

const given = (fields) => Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== "" && value !== false));

function rowOf(part) {
  const { title, warm_up, how, standard } = part;
  const row = { ...part.kept, ...given({ title: title.trim(), warm_up, standard }), ...playedOf(part) };
  if (how === "widen") return { ...row, click_bpm: numberOr(part.click_bpm), widen: part.widen };
  if (how !== "ladder") return { ...row, click_bpm: numberOr(part.click_bpm), [how]: numberOr(part[how]) };
  const rule = Object.entries(part.ladder).map(([field, typed]) => [field, numberOr(typed)]);
  return { ...row, ladder: given(Object.fromEntries(rule)) };
}

/** What a part plays: its drill, or its tune and what of it. */
function playedOf({ plays, drill, tune, from, to, ornament, width, stages, stage, layout }) {
  if (plays === "drill") return { drill: drill.trim(), ...given({ stages, layout }) };
  if (ornament === "") return { tune, ...given({ from: numberOr(from), to: numberOr(to) }) };
  const only = stage === undefined || stages ? {} : { stage };
  return { tune, ornament: numberOr(ornament), ...given({ width, stages }), ...only };
}

/** The table to send; what is no number stays as it was typed. */
export function tableOf({ name, said, after_minutes, break_minutes, parts }) {
  const breaks = given({ after_minutes: numberOr(after_minutes), minutes: numberOr(break_minutes) });
  return {
    name: name.trim(),
    said: said.trim(),
    ...(Object.keys(breaks).length > 0 ? { breaks } : {}),
    part: parts.map(rowOf),
  };
}

/** With a field of the plan itself changed. */
export const withField = (draft, field, value) => ({ ...draft, touched: true, [field]: value });

/** What is chosen again in a part when one of its fields changes: the places are those of the tune, "widen" is only of a tune. */
const CLEARED = {
  tune: () => ({ ...Object.fromEntries(PLACES.map((place) => [place, ""])), width: "", stage: undefined }),
  ornament: () => ({ from: "", to: "", stage: undefined }),
  plays: ({ how }) => (how === "widen" ? { how: "minutes" } : {}),
};

/** With a field of a part changed; those of its ladder are called "ladder.first_bpm" and so on. */
export function withPartField(draft, id, field, value) {
  const [first, inner] = field.split(".");
  const change = (part) => (inner ? { ...part, ladder: { ...part.ladder, [inner]: value } } : { ...part, [first]: value, ...CLEARED[first]?.(part) });
  return { ...draft, touched: true, parts: draft.parts.map((part) => (part.id === id ? change(part) : part)) };
}

/** With a part opened or closed, which is no change of the plan. */
export const withOpen = (draft, id, open) => ({
  ...draft,
  parts: draft.parts.map((part) => (part.id === id ? { ...part, open } : part)),
});

/** With a part more, after the last, at the tempo of that one. */
export function withPart(draft, rule) {
  const click_bpm = draft.parts.at(-1)?.click_bpm ?? NEW_PART.click_bpm;
  const part = partOf({ ...NEW_PART, click_bpm, warm_up: draft.parts.length === 0 }, draft.next, rule, true);
  return { ...draft, touched: true, mistakes: [], parts: [...draft.parts, part], next: draft.next + 1 };
}

/** Without a part, which can be brought back. */
export function withoutPart(draft, id) {
  const at = draft.parts.findIndex((part) => part.id === id);
  const parts = draft.parts.filter((part) => part.id !== id);
  return { ...draft, touched: true, mistakes: [], parts, removed: { part: draft.parts[at], at } };
}

/** With the part that was removed last where it was. */
export function broughtBack(draft) {
  const { part, at } = draft.removed;
  return { ...draft, mistakes: [], parts: draft.parts.toSpliced(at, 0, part), removed: null };
}

/** Whether a part can be moved up (by -1) or down (by 1). */
export function canMove({ parts }, id, by) {
  const to = parts.findIndex((part) => part.id === id) + by;
  return to >= 0 && to < parts.length;
}

/** With a part moved up or down by one place. Mistakes go by place, so they are found again at the next try. */
export function moved(draft, id, by) {
  if (!canMove(draft, id, by)) return draft;
  const at = draft.parts.findIndex((part) => part.id === id);
  const parts = draft.parts.toSpliced(at, 1).toSpliced(at + by, 0, draft.parts[at]);
  return { ...draft, touched: true, mistakes: [], parts };
}

const PART = /^part (\d+)$/;

/** The form's field that a mistake is about; what is wrong with the passage around an ornament is about its width. */
function fieldOf(where, field, part) {
  if (where === "breaks" && field === "minutes") return "break_minutes";
  return field === "from" && part?.plays === "tune" && part.ornament !== "" ? "width" : field;
}

/** With what the daemon found wrong, each with the id of its part (null: of the plan); such parts are opened. */
export function withMistakes(draft, mistakes) {
  const placed = mistakes.map(({ where, field, said }) => {
    const number = PART.exec(where)?.[1];
    const part = number === undefined ? null : (draft.parts[number - 1] ?? null);
    return { id: part?.id ?? null, field: fieldOf(where, field, part), said };
  });
  const wrong = new Set(placed.map(({ id }) => id));
  return { ...draft, mistakes: placed, parts: draft.parts.map((part) => (wrong.has(part.id) ? { ...part, open: true } : part)) };
}

/** What is wrong with a field, in a line each; "" if nothing. */
export const wrongWith = ({ mistakes }, id, field) =>
  mistakes
    .filter((one) => one.id === id && one.field === field)
    .map((one) => one.said)
    .join("\n");
