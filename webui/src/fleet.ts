// What the fleet view reads out of an answer. Pure functions.
import type { FleetAnswer, FleetMean, MapPiece } from "./api";
import { KNOT, number } from "./format";

export interface RunwayMap {
  name: string;
  codes: { code: number; pieces: MapPiece[] }[];
}

/** The friction map, runway by runway, and in each code by code. */
export function mapsOf(answer: FleetAnswer): RunwayMap[] {
  const found = new Map<string, Map<number, MapPiece[]>>();
  for (const one of answer.friction_map) {
    const name = `${one.aerodrome} ${one.direction}`;
    const codes = found.get(name) ?? new Map<number, MapPiece[]>();
    codes.set(one.code, [...(codes.get(one.code) ?? []), one]);
    found.set(name, codes);
  }
  return [...found.entries()]
    .sort(([one], [other]) => one.localeCompare(other))
    .map(([name, codes]) => ({
      name,
      codes: [...codes.entries()].sort(([one], [other]) => other - one).map(([code, pieces]) => ({ code, pieces })),
    }));
}

export interface Measure {
  name: string;
  /** What a value is multiplied with to be in the unit shown. */
  factor: number;
  unit: string;
  digits: number;
  periods: FleetMean[];
}

// Units in which a person reads what the data set holds in SI.
const SHOWN: Record<string, [string, number, number]> = {
  "m/s": ["kt", 1 / KNOT, 1],
  J: ["MJ", 1e-6, 1],
  m: ["m", 1, 0],
  s: ["s", 1, 1],
  "m/s2": ["m/s²", 1, 2],
};

/** Means by measure, each with its periods. */
export function measuresOf(answer: FleetAnswer): Measure[] {
  const found = new Map<string, Measure>();
  for (const one of answer.means) {
    const [, words = one.name, given = ""] = /^(.*?)\s*(?:\[(.*)\])?$/.exec(one.name) ?? [];
    const [unit, factor, digits] = SHOWN[given] ?? [given, 1, 2];
    const measure = found.get(one.name) ?? { name: words, factor, unit, digits, periods: [] };
    measure.periods.push(one);
    found.set(one.name, measure);
  }
  return [...found.values()];
}

export function shown(measure: Measure, value: number | null): string {
  return value === null ? "–" : `${number(value * measure.factor, measure.digits)} ${measure.unit}`;
}
