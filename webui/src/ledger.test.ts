import { describe, expect, it } from "vitest";
import { written } from "./answers.test-help";
import type { LandAnswer } from "./api";
import { reach, waterfall } from "./ledger";

describe("a ledger that Python wrote", () => {
  const ledger = written<LandAnswer>("against").against;
  it("leads from one distance to the other without a gap", () => {
    expect(ledger).toBeTruthy();
    if (!ledger) return;
    const steps = waterfall(
      { words: "first", metres: ledger.first_distance_m },
      ledger.entries.map((one) => ({ words: one.cause, metres: one.share_m })),
      { words: "other", metres: ledger.other_distance_m },
    );
    expect(steps[0]?.to).toBe(ledger.first_distance_m);
    steps.slice(1, -1).forEach((one, place) => expect(one.from).toBeCloseTo(steps[place]?.to ?? NaN, 9));
    expect(steps[steps.length - 2]?.to).toBeCloseTo(ledger.other_distance_m, 1);
    const [low, high] = reach(steps);
    for (const one of steps) expect(one.to).toBeGreaterThanOrEqual(low);
    for (const one of steps) expect(one.to).toBeLessThanOrEqual(high);
  });
});

describe("waterfall", () => {
  it("puts together what nobody would see", () => {
    // By hand: 0.3 + 0.4 = 0.7 m in one row.
    const steps = waterfall({ words: "a", metres: 1000 }, [{ words: "x", metres: 10 }, { words: "y", metres: 0.3 }, { words: "z", metres: 0.4 }], { words: "b", metres: 1010.7 });
    expect(steps.map((one) => one.words)).toEqual(["a", "x", "everything smaller", "b"]);
    expect((steps[2]?.to ?? 0) - (steps[2]?.from ?? 0)).toBeCloseTo(0.7, 9);
  });
});
