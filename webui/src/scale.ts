// From values to places on the chart. Pure functions.

export interface Scale {
  (value: number): number;
  invert(place: number): number;
  readonly domain: readonly [number, number];
  readonly range: readonly [number, number];
}

export function linear(domain: readonly [number, number], range: readonly [number, number]): Scale {
  const span = domain[1] - domain[0] || 1;
  const factor = (range[1] - range[0]) / span;
  const scale = (value: number): number => range[0] + (value - domain[0]) * factor;
  return Object.assign(scale, {
    invert: (place: number): number => domain[0] + (place - range[0]) / (factor || 1),
    domain,
    range,
  });
}

/** Round places for marks, about `count` of them, inside the domain; round in the unit that is shown. */
export function ticks(given: readonly [number, number], count: number, unit = 1, zero = 0): number[] {
  const domain = [(given[0] - zero) / unit, (given[1] - zero) / unit] as const;
  const raw = (domain[1] - domain[0]) / Math.max(count, 1);
  if (!(raw > 0)) return [];
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = power * ([1, 2, 5, 10].find((one) => one * power >= raw) ?? 10);
  const found: number[] = [];
  for (let place = Math.ceil(domain[0] / step - 1e-9) * step; place <= domain[1] + step * 1e-9; place += step) {
    const round = Math.abs(place) < step * 1e-9 ? 0 : Number(place.toPrecision(12));
    found.push(unit === 1 && zero === 0 ? round : zero + round * unit);
  }
  return found;
}

export function path(points: Iterable<readonly [number, number]>): string {
  let text = "";
  for (const [x, y] of points) text += `${text ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`;
  return text;
}

export function area(upper: readonly (readonly [number, number])[], lower: readonly (readonly [number, number])[]): string {
  return upper.length === 0 ? "" : `${path([...upper, ...[...lower].reverse()])}Z`;
}

/** The value of a sampled curve at a place, straight between samples; null outside it. */
export function at(places: readonly number[], values: readonly number[], place: number): number | null {
  const last = places.length - 1;
  if (last < 0 || place < (places[0] ?? 0) || place > (places[last] ?? 0)) return null;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((places[middle] ?? 0) <= place) low = middle;
    else high = middle;
  }
  const from = places[low] ?? 0;
  const span = (places[high] ?? 0) - from;
  const start = values[low] ?? 0;
  return span <= 0 ? start : start + (((values[high] ?? 0) - start) * (place - from)) / span;
}
