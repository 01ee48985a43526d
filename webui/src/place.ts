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
  // Lists of sections, as the sectors of a day, likewise, entry by entry.
  const isList = (value: Value | undefined): value is Case[] =>
    Array.isArray(value) && value.length > 0 && value.every((entry) => isSection(entry));
  if (isList(one) && isList(other)) {
    const longest = one.length >= other.length ? one : other;
    return longest.flatMap((_, number) => differences(one[number], other[number], `${place}.${number}`));
  }
  const shown = (value: Value | undefined): string =>
    value == null ? "not given" : Array.isArray(value) && value.every((entry) => typeof entry !== "object") ? value.join(" / ") : typeof value === "object" ? JSON.stringify(value) : String(value);
  return [[place, shown(one), shown(other)]];
}

// What a place of the file is called in the form. A place that is not listed is shown as the file has it.
const WORDS: Record<string, string> = {
  aircraft: "aeroplane",
  runway: "aerodrome",
  direction: "runway",
  "weather.report": "weather report",
  "weather.wind": "wind",
  "weather.temperature": "temperature",
  "weather.qnh": "QNH",
  "condition.report": "condition report",
  "condition.codes": "condition codes",
  "condition.descriptors": "what lies on the runway",
  "condition.depths": "its depth",
  "landing.mass": "mass",
  "landing.flap": "flap",
  "landing.speed_additive": "added to the reference speed",
  "landing.approach_speed": "speed at the threshold",
  "landing.touchdown_distance": "touchdown",
  "landing.margin": "margin on the distance",
  "landing.initial_brake_temperature": "brakes before landing",
  "choice.exit": "exit wanted",
  "take_off.mass": "mass",
  "take_off.flap": "flap",
  "take_off.decision_speed": "decision speed",
  "take_off.assumed_temperature": "assumed temperature",
  "take_off.event": "reject as flown is for",
  "take_off.braking": "braking",
  "take_off.reverse": "reverse",
  "failures.additional_tailwind": "tailwind on top",
  "failures.threshold_speed_excess": "fast at the threshold",
  "failures.friction_share": "braking over that of the codes",
  "failures.reversers_inoperative": "reversers that do not work",
  "failures.brakes_released": "brakes deactivated",
  "failures.anti_skid_inoperative": "anti-skid does not work",
  "failures.automatic_brakes_inoperative": "automatic brakes do not work",
  "failures.spoilers_share": "spoiler effect left",
  "start.air_temperature": "air at the start",
  "start.brake_temperature": "brakes at the start",
};

export function inWords(place: string): string {
  const sector = /^sectors\.(\d+)\.(.+)$/.exec(place);
  if (sector) return `sector ${Number(sector[1]) + 1}, ${(sector[2] ?? "").replaceAll(".", ", ").replaceAll("_", " ")}`;
  return WORDS[place] ?? place.replaceAll(".", ", ").replaceAll("_", " ");
}
