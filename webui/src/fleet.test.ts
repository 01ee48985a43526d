import { describe, expect, it } from "vitest";
import { written } from "./answers.test-help";
import type { FleetAnswer } from "./api";
import { mapsOf, measuresOf, shown } from "./fleet";

const answer = written<FleetAnswer>("fleet");

describe("a fleet that Python wrote", () => {
  it("has every piece of its map once, runway by runway and code by code", () => {
    const maps = mapsOf(answer);
    const pieces = maps.flatMap((one) => one.codes.flatMap((group) => group.pieces));
    expect(pieces.length).toBe(answer.friction_map.length);
    expect(new Set(pieces).size).toBe(pieces.length);
    maps.forEach((one) => one.codes.forEach((group) => expect(group.pieces.every((piece) => piece.code === group.code)).toBe(true)));
  });
  it("has every mean once, in units that a person reads", () => {
    const measures = measuresOf(answer);
    expect(measures.reduce((sum, one) => sum + one.periods.length, 0)).toBe(answer.means.length);
    const speed = measures.find((one) => one.name === "touchdown ground speed");
    expect(speed?.unit).toBe("kt");
    // 1 kt is 1852 m an hour by definition: 61.7333 m/s are 120 kt.
    expect(speed && shown(speed, 61.7333)).toBe("120.0 kt");
  });
});
