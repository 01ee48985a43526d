import { describe, expect, it } from "vitest";
import type { Case, Fault, Problem } from "./api";
import { placeOf, problemsAt } from "./problems";

// Fields as the server writes them, taken from answers to wrong days and landings.
const day: Case = { sectors: [{ name: "coast to plain" }, { name: "plain to coast" }] };
const problem = (field: string | null, text = "is wrong.", file: string | null = "case.toml"): Problem => ({ file, field, text });

describe("the place of a problem", () => {
  it.each([
    ["landing.mass", "landing.mass"],
    ["sectors entry 1, ground.time", "sectors.0.ground.time"],
    ["sectors entry 12, landing.case", "sectors.11.landing.case"],
    ["condition.codes entry 3", "condition.codes.2"],
    ["sector plain to coast, take_off.mass", "sectors.1.take_off.mass"],
    ["sector nowhere, landing", "sector nowhere, landing"],
  ])("%s is %s", (field, place) => {
    expect(placeOf(problem(field), day)).toBe(place);
  });
  it("a whole landing is blamed on its brakes or on the case that it names", () => {
    const text = 'brake "hard" with reverse "none" is not a choice of today; there are: gentle with none.';
    expect(placeOf(problem("sector plain to coast, landing", text), day)).toBe("sectors.1.landing.brake");
    expect(placeOf(problem("sectors entry 2, landing", 'wrong.toml, landing.mass: "62.5" has no unit.'), day)).toBe("sectors.1.landing.case");
  });
  it("a problem of another file, or of none, is at no field", () => {
    const fault: Fault = { kind: "input", message: "", problems: [problem("mass", "x", "mine.toml"), problem(null), problem("mass")] };
    expect(problemsAt(fault, null, "mass")).toHaveLength(1);
    expect(problemsAt(null, null, "mass")).toEqual([]);
  });
});
