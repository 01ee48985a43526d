// The outputs of an answer that are set side by side, by name. Nothing is computed here.
import type { LandAnswer, RejectAnswer, TurnAnswer } from "./api";
import { celsius, choiceName, energy, length, margin, minutes, number, seconds, speed } from "./format";
import { chosenExit, displayOf, shownOption } from "./landing";

export interface Outcome {
  name: string;
  words: string;
}

export function landTold(answer: LandAnswer): Outcome[] {
  const option = answer.options[shownOption(answer, null)];
  if (!option) return [];
  const display = displayOf(answer);
  const facts = answer.landing;
  return [
    { name: "plan", words: answer.recommended === null ? "nothing fits" : choiceName(option.brake, option.reverse) },
    { name: "exit", words: chosenExit(answer) ?? "none" },
    { name: "speed over the ground at the threshold", words: speed(facts.threshold_ground_speed_mps, display) },
    { name: "touchdown", words: length(facts.air_distance_m, display) },
    { name: "stop", words: length(option.stop_distance_m, display) },
    { name: "margin", words: margin(option.margin_m, display) },
    { name: "time to the stop", words: seconds(option.stop_time_s) },
    { name: "mean deceleration", words: `${number(option.mean_deceleration_mps2, 2)} m/s²` },
    { name: "ruled by friction", words: `${number(100 * option.limited_by.friction)} %` },
    { name: "energy a wheel", words: energy(option.brake_energy_per_wheel_j) },
    { name: "brake temperature", words: celsius(option.peak_brake_temperature_c, display) },
    { name: "cooling", words: minutes(option.cooling_time_s) },
  ];
}

export function rejectTold(answer: RejectAnswer): Outcome[] {
  const display = displayOf(answer);
  const { window, available } = answer;
  const planned = answer.cases.find((one) => one.case === "planned");
  return [
    { name: "decision speed", words: speed(answer.decision_speed_mps, display) },
    { name: "it fits", words: answer.fits ? "yes" : "NO" },
    { name: "window from", words: speed(window.from_mps, display) },
    { name: "window to", words: speed(window.to_mps, display) },
    { name: "rotation", words: speed(answer.rotation_speed_mps, display) },
    { name: "to stop, by the rule", words: length(answer.accelerate_stop_distance_m, display) },
    { name: "available to stop", words: length(available.accelerate_stop_m, display) },
    { name: "to go, by the rule", words: length(answer.accelerate_go_distance_m, display) },
    { name: "available to go", words: length(available.take_off_m, display) },
    { name: "stop as flown", words: length(planned?.stop_distance_m, display) },
    { name: "left as flown", words: planned ? margin(planned.margin_m, display) : "–" },
    { name: "energy a wheel", words: energy(planned?.brake_energy_per_wheel_j) },
    { name: "brake temperature", words: celsius(planned?.peak_brake_temperature_c, display) },
  ];
}

type Facts = Record<string, unknown>;
const inside = (facts: Facts, part: string, key: string): number | null => {
  const found = (facts[part] as Facts | null | undefined)?.[key];
  return typeof found === "number" ? found : null;
};

export function turnTold(answer: TurnAnswer): Outcome[] {
  const display = displayOf(answer);
  const of = (sector: Facts, key: string): number | null => (typeof sector[key] === "number" ? sector[key] : null);
  const hottest = Math.max(...answer.brakes.flatMap((one) => one.indicated_c));
  return [
    { name: "the day works", words: answer.fits ? "yes" : "NO" },
    { name: "hottest that the crew reads", words: celsius(hottest, display) },
    ...answer.sectors.flatMap((sector) => [
      { name: `${String(sector.name)}: brakes at departure`, words: celsius(inside(sector, "departure", "indicated_temperature_c"), display) },
      { name: `${String(sector.name)}: ground time`, words: minutes(of(sector, "planned_ground_time_s")) },
      { name: `${String(sector.name)}: ground time needed`, words: minutes(of(sector, "minimum_ground_time_s")) },
    ]),
  ];
}
