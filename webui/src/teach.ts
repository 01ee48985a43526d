// What the teaching view reads out of a lesson, how a prediction is judged, and which key does what. Pure functions;
// nothing of the model is computed here.
import type { Case, LandAnswer, LessonAnswer } from "./api";
import { coverOf } from "./landing";
import { put } from "./place";
import { at } from "./scale";

export type Step = LessonAnswer["steps"][number];
export type Question = NonNullable<Step["question"]>;
export type Picture = Step["pictures"][number];
export type Roll = NonNullable<LessonAnswer["cases"][number]["roll"]>;

/** One roll as it is drawn: its case, and the runway as that roll meets it. */
export interface Lane {
  label: string;
  roll: Roll;
  brakesOn: number | null;
  thirds: [number, number, string][];
  exits: [string, number][];
}

function labelsOf(picture: Picture): string[] {
  if (picture.kind === "strip") return picture.rows.map((one) => one.label);
  if (picture.kind === "ledger") return [picture.first[0], picture.other[0]];
  if (picture.kind === "shares") return picture.rows.map((one) => one[0]);
  if (picture.kind === "lines") return picture.lines.map((one) => one.label);
  return picture.kind === "table" ? picture.columns : [];
}

/** The rolls that a step speaks of, in the order in which its pictures name them; those kept back only once revealed. */
export function lanesOf(lesson: LessonAnswer, step: Step, revealed: boolean): Lane[] {
  const shown = revealed ? [...step.pictures, ...step.revealed] : step.pictures;
  const labels = [...new Set(shown.flatMap(labelsOf))];
  const strips = lesson.steps.flatMap((one) => [...one.pictures, ...one.revealed]).filter((one) => one.kind === "strip");
  return labels.flatMap((label) => {
    const found = lesson.cases.find((one) => one.label === label);
    if (!found?.roll) return [];
    const strip = strips.find((one) => one.rows.some((row) => row.label === label));
    const row = strip?.rows.find((one) => one.label === label);
    return [{ label, roll: found.roll, brakesOn: row?.brakes_on ?? null, thirds: row?.thirds ?? [], exits: strip?.exits ?? [] }];
  });
}

export interface Moment {
  distance: number;
  speed: number;
  deceleration: number;
  energy: number;
  ended: boolean;
}

export const endOf = (roll: Roll): number => roll.time_s[roll.time_s.length - 1] ?? 0;

/** Where a roll is at a time from the threshold; until touchdown straight between the two places that are known. */
export function momentOf(roll: Roll, time: number): Moment {
  const end = endOf(roll);
  if (time < roll.touchdown_time_s) {
    const share = roll.touchdown_time_s > 0 ? Math.max(time, 0) / roll.touchdown_time_s : 1;
    return { distance: share * roll.touchdown_distance_m, speed: roll.ground_speed_mps[0] ?? 0, deceleration: 0, energy: 0, ended: false };
  }
  const clock = Math.min(time, end);
  const read = (values: readonly number[]): number => at(roll.time_s, values, clock) ?? values[values.length - 1] ?? 0;
  const ended = time >= end;
  return { distance: read(roll.distance_m), speed: read(roll.ground_speed_mps), deceleration: ended ? 0 : read(roll.deceleration_mps2), energy: read(roll.brake_energy_per_wheel_j), ended };
}

export const stopOf = (roll: Roll): number => roll.distance_m[roll.distance_m.length - 1] ?? 0;

/** What was typed as a number; null where it is none. */
export function typed(text: string): number | null {
  const plain = text.trim().replace("−", "-").replace(",", ".").replace(/\s/g, "");
  return plain === "" || !Number.isFinite(Number(plain)) ? null : Number(plain);
}

/** The end of a slider for a guess: a round number well beyond the answer, which it does not give away. */
export function guessRange(answer: number): [number, number] {
  const size = Math.max(Math.abs(answer) * 2, 1e-6);
  const power = 10 ** Math.floor(Math.log10(size));
  const top = power * ([1, 2, 5, 10].find((one) => one * power >= size) ?? 10);
  return [answer < 0 ? -top : 0, top];
}

/** Whether a prediction is right: the choice, or a number as near as the lesson asks. */
export function isRight(question: Question, prediction: number): boolean {
  if (question.number === null) return question.choices[prediction]?.right ?? false;
  return Math.abs(prediction - question.number) <= question.within * Math.abs(question.number) + 1e-9;
}

/** A prediction of metres beside the answer, in words. */
export function metresTold(guess: number, answer: number): string {
  const say = (value: number): string => (Math.round(value) === 0 ? "the same" : `${Math.round(Math.abs(value))} m ${value > 0 ? "longer" : "shorter"}`);
  const off = Math.round(Math.abs(guess - answer));
  const way = Math.sign(Math.round(guess)) === Math.sign(Math.round(answer)) ? "The right way" : "The other way";
  return `It is ${say(answer)}. You said ${say(guess)}. ${way}, ${off} m off.`;
}

export type Action = "next" | "back" | "first" | "last" | "reveal" | "present" | "leave" | "play" | null;

/** What a key does; nothing while something is typed, moved or pressed with it. */
export function actionOf(key: string, tag: string, kind = ""): Action {
  if (key === "Escape") return "leave";
  const writing = tag === "SELECT" || tag === "TEXTAREA" || tag === "INPUT";
  if (key === "Enter") return (tag === "INPUT" && kind !== "range") || !["BUTTON", "SELECT", "SUMMARY", "A", "INPUT", "TEXTAREA"].includes(tag) ? "reveal" : null;
  if (writing) return null;
  if (key === " ") return ["BUTTON", "SUMMARY"].includes(tag) ? null : "play";
  const keys: Record<string, Action> = { ArrowRight: "next", PageDown: "next", ArrowLeft: "back", PageUp: "back", Home: "first", End: "last", f: "present", F: "present" };
  return keys[key] ?? null;
}

/** One thing that can be changed in a landing. */
export interface Change {
  key: string;
  words: string;
  unit: string;
  minimum: number;
  maximum: number;
  step: number;
  /** The case with the new value; null for what is no part of a case: brakes and reverse. */
  apply: ((given: Case, value: string, answer: LandAnswer) => Case) | null;
}

const set = (place: string, unit: string) => (given: Case, value: string): Case => put(given, place, `${value} ${unit}`);

/** Ranges are those of the sliders of the landing view; what the aeroplane or the rules do not allow, the model refuses. */
export const CHANGES: readonly Change[] = [
  { key: "mass", words: "mass", unit: "t", minimum: 20, maximum: 300, step: 0.5, apply: set("landing.mass", "t") },
  { key: "speed", words: "fast at the threshold", unit: "kt", minimum: 0, maximum: 30, step: 1, apply: set("failures.threshold_speed_excess", "kt") },
  { key: "wind", words: "tailwind on top", unit: "kt", minimum: 0, maximum: 30, step: 1, apply: set("failures.additional_tailwind", "kt") },
  { key: "touchdown", words: "touchdown", unit: "m", minimum: 200, maximum: 2000, step: 10, apply: set("landing.touchdown_distance", "m") },
  {
    key: "code",
    words: "condition code of the whole runway",
    unit: "",
    minimum: 1,
    maximum: 6,
    step: 1,
    apply: (given, value, answer) => put(given, "condition", { ...coverOf(answer), codes: [Number(value), Number(value), Number(value)] }),
  },
  { key: "brake", words: "brake setting", unit: "", minimum: 0, maximum: 0, step: 1, apply: null },
  { key: "reverse", words: "reverse", unit: "", minimum: 0, maximum: 0, step: 1, apply: null },
];
