// Numbers to text, and quantities as a person types them. Pure functions.

export interface Display {
  speed: "kt" | "m/s" | "km/h";
  length: "m" | "ft";
  temperature: "degC" | "degF";
  mass: "t" | "kg" | "lb";
}

export const PLAIN: Display = { speed: "kt", length: "m", temperature: "degC", mass: "t" };

export const KNOT = 1852 / 3600;
const FOOT = 0.3048;
const POUND = 0.45359237;

// SI per unit, for sliders and readouts: exact by definition (nautical mile, international foot and pound).
const UNITS: Record<string, number> = {
  kt: KNOT,
  "m/s": 1,
  "km/h": 1 / 3.6,
  m: 1,
  ft: FOOT,
  km: 1000,
  t: 1000,
  kg: 1,
  lb: POUND,
  "%": 0.01,
  hPa: 100,
  s: 1,
  min: 60,
  h: 3600,
};

const MINUS = "−";

function fixed(value: number, digits = 0): string {
  const text = value.toFixed(digits);
  return text.startsWith("-") ? (Number(text) === 0 ? text.slice(1) : MINUS + text.slice(1)) : text;
}

export function number(value: number | null | undefined, digits = 0): string {
  return value == null || !Number.isFinite(value) ? "–" : fixed(value, digits);
}

export function speed(value: number | null | undefined, display: Display = PLAIN): string {
  return value == null ? "–" : `${fixed(value / (UNITS[display.speed] ?? 1))} ${display.speed}`;
}

export function length(value: number | null | undefined, display: Display = PLAIN): string {
  return value == null ? "–" : `${fixed(value / (UNITS[display.length] ?? 1))} ${display.length}`;
}

/** Metres in one of the lengths that are shown: where marks shall be round. */
export function metresIn(display: Display): number {
  return UNITS[display.length] ?? 1;
}

export function margin(value: number | null | undefined, display: Display = PLAIN): string {
  if (value == null) return "does not stop";
  const text = length(Math.abs(value), display);
  return value >= 0 ? `${text} left` : `${text} too long`;
}

/** A gain or a loss with its sign. */
export function signed(value: number, display: Display = PLAIN): string {
  const size = Math.abs(value) / (UNITS[display.length] ?? 1);
  const text = `${fixed(size, size < 9.95 ? 1 : 0)} ${display.length}`;
  return value < 0 ? `${MINUS} ${text}` : `+ ${text}`;
}

export function celsius(value: number | null | undefined, display: Display = PLAIN): string {
  if (value == null) return "–";
  return display.temperature === "degF" ? `${fixed(value * 1.8 + 32)} °F` : `${fixed(value)} °C`;
}

export function energy(value: number | null | undefined): string {
  return value == null ? "–" : `${fixed(value / 1e6, 1)} MJ`;
}

export function seconds(value: number | null | undefined): string {
  return value == null ? "–" : `${fixed(value)} s`;
}

export function minutes(value: number | null | undefined): string {
  if (value == null) return "–";
  const whole = Math.ceil(value / 60);
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, "0")} min`;
}

export function clock(value: number): string {
  const whole = Math.round(value / 60);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** The number in a quantity, in the unit asked for; null where there is none ("62.5 t" in "t" is 62.5). */
export function quantityIn(text: unknown, unit: string): number | null {
  if (typeof text !== "string") return null;
  const found = /^\s*([+-]?[\d\s]*\.?\d+)\s*(\S+)\s*$/.exec(text.replace(MINUS, "-"));
  if (!found) return null;
  const value = Number((found[1] ?? "").replace(/\s/g, ""));
  const given = found[2] ?? "";
  if (!Number.isFinite(value)) return null;
  if (given === unit) return value;
  const from = UNITS[given];
  const to = UNITS[unit];
  return from === undefined || to === undefined ? null : (value * from) / to;
}

export function quantity(value: number, unit: string, step: number): string {
  const digits = step >= 1 ? 0 : Math.ceil(-Math.log10(step));
  return `${value.toFixed(digits)} ${unit}`;
}

export function choiceName(brake: string, reverse: string): string {
  const words = reverse === "none" ? "no reverse" : `${reverse} reverse`;
  return brake === "manual" ? `manual braking, ${words}` : `setting ${brake}, ${words}`;
}
