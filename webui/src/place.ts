// Reading and changing one value of a case by its dotted place: "landing.mass", "sectors.0.ground.time".
import type { Case, Value } from "./api";

export function get(given: Value | undefined, place: string): Value | undefined {
  let found: Value | undefined = given;
  for (const part of place.split(".")) {
    if (Array.isArray(found)) found = found[Number(part)];
    else if (found !== null && typeof found === "object") found = found[part];
    else return undefined;
  }
  return found;
}

export function text(given: Case, place: string): string {
  const found = get(given, place);
  return found == null || typeof found === "object" ? "" : String(found);
}

/** A copy with one value changed; undefined or an empty text takes the key away. */
export function put(given: Case, place: string, value: Value | undefined): Case {
  const copy = structuredClone(given);
  const parts = place.split(".");
  const last = parts.pop() ?? "";
  let section: Value = copy;
  for (const part of parts) {
    const inner: Value | undefined = Array.isArray(section) ? section[Number(part)] : (section as Case)[part];
    if (inner === null || typeof inner !== "object") {
      const made: Case = {};
      (section as Case)[part] = made;
      section = made;
    } else section = inner;
  }
  const target = section as Case;
  if (value === undefined || value === "") delete target[last];
  else target[last] = value;
  return copy;
}

/** Every place where two cases differ, with both values as text. */
export function differences(one: Value | undefined, other: Value | undefined, place = ""): [string, string, string][] {
  if (JSON.stringify(one) === JSON.stringify(other)) return [];
  const isSection = (value: Value | undefined): value is Case =>
    value !== null && typeof value === "object" && !Array.isArray(value);
  // A section that only one of them has is taken apart as well: its keys are what was given.
  if ((isSection(one) || one === undefined) && (isSection(other) || other === undefined)) {
    const keys = [...new Set([...Object.keys(one ?? {}), ...Object.keys(other ?? {})])];
    return keys.flatMap((key) => differences(one?.[key], other?.[key], place ? `${place}.${key}` : key));
  }
  const shown = (value: Value | undefined): string =>
    value == null ? "not given" : typeof value === "object" ? JSON.stringify(value) : String(value);
  return [[place, shown(one), shown(other)]];
}
