import { describe, expect, it } from "vitest";
import { actionOf, guessRange, isRight, metresTold, momentOf, typed, type Question, type Roll } from "./teach";

// By hand: 7 s in the air over 490 m, then 60 m/s slowed by 3 m/s2 for 20 s: 600 m of roll.
const roll: Roll = {
  landing_distance_available_m: 2000,
  touchdown_distance_m: 490,
  touchdown_time_s: 7,
  ends: "stop",
  time_s: [7, 17, 27],
  distance_m: [490, 940, 1090],
  ground_speed_mps: [60, 30, 0],
  deceleration_mps2: [3, 3, 3],
  brake_energy_per_wheel_j: [0, 1e6, 2e6],
};
const question = (more: Partial<Question>): Question => ({ text: "", choices: [], number: null, unit: "m", within: 0.1, answer: "", explain: [], ...more });

describe("momentOf", () => {
  it("is straight in the air, read from the roll on the ground, and stays at the end", () => {
    expect(momentOf(roll, 3.5).distance).toBeCloseTo(245, 9);
    expect(momentOf(roll, 12).speed).toBeCloseTo(45, 9);
    expect(momentOf(roll, 99)).toMatchObject({ distance: 1090, speed: 0, deceleration: 0, ended: true });
  });
});

describe("predictions", () => {
  it("are right within the share that the lesson asks", () => {
    expect(isRight(question({ number: 100 }), 109)).toBe(true);
    expect(isRight(question({ number: 100 }), 111)).toBe(false);
    expect(isRight(question({ choices: [{ text: "a", right: false, reply: "" }, { text: "b", right: true, reply: "" }] }), 1)).toBe(true);
  });
  it("are told beside the answer", () => {
    expect(metresTold(100, 60)).toBe("It is 60 m longer. You said 100 m longer. The right way, 40 m off.");
    expect(metresTold(-50, 60)).toBe("It is 60 m longer. You said 50 m shorter. The other way, 110 m off.");
  });
  it("have a slider that reaches beyond the answer, and are read as people type", () => {
    for (const one of [0.4, 71, 1234, -30]) {
      const [low, high] = guessRange(one);
      expect(low <= one && one <= high).toBe(true);
      expect(Math.max(Math.abs(low), high)).toBeGreaterThanOrEqual(2 * Math.abs(one));
    }
    expect(typed("1 200")).toBe(1200);
    expect(typed("−3,5")).toBe(-3.5);
    expect(typed("")).toBe(null);
    expect(typed("ten")).toBe(null);
  });
});

describe("actionOf", () => {
  it("leaves keys to what is typed, moved or pressed with them", () => {
    expect(actionOf("ArrowRight", "H3")).toBe("next");
    expect(actionOf("ArrowRight", "INPUT", "radio")).toBe(null);
    expect(actionOf("f", "INPUT", "text")).toBe(null);
    expect(actionOf("Enter", "INPUT", "text")).toBe("reveal");
    expect(actionOf("Enter", "BUTTON")).toBe(null);
    expect(actionOf(" ", "BUTTON")).toBe(null);
    expect(actionOf("Escape", "INPUT", "text")).toBe("leave");
  });
});
