import { describe, expect, it } from "vitest";
import { area, at, linear, path, ticks } from "./scale";
import { differences, get, put, text } from "./place";

describe("scales", () => {
  it("goes there and back", () => {
    const scale = linear([-150, 2500], [100, 900]);
    expect(scale(-150)).toBe(100);
    expect(scale(2500)).toBe(900);
    expect(scale.invert(scale(1234))).toBeCloseTo(1234, 9);
  });
  it("marks round places inside the domain", () => {
    expect(ticks([0, 2500], 5)).toEqual([0, 500, 1000, 1500, 2000, 2500]);
    expect(ticks([-150, 300], 4)).toEqual([0, 200]);
    expect(ticks([3, 3], 4)).toEqual([]);
  });
  it("reads a curve between its samples and nothing outside", () => {
    expect(at([0, 10, 10, 20], [0, 100, 50, 0], 5)).toBe(50);
    expect(at([0, 10, 10, 20], [0, 100, 50, 0], 15)).toBe(25);
    expect(at([0, 10], [0, 1], 11)).toBeNull();
    expect(at([], [], 0)).toBeNull();
  });
  it("draws", () => {
    expect(path([[0, 1], [2, 3]])).toBe("M0.0 1.0L2.0 3.0");
    expect(area([[0, 1], [1, 1]], [[0, 0], [1, 0]])).toBe("M0.0 1.0L1.0 1.0L1.0 0.0L0.0 0.0Z");
    expect(area([], [])).toBe("");
  });
});

describe("places of a case", () => {
  const given = { landing: { mass: "62.5 t" }, sectors: [{ ground: { time: "35 min" } }] };
  it("reads and changes by dotted place, in a copy", () => {
    expect(text(given, "landing.mass")).toBe("62.5 t");
    expect(get(given, "sectors.0.ground.time")).toBe("35 min");
    const changed = put(put(given, "sectors.0.ground.time", "40 min"), "failures.anti_skid_inoperative", true);
    expect(get(changed, "sectors.0.ground.time")).toBe("40 min");
    expect(get(changed, "failures.anti_skid_inoperative")).toBe(true);
    expect(text(given, "sectors.0.ground.time")).toBe("35 min");
    expect(put(given, "landing.mass", "")).toEqual({ landing: {}, sectors: given.sectors });
  });
  it("tells what differs", () => {
    expect(differences(given, put(given, "landing.mass", "60 t"))).toEqual([["landing.mass", "62.5 t", "60 t"]]);
    expect(differences(given, put(given, "landing.mass", undefined))).toEqual([["landing.mass", "62.5 t", "not given"]]);
    expect(differences(given, put(given, "failures.brakes_released", 1))).toEqual([["failures.brakes_released", "not given", "1"]]);
    expect(differences(given, given)).toEqual([]);
  });
});

describe("ticks in another unit", () => {
  // 1 ft is 0.3048 m by definition: 0 to 1000 m holds 0, 1000, 2000 and 3000 ft. 0 degF is -160/9 degC.
  it("are round there", () => {
    expect(ticks([0, 1000], 4, 0.3048).map((one) => Math.round(one / 0.3048))).toEqual([0, 1000, 2000, 3000]);
    expect(ticks([0, 100], 4, 5 / 9, -160 / 9).map((one) => Math.round(one * 1.8 + 32))).toEqual([50, 100, 150, 200]);
  });
});
