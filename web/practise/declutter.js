/** Labels side by side without overlap, each as near as can be to where it wants to be. Pure; CSS pixels. */

/** Isotonic regression with equal weights (pool adjacent violators): the nearest non-decreasing list. */
function rising(values) {
  const pools = [];
  for (const value of values) {
    pools.push({ sum: value, count: 1 });
    while (pools.length > 1 && pools.at(-2).sum / pools.at(-2).count > pools.at(-1).sum / pools.at(-1).count) {
      const last = pools.pop();
      pools.at(-1).sum += last.sum;
      pools.at(-1).count += last.count;
    }
  }
  return pools.flatMap((pool) => Array(pool.count).fill(pool.sum / pool.count));
}

/**
 * The left edges of labels that want to begin at `wanted` (rising), `gap` apart at least, all within [from, to].
 *
 * The sum of squared shifts is the least possible. Null when they do not fit in one row at all.
 */
export function declutter(wanted, widths, gap, from, to) {
  const offsets = [];
  let total = 0;
  for (const width of widths) {
    offsets.push(total);
    total += width + gap;
  }
  const room = to - from - (total - gap);
  if (widths.length > 0 && room < 0) return null;
  const nearest = rising(wanted.map((x, index) => x - offsets[index]));
  return nearest.map((x, index) => Math.min(Math.max(x, from), from + room) + offsets[index]);
}

/** Labels in as few rows as hold them (at most `most`), dealt out in turn: [{row, x}], or null if even that is too few. */
export function rows(wanted, widths, gap, from, to, most) {
  for (let count = 1; count <= most; count += 1) {
    const dealt = Array.from({ length: count }, (_, row) =>
      wanted.map((__, index) => index).filter((index) => index % count === row),
    );
    const edges = dealt.map((ones) =>
      declutter(
        ones.map((one) => wanted[one]),
        ones.map((one) => widths[one]),
        gap,
        from,
        to,
      ),
    );
    if (edges.every((edge) => edge !== null)) {
      return wanted.map((_, index) => ({ row: index % count, x: edges[index % count][Math.floor(index / count)] }));
    }
  }
  return null;
}
