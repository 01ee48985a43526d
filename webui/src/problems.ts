// Which field of the form a problem belongs to. The server names places in the words of the file: "landing.mass",
// "sectors entry 2, ground.time", "sector coast to plain, landing".
import type { Case, Fault, Problem } from "./api";
import { get, text } from "./place";

/** The dotted place of a problem in the case; null where it names none. */
export function placeOf(problem: Problem, given: Case | null): string | null {
  if (!problem.field) return null;
  let place = problem.field.replace(/ entry (\d+)(?:, |\.|$)/g, (whole, number: string) => `.${Number(number) - 1}${whole.endsWith(number) ? "" : "."}`);
  const sector = /^sector (.+), ([a-z_.]+)$/.exec(place);
  if (sector && given) {
    const sectors = get(given, "sectors");
    const number = Array.isArray(sectors) ? sectors.findIndex((one) => text(one as Case, "name") === sector[1]) : -1;
    if (number >= 0) place = `sectors.${number}.${sector[2]}`;
  }
  // What a whole landing of a day is blamed for is either its choice of brakes or the case that it names.
  if (/^sectors\.\d+\.landing$/.test(place)) place += problem.text.startsWith('brake "') ? ".brake" : ".case";
  return place;
}

/** The problems of one field. */
export function problemsAt(fault: Fault | null, given: Case | null, place: string): Problem[] {
  return (fault?.problems ?? []).filter((one) => (one.file === null || one.file === "case.toml") && placeOf(one, given) === place);
}
