import { render, screen, within } from "@testing-library/svelte";
import { describe, expect, it, vi } from "vitest";
import { written } from "./answers.test-help";
import * as api from "./api";
import type { FleetAnswer, LandAnswer, RejectAnswer, ReviewAnswer, TurnAnswer, WorkspaceAnswer } from "./api";
import Charts from "./Charts.svelte";
import Day from "./Day.svelte";
import Details from "./Details.svelte";
import Fleet from "./Fleet.svelte";
import Review from "./Review.svelte";
import SideBySide from "./SideBySide.svelte";
import Strip from "./Strip.svelte";
import TakeOff from "./TakeOff.svelte";
import { length, signed } from "./format";
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

describe("SideBySide", () => {
  it("draws the ledger and lists what differs", async () => {
    const against = written<LandAnswer>("against");
    vi.spyOn(api, "against").mockResolvedValue(against);
    vi.spyOn(api, "land").mockResolvedValue(written<LandAnswer>("nothing-fits"));
    vi.spyOn(api, "keepState").mockResolvedValue({});
    work.land.answer = answer;
    work.land.case = { title: "one", landing: { mass: "62.5 t" } };
    work.keep("land", "one");
    work.land.case = { title: "two", landing: { mass: "60 t" } };
    render(SideBySide, { view: "land" });
    const picture = await screen.findByRole("img", { name: "From one to what is shown now, metre by metre" });
    const greatest = against.against?.entries[0];
    expect(within(picture).getByText(greatest?.cause ?? "")).toBeTruthy();
    expect(within(picture).getByText(signed(greatest?.share_m ?? 0))).toBeTruthy();
    const row = screen.getByRole("row", { name: /landing\.mass/ });
    expect(within(row).getAllByRole("cell").map((one) => one.textContent)).toEqual(["mass landing.mass", "62.5 t", "60 t"]);
    vi.restoreAllMocks();
  });
});

describe("Fleet and Review", () => {
  it("say the answer first and draw every piece", async () => {
    const fleet = written<FleetAnswer>("fleet");
    const review = written<ReviewAnswer>("review");
    vi.spyOn(api, "fleet").mockResolvedValue(fleet);
    vi.spyOn(api, "review").mockResolvedValue(review);
    vi.spyOn(api, "openFile").mockResolvedValue({ section: "cases", name: "a.toml", kind: "land", text: "", content: {} });
    const empty = { folder: "", version: "", aircraft: [], runways: [] };
    work.workspace = { ...empty, cases: [{ file: "a.toml", title: "a", kind: "land" }], fleets: ["mine"], recordings: ["one.csv"] } as WorkspaceAnswer;
    const { container } = render(Fleet, {});
    expect((await screen.findByTestId("fleet-headline")).textContent).toContain(`${fleet.reviewed} landings`);
    expect(container.querySelectorAll("svg[aria-label^='Friction map'] path").length).toBe(fleet.friction_map.length);
    expect(fleet.planned_exits.length).toBeGreaterThan(0);
    expect(screen.getByText("Exits against plan")).toBeTruthy();
    expect(fleet.trends.length).toBeGreaterThan(0);
    const trends = screen.getByText("Change from the first landing to the last").parentElement as HTMLElement;
    expect(within(trends).getAllByRole("row").length).toBe(1 + fleet.trends.length);
    for (const note of fleet.notes) expect(screen.getByText(note)).toBeTruthy();
    expect(fleet.notes.some((one) => one.includes("INVENTED"))).toBe(true);
    const drawn = render(Review, {});
    expect((await screen.findByTestId("review-headline")).textContent).toContain(review.finding.reported_codes.join("/"));
    expect(drawn.container.querySelectorAll("circle, path.bound").length).toBe(review.bins.length);
    vi.restoreAllMocks();
  });
});

describe("TakeOff and Day", () => {
  it("say the answer first", () => {
    work.reject.answer = written<RejectAnswer>("reject");
    render(TakeOff, {});
    expect(screen.getByTestId("reject-headline").textContent).toContain("the window is");
    const strip = screen.getByRole("group", { name: /take-off from the left/ });
    const stop = work.reject.answer.accelerate_stop_distance_m ?? 0;
    expect(within(strip).getByText(new RegExp(`^stop, by the rule: ${length(stop).replace(" m", "")}`))).toBeTruthy();
    work.turn.answer = written<TurnAnswer>("turn");
    render(Day, {});
    expect(screen.getByTestId("turn-headline").textContent).toContain("does not work");
  });
});
