// The views of the page, in the order of their buttons: one line each. A view with a case of its own bears the name of
// the question that the case is for, and has a form for it.
import type { Component } from "svelte";
import Day from "./Day.svelte";
import DayInputs from "./DayInputs.svelte";
import Fleet from "./Fleet.svelte";
import Landing from "./Landing.svelte";
import LandingInputs from "./LandingInputs.svelte";
import Review from "./Review.svelte";
import TakeOff from "./TakeOff.svelte";
import TakeOffInputs from "./TakeOffInputs.svelte";
import Teach from "./Teach.svelte";

export interface PageView {
  key: string;
  words: string;
  page: Component;
  inputs: Component | null;
}

export const VIEWS: readonly PageView[] = [
  { key: "land", words: "Landing", page: Landing, inputs: LandingInputs },
  { key: "reject", words: "Take-off", page: TakeOff, inputs: TakeOffInputs },
  { key: "turn", words: "Brakes of the day", page: Day, inputs: DayInputs },
  { key: "review", words: "Recording", page: Review, inputs: null },
  { key: "fleet", words: "Fleet", page: Fleet, inputs: null },
  { key: "teach", words: "Teaching", page: Teach, inputs: null },
];
