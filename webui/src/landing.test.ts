import { describe, expect, it } from "vitest";
import { written } from "./answers.test-help";
import type { LandAnswer } from "./api";
import { approachTo, causes, chosenExit, coverOf, runwayOf, shownOption, stacked } from "./landing";

const answer = written<LandAnswer>("land");
const nothing = written<LandAnswer>("nothing-fits");

describe("an answer that Python wrote", () => {
  it("gives the runway as its file has it", () => {
    const runway = runwayOf(answer);
    expect(runway.designator).toBe("25");
    expect(runway.length).toBe(2650);
    expect(runway.displaced).toBe(150);
    expect(runway.exits.map((one) => one.name)).toEqual(["C", "E", "F", "A"]);
  });
  it("shows what the decision chose, then what was picked by hand", () => {
    expect(shownOption(answer, null)).toBe(answer.recommended);
    const picked = answer.options[shownOption(answer, { brake: "manual", reverse: "none" })];
    expect([picked?.brake, picked?.reverse]).toEqual(["manual", "none"]);
    expect(chosenExit(answer)).toBe("F");
    const option = answer.options[answer.recommended ?? 0];
    expect(option && approachTo(answer.decision, option, "F")?.usable).toBe(true);
  });
  it("shows the shortest where nothing fits", () => {
    const shown = nothing.options[shownOption(nothing, null)];
    const stops = nothing.options.map((one) => one.stop_distance_m ?? Infinity);
    expect(shown?.stop_distance_m ?? Infinity).toBe(Math.min(...stops));
  });
  it("splits the deceleration without remainder", () => {
    const history = answer.history?.[answer.recommended ?? 0];
    expect(history).toBeTruthy();
    if (!history) return;
    const mass = (answer.inputs.landing as { mass_kg: number }).mass_kg;
    const list = causes(history, mass);
    history.deceleration_mps2.forEach((whole, place) => {
      const sum = list.reduce((found, one) => found + (one.values[place] ?? 0), 0);
      expect(Math.abs(sum - whole)).toBeLessThan(2e-3); // rounded numbers are sent
    });
    const stack = stacked(list);
    stack.forEach((one) => expect(one.from.length).toBe(history.distance_m.length));
  });
});

describe("what lies on the runway", () => {
  it("is kept as the report of the case gives it, with its depth in millimetres", () => {
    // The report of wet-gusty-arrival: SLIPPERY WET, WET, WET from the other end, no depth.
    expect(coverOf(answer)).toEqual({ descriptors: ["WET", "WET", "SLIPPERY WET"] });
    const thirds = ["SLUSH", "WET", "SLUSH"].map((descriptor) => ({ code: 2, descriptor, depth_m: descriptor === "SLUSH" ? 0.006 : null }));
    const deep = { ...answer, inputs: { ...answer.inputs, condition: { thirds } } };
    expect(coverOf(deep)).toEqual({ descriptors: ["SLUSH", "WET", "SLUSH"], depths: ["6 mm", "0 mm", "6 mm"] });
    const unknown = { ...answer, inputs: { ...answer.inputs, condition: { thirds: thirds.map((one) => ({ ...one, descriptor: null })) } } };
    expect(coverOf(unknown)).toEqual({});
  });
});
