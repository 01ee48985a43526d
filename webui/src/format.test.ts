import { describe, expect, it } from "vitest";
import { celsius, KNOT, length, margin, minutes, quantity, quantityIn, speed } from "./format";

describe("numbers to text", () => {
  it("converts by the definitions of knot and foot", () => {
    expect(speed(KNOT * 142)).toBe("142 kt");
    expect(speed(10, { speed: "km/h", length: "m", temperature: "degC", mass: "t" })).toBe("36 km/h");
    expect(length(304.8, { speed: "kt", length: "ft", temperature: "degC", mass: "t" })).toBe("1000 ft");
    expect(celsius(100, { speed: "kt", length: "m", temperature: "degF", mass: "t" })).toBe("212 °F");
  });
  it("says what is missing and what is too long", () => {
    expect(length(null)).toBe("–");
    expect(margin(null)).toBe("does not stop");
    expect(margin(396.6)).toBe("397 m left");
    expect(margin(-287.5)).toBe("288 m too long");
    expect(length(-0.2)).toBe("0 m");
    expect(minutes(2469)).toBe("42 min");
    expect(minutes(3601)).toBe("1 h 01 min");
  });
});

describe("quantities as typed", () => {
  it("reads number and unit", () => {
    expect(quantityIn("62.5 t", "t")).toBe(62.5);
    expect(quantityIn("2 800 m", "m")).toBe(2800);
    expect(quantityIn("60000 kg", "t")).toBe(60);
    expect(quantityIn("-0.4 %", "%")).toBe(-0.4);
  });
  it("gives nothing where there is no quantity, or a unit of another kind of scale", () => {
    expect(quantityIn("62.5", "t")).toBeNull();
    expect(quantityIn("", "t")).toBeNull();
    expect(quantityIn(62.5, "t")).toBeNull();
    expect(quantityIn("8 degC", "degF")).toBeNull();
  });
  it("writes what a slider gives", () => {
    expect(quantity(58.1, "t", 0.1)).toBe("58.1 t");
    expect(quantity(12, "kt", 1)).toBe("12 kt");
  });
});
