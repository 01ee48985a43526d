import { render, screen, within } from "@testing-library/svelte";
import { beforeEach, describe, expect, it, vi } from "vitest";
import { written } from "./answers.test-help";
import type { LandAnswer, RejectAnswer, TurnAnswer } from "./api";
import Charts from "./Charts.svelte";
import Day from "./Day.svelte";
import Details from "./Details.svelte";
import Strip from "./Strip.svelte";
import TakeOff from "./TakeOff.svelte";
import { length } from "./format";
import { linear } from "./scale";
import { work } from "./work.svelte";

const answer = written<LandAnswer>("land");
const scale = linear([-150, 2600], [100, 900]);
const shown = answer.recommended ?? 0;

// The page is not laid out here; a size that never changes stands in.
vi.stubGlobal(
  "ResizeObserver",
  class {
    observe(): void {}
    unobserve(): void {}
    disconnect(): void {}
  },
);

beforeEach(() => {
  work.kept = null;
});

describe("Strip", () => {
  it("draws every option as a track, every exit as a button, and hands on what is touched", async () => {
    const told = { onexit: vi.fn(), onchoose: vi.fn(), ontouchdown: vi.fn() };
    const { container } = render(Strip, { answer, shown, scale, width: 960, ...told });
    expect(container.querySelectorAll(".track").length).toBe(answer.options.length);
    expect(container.querySelectorAll(".track.fits").length).toBe(answer.options.filter((one) => one.fits).length);
    expect(container.querySelectorAll(".gate").length).toBe(answer.decision?.gates.length);
    const exit = screen.getByRole("button", { name: /^E up to/ });
    exit.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
    expect(told.onexit).toHaveBeenCalledWith("E");
    const touchdown = screen.getByRole("slider", { name: "Touchdown point" });
    touchdown.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true }));
    expect(told.ontouchdown).toHaveBeenCalledWith(Math.round(answer.landing.air_distance_m + 25));
  });
});

describe("Charts", () => {
  it("draws the speed of every choice and names what slows", () => {
    const { container } = render(Charts, { answer, shown, scale, width: 960 });
    expect(container.querySelectorAll("path.other").length).toBe(answer.options.length - 1);
    expect(container.querySelectorAll("path.share").length).toBeGreaterThanOrEqual(4);
  });
});

describe("Details", () => {
  it("lists every choice with the numbers of the answer", () => {
    render(Details, { answer, shown });
    const rows = within(screen.getByRole("table")).getAllByRole("row");
    expect(rows.length).toBe(answer.options.length + 1);
    const current = rows.find((one) => one.classList.contains("current"));
    expect(current?.textContent).toContain(length(answer.options[shown]?.stop_distance_m));
  });
});

describe("TakeOff and Day", () => {
  it("say the answer first", () => {
    work.reject.answer = written<RejectAnswer>("reject");
    render(TakeOff, {});
    expect(screen.getByTestId("reject-headline").textContent).toContain("the window is");
    work.turn.answer = written<TurnAnswer>("turn");
    render(Day, {});
    expect(screen.getByTestId("turn-headline").textContent).toContain("does not work");
  });
});
