// Contrast by the definition of WCAG 2.2 (relative luminance, contrast ratio) for every pair of colours that is used.
import { readFileSync, readdirSync } from "node:fs";
import { describe, expect, it } from "vitest";

const css = readFileSync("src/page.css", "utf-8");

function theme(name: string): Record<string, string> {
  const block = new RegExp(`data-theme="${name}"\\]\\s*\\{([^}]*)\\}`).exec(css)?.[1] ?? "";
  return Object.fromEntries([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/g)].map((one) => [one[1], one[2]]));
}

function luminance(colour: string): number {
  const parts = [1, 3, 5].map((place) => parseInt(colour.slice(place, place + 2), 16) / 255);
  const [red, green, blue] = parts.map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4));
  return 0.2126 * (red ?? 0) + 0.7152 * (green ?? 0) + 0.0722 * (blue ?? 0);
}

function contrast(one: string, other: string): number {
  const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
}

// 1.4.3: text at least 4.5 to 1. 1.4.11: what is needed to understand a drawing or a control, at least 3 to 1. Every
// colour of words on every ground, every colour of lines on every ground that drawings stand on.
const GROUNDS = ["paper", "sheet", "accent-wash", "warn-wash"];
const pairs = (fronts: string[], backs: string[]): [string, string][] => fronts.flatMap((one) => backs.map((other): [string, string] => [one, other]));
const TEXT: [string, string][] = [...pairs(["ink", "quiet", "warn"], GROUNDS), ["ink", "runway"], ["on-accent", "accent"]];
const DRAWN: [string, string][] = [
  ...pairs(["ink", "quiet", "accent", "warn"], [...GROUNDS, "runway"]).filter(([one, other]) => !(one === "warn" && other === "runway")),
  ...pairs(["edge"], ["paper", "sheet"]),
];
// The grounds themselves, and lines that only help the eye: nothing is told by them alone.
const SILENT = ["rule", "share-aerodynamic", "share-reverse", "share-brakes", "share-rolling", "share-contaminant", "share-slope"];

describe("colours", () => {
  const sources = readdirSync("src").filter((one) => one.endsWith(".svelte")).map((one) => [one, readFileSync(`src/${one}`, "utf-8")] as const);
  it("of both themes have the same names, and every one is in a pair below or says nothing alone", () => {
    const names = Object.keys(theme("day"));
    expect(Object.keys(theme("night"))).toEqual(names);
    const known = new Set([...TEXT.flat(), ...DRAWN.flat(), ...SILENT]);
    expect(names.filter((one) => !known.has(one))).toEqual([]);
  });
  it.each(sources)("%s uses those of the themes and no others", (_, text) => {
    const style = /<style>([\s\S]*)<\/style>/.exec(text)?.[1] ?? "";
    const used = [...style.matchAll(/var\(--([\w-]+)\)/g)].map((one) => one[1] ?? "");
    expect(used.filter((one) => !(one in theme("day")))).toEqual([]);
    expect(style).not.toMatch(/#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(/i);
    expect(text.replace(/<style>[\s\S]*<\/style>/, "")).not.toMatch(/(fill|stroke)="(?!none|url|transparent)/);
  });
});

describe.each(["day", "night"])("theme %s", (name) => {
  const colours = theme(name);
  it.each(TEXT)("text: %s on %s", (front, back) => {
    expect(contrast(colours[front] ?? "", colours[back] ?? "")).toBeGreaterThanOrEqual(4.5);
  });
  it.each(DRAWN)("drawn: %s on %s", (front, back) => {
    expect(contrast(colours[front] ?? "", colours[back] ?? "")).toBeGreaterThanOrEqual(3);
  });
  it("neighbouring shares of the chart differ in lightness", () => {
    const order = ["brakes", "reverse", "aerodynamic", "rolling"].map((one) => colours[`share-${one}`] ?? "");
    order.slice(1).forEach((one, place) => expect(contrast(one, order[place] ?? "")).toBeGreaterThan(1.05));
  });
});

it("contrast: black on white is 21, as the definition says", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 9);
});
