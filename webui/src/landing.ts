// What the views of a landing read out of an answer. Pure functions; nothing is computed that the answer does not hold.
import type { Decision, History, LandAnswer, LandingOption } from "./api";
import type { Display } from "./format";
import { PLAIN } from "./format";

export interface RunwayFacts {
  designator: string;
  length: number;
  width: number;
  displaced: number;
  available: number;
  exits: { name: string; distance: number; angle: number; side: number }[];
}

type Facts = Record<string, unknown>;

const numberOf = (facts: Facts, key: string): number => (typeof facts[key] === "number" ? facts[key] : 0);

export function displayOf(answer: { inputs: Facts } | null): Display {
  return { ...PLAIN, ...((answer?.inputs.display as Partial<Display> | undefined) ?? {}) };
}

export function runwayOf(answer: LandAnswer): RunwayFacts {
  const runway = answer.inputs.runway as Facts;
  const direction = answer.inputs.direction as Facts;
  const reduced = (answer.inputs.condition as Facts).reduced_length_m;
  const paved = numberOf(runway, "length_m");
  return {
    designator: String(direction.designator),
    length: typeof reduced === "number" ? Math.min(reduced, paved) : paved,
    width: numberOf(runway, "width_m"),
    displaced: numberOf(direction, "displaced_threshold_m"),
    available: answer.landing.landing_distance_available_m,
    exits: (direction.exits as Facts[]).map((one) => ({
      name: String(one.name),
      distance: numberOf(one, "distance_m"),
      angle: numberOf(one, "angle_rad"),
      side: one.side === "left" ? -1 : 1,
    })),
  };
}

/** The option shown: the one picked by hand, or the one that the decision chose, or the recommended one, or the first. */
export function shownOption(answer: LandAnswer, selected: { brake: string; reverse: string } | null): number {
  if (selected) {
    const found = answer.options.findIndex((one) => one.brake === selected.brake && one.reverse === selected.reverse);
    if (found >= 0) return found;
  }
  if (answer.recommended !== null) return answer.recommended;
  const shortest = answer.options.reduce(
    (best, one, place) => ((one.stop_distance_m ?? Infinity) < (answer.options[best]?.stop_distance_m ?? Infinity) ? place : best),
    0,
  );
  return shortest;
}

export function chosenExit(answer: LandAnswer): string | null {
  const decision = answer.decision;
  return decision?.chosen == null ? null : (decision.candidates[decision.chosen]?.exit ?? null);
}

export function approachTo(decision: Decision | null, option: LandingOption, exit: string | null): Decision["approaches"][number] | null {
  return decision?.approaches.find((one) => one.brake === option.brake && one.reverse === option.reverse && one.exit === exit) ?? null;
}

export interface Cause {
  key: string;
  words: string;
  values: number[];
}

/** What slows the aeroplane, in m/s2 for each moment of a history; a cause that pushes has the other sign. */
export function causes(history: History, mass: number): Cause[] {
  const share = (values: number[], sign = 1): number[] => values.map((one) => (sign * one) / mass);
  const found = [
    { key: "brakes", words: "wheel brakes", values: share(history.brake_force_n) },
    { key: "reverse", words: "thrust: reverse slows, idle pushes", values: share(history.thrust_n, -1) },
    { key: "aerodynamic", words: "aerodynamic", values: share(history.aerodynamic_drag_n) },
    { key: "contaminant", words: "contaminant", values: share(history.contaminant_drag_n) },
    { key: "rolling", words: "rolling", values: share(history.rolling_resistance_n) },
    { key: "slope", words: "slope", values: share(history.slope_force_n) },
  ];
  return found.filter((one) => one.values.some((value) => Math.abs(value) > 1e-6));
}

/** The causes stacked: what slows upwards from zero, what pushes downwards from zero. */
export function stacked(list: Cause[]): { cause: Cause; from: number[]; to: number[] }[] {
  const count = list[0]?.values.length ?? 0;
  const up = new Array<number>(count).fill(0);
  const down = new Array<number>(count).fill(0);
  return list.map((cause) => {
    const from: number[] = [];
    const to: number[] = [];
    cause.values.forEach((value, place) => {
      const base = value >= 0 ? up : down;
      const start = base[place] ?? 0;
      from.push(start);
      to.push(start + value);
      base[place] = start + value;
    });
    return { cause, from, to };
  });
}

/** What lies on the runway by the condition in use, as a case has it: kept where only the code of a third is moved. */
export function coverOf(answer: LandAnswer): { descriptors?: string[]; depths?: string[] } {
  const thirds = ((answer.inputs.condition as Facts).thirds as Facts[] | undefined) ?? [];
  const descriptors = thirds.map((one) => one.descriptor);
  if (thirds.length !== 3 || !descriptors.every((one) => typeof one === "string")) return {};
  const depths = thirds.map((one) => (typeof one.depth_m === "number" ? one.depth_m : 0));
  const cover = { descriptors: descriptors as string[] };
  return depths.some((one) => one > 0) ? { ...cover, depths: depths.map((one) => `${Number((1000 * one).toFixed(3))} mm`) } : cover;
}
