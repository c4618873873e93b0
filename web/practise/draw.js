/** The strip's geometry as SVG marks, in the order they are painted: slots, bars, the beat through all, then words. */

const box = (key, kind, { x, right, y, height }, inset = 1) => ({
  key,
  tag: "rect",
  "data-key": key,
  class: kind,
  x: x + inset,
  y,
  width: Math.max(right - x - 2 * inset, 1),
  height,
  rx: Math.min(5, (right - x) / 3),
});

const line = (key, kind, { x1, y1, x2, y2 }) => ({ key, tag: "line", class: kind, x1, y1, x2, y2 });

const words = (key, kind, text, x, y, size, anchor = "start") => ({
  key,
  tag: "text",
  class: kind,
  text,
  x,
  y,
  "font-size": size,
  "text-anchor": anchor,
  "dominant-baseline": "central",
});

/** Two short strokes across a lane: time is left out here. */
function broken(key, x, lane, rem) {
  const low = lane.y + lane.height;
  const lean = 0.35 * rem;
  return [0, 0.45 * rem].flatMap((shift, index) => [
    line(`${key} ${index}`, "break", { x1: x + shift - lean, y1: low + 3, x2: x + shift + lean, y2: lane.y - 3 }),
  ]);
}

function breaks(plan) {
  const { axis, lanes, rem, bars } = plan;
  const marks = [];
  const played = bars.length > 0;
  if (axis.lead) {
    const gap = (axis.lead.right + axis.left) / 2 - 0.2 * rem;
    marks.push(...broken("break asked", gap, lanes.asked, rem));
    if (played) marks.push(...broken("break played", gap, lanes.played, rem));
  }
  return marks;
}

function slots(plan) {
  return plan.slots.map((slot) => box(`slot ${slot.key}`, `slot ${slot.sounds ? "" : "mute"}`, slot));
}

const soft = (bar, plan) => bar.lead || bar.key === plan.slots.at(-1).key;

function played(plan) {
  const bars = plan.bars.map((bar) =>
    box(
      `bar ${bar.key}`,
      `bar ${soft(bar, plan) ? "soft" : ""} ${bar.odd ? "odd" : ""} ${bar.wrong ? "wrong" : ""}`,
      bar,
    ),
  );
  const ghosts = plan.ghosts.map((ghost) => box(`ghost ${ghost.key}`, "ghost", ghost));
  const extras = plan.extras.map((extra) =>
    box(`extra ${extra.key}`, `extra ${extra.kind.replace(" ", "-")}`, extra, 0),
  );
  return [...ghosts, ...bars, ...extras];
}

function coming(plan) {
  return plan.coming === null ? [] : [box("coming", "coming", plan.coming, 0)];
}

function joins(plan) {
  return plan.joins.map((join) => line(`join ${join.key}`, `join ${join.side}`, join));
}

function leaders(plan) {
  const names = plan.names
    .filter((name) => name.leader)
    .map((name) => line(`name leader ${name.key}`, "leader", name.leader));
  const figures = plan.figures.map((figure) =>
    line(`figure leader ${figure.key}`, `leader ${figure.side}`, figure.leader),
  );
  return [...names, ...figures];
}

function figures(plan) {
  return plan.figures.flatMap((figure) => {
    const { key, x, y, number_px, word_px } = figure;
    const number = {
      ...words(`number ${key}`, `number ${figure.side}`, figure.number, x, y + number_px * 0.58, number_px),
      "data-step": key,
    };
    const first = y + number_px * 1.16 + word_px * 0.5;
    const below = figure.words.map(({ said, odd, name }, index) =>
      words(`word ${key} ${index}`, `word ${name ? "name" : odd ? "odd" : figure.side}`, said, x, first + index * word_px * 1.16, word_px),
    );
    return figure.number ? [number, ...below] : below;
  });
}

function barWords(plan) {
  return plan.inBar.flatMap((word) => {
    const bar = plan.bars.find((one) => one.key === word.key);
    const ink = bar.wrong ? "in-wrong" : soft(bar, plan) ? "in-soft" : "in-bar";
    const lift = word.length ? word.size * 0.55 : 0;
    const name = words(`in ${word.key}`, `${ink} name`, word.name, word.x, word.y - lift, word.size);
    return word.length
      ? [name, words(`long ${word.key}`, ink, word.length, word.x, word.y + word.size * 0.6, word.length_px)]
      : [name];
  });
}

function extraWords(plan) {
  return plan.extras
    .filter((extra) => extra.label)
    .flatMap(({ key, label }) =>
      label.lines.map((text, index) =>
        words(
          `extra ${key} ${index}`,
          "extra-word",
          text,
          label.x,
          label.y + label.size * (0.7 + index * 1.16),
          label.size,
        ),
      ),
    );
}

function scale(plan) {
  const y = plan.lanes.axis.y;
  const size = 0.875 * plan.rem;
  const marks = plan.ticks.flatMap((tick) => [
    line(`tick ${tick.ms}`, "tick", { x1: tick.x, y1: y - 6, x2: tick.x, y2: y }),
    words(`ms ${tick.ms}`, "scale", `${Math.abs(tick.ms)} ms`, tick.x, y + 0.8 * plan.rem, size, "middle"),
  ]);
  const names = plan.wide
    ? [
        ["asked", plan.lanes.asked],
        ["played", plan.lanes.played],
      ]
    : [];
  const lanes = names.map(([text, lane]) =>
    words(`lane ${text}`, "scale", text, 0, lane.y + lane.height / 2, plan.rem),
  );
  const also =
    plan.wide && plan.extras.length > 0
      ? [words("lane also", "scale", "also", 0, plan.extras[0].y + 0.3 * plan.rem, plan.rem)]
      : [];
  return [...marks, ...lanes, ...also];
}

function beat(plan) {
  const { x, from, to } = plan.beat;
  const way = { x1: x, y1: from, x2: x, y2: to };
  return [line("beat casing", "casing", way), line("beat", "beat", way)];
}

function head(plan) {
  if (plan.head === null) return [];
  const { x, from, to } = plan.head;
  return [line("head", "head", { x1: x, y1: from, x2: x, y2: to })];
}

function beatWord(plan) {
  return [
    words("beat word", "beat-word", "beat", plan.beat.x, plan.lanes.beat.height * 0.38, 1.125 * plan.rem, "middle"),
  ];
}

function arrows(plan) {
  return plan.bars
    .filter((bar) => bar.outside)
    .map((bar) =>
      words(
        `arrow ${bar.key}`,
        "arrow",
        bar.outside < 0 ? "◂" : "▸",
        bar.x + (bar.outside < 0 ? 2 : -2),
        bar.y - 0.5 * plan.rem,
        plan.rem,
        bar.outside < 0 ? "start" : "end",
      ),
    );
}

/** The marks for svg.js, painted in this order. */
export const marks = (plan) => [
  ...slots(plan),
  ...played(plan),
  ...coming(plan),
  ...breaks(plan),
  ...leaders(plan),
  ...joins(plan),
  ...beat(plan),
  ...head(plan),
  ...scale(plan),
  ...beatWord(plan),
  ...plan.names.map((name) =>
    words(
      `name ${name.key}`,
      `slot-name ${name.sounds ? "" : "mute"} ${name.leader ? "above" : ""}`,
      name.text,
      name.x,
      name.y,
      name.size,
    ),
  ),
  ...barWords(plan),
  ...figures(plan),
  ...extraWords(plan),
  ...arrows(plan),
];
