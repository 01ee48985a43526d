// What stands in the page: one case for each view, the answers, and what is kept for comparison. Everything typed is kept
// at once in the browser and, a moment later, in the workspace; the newer of the two is taken up again.
import * as api from "./api";
import type { Case, Fault, LandAnswer, RejectAnswer, TurnAnswer, WorkspaceAnswer } from "./api";
import { put } from "./place";

export type View = "land" | "reject" | "turn";
export const VIEWS: Record<View, string> = { land: "Landing", reject: "Take-off", turn: "Brakes of the day" };
const FIRST: Record<View, string> = { land: "wet-gusty-arrival.toml", reject: "departure-wet.toml", turn: "day.toml" };
const STORE = "groundroll-page";
const SETTLED = 180; // milliseconds without a change before the slow part of an answer is asked for

interface Slot<Answer> {
  file: string;
  case: Case | null;
  answer: Answer | null;
  fault: Fault | null;
  busy: boolean;
}

/** Whole values are replaced, never changed inside: large answers are not watched number by number. */
class Box<Answer> implements Slot<Answer> {
  file = $state("");
  case = $state.raw<Case | null>(null);
  answer = $state.raw<Answer | null>(null);
  fault = $state.raw<Fault | null>(null);
  busy = $state(false);
}

export interface Kept {
  name: string;
  case: Case;
  answer: LandAnswer;
}

export class Work {
  view = $state<View>("land");
  theme = $state<"day" | "night">("day");
  workspace = $state.raw<WorkspaceAnswer | null>(null);
  land: Slot<LandAnswer> = new Box<LandAnswer>();
  reject: Slot<RejectAnswer> = new Box<RejectAnswer>();
  turn: Slot<TurnAnswer> = new Box<TurnAnswer>();
  selected = $state<{ brake: string; reverse: string } | null>(null);
  kept = $state.raw<Kept | null>(null);
  reportAside = $state("");
  notice = $state("");
  away = $state(false);
  latency = $state<number | null>(null);

  #wanted: Record<View, number> = { land: 0, reject: 0, turn: 0 };
  #running: Record<View, boolean> = { land: false, reject: false, turn: false };
  #settling: ReturnType<typeof setTimeout> | undefined;
  #saving: ReturnType<typeof setTimeout> | undefined;
  #keptCase: { name: string; case: Case } | null = null;
  #ready = false; // until what was kept is here, nothing is written over it
  #picked = false; // a view picked before that stays

  async start(): Promise<void> {
    const local = this.#local();
    try {
      const [workspace, { state }] = await Promise.all([api.workspace(), api.loadState()]);
      this.workspace = workspace;
      const newer = Number(local?.saved_at ?? 0) >= Number(state?.saved_at ?? 0) ? (local ?? state) : state;
      this.#take(newer);
    } catch (error) {
      this.#take(local);
      this.#say(error);
    }
    this.#ready = true;
    for (const view of Object.keys(VIEWS) as View[]) {
      if (!this[view].case) await this.open(view, FIRST[view], false).catch(() => undefined);
    }
    this.ask(this.view);
    if (this.#keptCase) await this.keep(this.#keptCase.name, this.#keptCase.case).catch(() => undefined);
  }

  show(view: View): void {
    this.view = view;
    this.#picked = true;
    this.#remember();
    if (this.#ready && !this[view].answer) this.ask(view);
  }

  setTheme(theme: "day" | "night"): void {
    this.theme = theme;
    document.documentElement.dataset.theme = theme;
    this.#remember();
  }

  /** One value of the case of a view is changed; the picture follows. */
  change(view: View, place: string, value: api.Value | undefined): void {
    const slot = this[view];
    if (!slot.case) return;
    this.replace(view, put(slot.case, place, value));
  }

  replace(view: View, given: Case): void {
    performance.mark("input");
    this[view].case = given;
    this.#remember();
    this.ask(view);
  }

  async open(view: View, file: string, ask = true): Promise<void> {
    const found = await api.openFile("cases", file);
    if (found.kind !== view || !found.content) {
      throw new api.Refused({ kind: "input", message: `${file} is not for this view.`, problems: [] }, 422);
    }
    this[view].file = file;
    this[view].case = found.content as Case;
    if (view === "land") this.selected = null;
    this.#remember();
    if (ask) this.ask(view);
  }

  async refresh(): Promise<void> {
    this.workspace = await api.workspace();
  }

  async keep(name: string, given: Case): Promise<void> {
    const copy = structuredClone(given);
    this.kept = { name, case: copy, answer: await api.land(copy, true) };
    this.#keptCase = { name, case: copy };
    this.#remember();
  }

  letGo(): void {
    this.kept = null;
    this.#keptCase = null;
    this.#remember();
  }

  ask(view: View): void {
    this.#wanted[view] += 1;
    if (view === "land") {
      clearTimeout(this.#settling);
      this.#settling = setTimeout(() => void this.#decide(this.#wanted.land), SETTLED);
    }
    void this.#run(view);
  }

  async #run(view: View): Promise<void> {
    if (this.#running[view]) return;
    this.#running[view] = true;
    const slot = this[view];
    slot.busy = true;
    let done = -1;
    while (done !== this.#wanted[view]) {
      done = this.#wanted[view];
      if (!slot.case) break;
      const given = slot.case;
      try {
        if (view === "land") this.#takeLanding(await api.land(given, false));
        else if (view === "reject") this.reject.answer = await api.reject(given);
        else this.turn.answer = await api.turn(given);
        slot.fault = null;
        this.away = false;
      } catch (error) {
        this.#fault(view, error);
      }
      this.#measure();
    }
    slot.busy = view === "land" && !slot.fault;
    this.#running[view] = false;
  }

  /** The roll of every choice is here; the decision made for the case before stays until the next one comes. */
  #takeLanding(answer: LandAnswer): void {
    this.land.answer = answer;
  }

  async #decide(wanted: number): Promise<void> {
    if (!this.land.case) return;
    const given = this.land.case;
    try {
      const answer = await api.land(given, true);
      if (wanted !== this.#wanted.land) return;
      this.land.answer = answer;
      this.land.fault = null;
      this.land.busy = false;
      performance.mark("decided");
    } catch (error) {
      if (wanted === this.#wanted.land) this.#fault("land", error);
    }
  }

  #fault(view: View, error: unknown): void {
    const slot = this[view];
    slot.busy = false;
    if (error instanceof api.Refused) {
      slot.fault = error.fault;
      this.away = error.status === 0;
    } else slot.fault = { kind: "unexpected", message: String(error), problems: [] };
  }

  #say(error: unknown): void {
    this.notice = error instanceof Error ? error.message : String(error);
    this.away = error instanceof api.Refused && error.status === 0;
  }

  /** From input to picture: the time until the frame after the one that was drawn with the answer. */
  #measure(): void {
    const marks = performance.getEntriesByName("input");
    const start = marks[marks.length - 1]?.startTime;
    performance.clearMarks("input");
    if (start === undefined) return;
    requestAnimationFrame(() =>
      setTimeout(() => {
        const spent = performance.now() - start;
        this.latency = spent;
        performance.measure("input to picture", { start, end: start + spent });
      }),
    );
  }

  #local(): Case | null {
    try {
      return JSON.parse(localStorage.getItem(STORE) ?? "null") as Case | null;
    } catch {
      return null;
    }
  }

  #take(state: Case | null): void {
    const dark = matchMedia("(prefers-color-scheme: dark)").matches;
    const theme = state?.theme === "night" || state?.theme === "day" ? state.theme : dark ? "night" : "day";
    this.theme = theme;
    document.documentElement.dataset.theme = theme;
    if (!state) return;
    if (!this.#picked && typeof state.view === "string" && state.view in VIEWS) this.view = state.view as View;
    for (const view of Object.keys(VIEWS) as View[]) {
      const kept = state[view] as { file?: string; case?: Case } | undefined;
      if (kept?.case) {
        this[view].case = kept.case;
        this[view].file = kept.file ?? "";
      }
    }
    if (typeof state.reportAside === "string") this.reportAside = state.reportAside;
    this.#keptCase = (state.kept as { name: string; case: Case } | undefined) ?? null;
  }

  #remember(): void {
    if (!this.#ready) return;
    const one = (view: View): Case => ({ file: this[view].file, case: this[view].case ?? {} });
    const state = {
      saved_at: Date.now(),
      view: this.view,
      theme: this.theme,
      land: one("land"),
      reject: one("reject"),
      turn: one("turn"),
      reportAside: this.reportAside,
      kept: this.#keptCase,
    };
    try {
      localStorage.setItem(STORE, JSON.stringify(state));
    } catch {
      // A browser that keeps nothing: the workspace does.
    }
    clearTimeout(this.#saving);
    this.#saving = setTimeout(() => void api.keepState(state).catch((error: unknown) => this.#say(error)), 400);
  }
}

export const work = new Work();
