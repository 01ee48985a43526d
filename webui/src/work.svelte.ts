// What stands in the page: one case for each question, the answers, and what is kept for comparison. Everything typed is
// kept at once in the browser and, a moment later, in the workspace; the newer of the two is taken up again.
import * as api from "./api";
import type { Case, Fault, LandAnswer, RejectAnswer, TurnAnswer, WorkspaceAnswer } from "./api";
import { put } from "./place";

/** The questions that a case is for. A view of the page that has no case stands in views.ts only. */
export const CASES = ["land", "reject", "turn"] as const;
export type View = (typeof CASES)[number];
export const isCase = (view: string): view is View => (CASES as readonly string[]).includes(view);
const FIRST: Record<View, string> = { land: "wet-gusty-arrival.toml", reject: "departure-wet.toml", turn: "day.toml" };
const STORE = "groundroll-page";
const SETTLED = 220; // milliseconds without a change before the slow part of an answer is asked for
const AGAIN = 1500; // milliseconds until a server that did not answer is asked again
const MOST_KEPT = 8;

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

/** A case kept by name, to be set beside another. */
export interface Kept {
  name: string;
  case: Case;
}

export class Work {
  view = $state<string>("land");
  theme = $state<"day" | "night">("day");
  workspace = $state.raw<WorkspaceAnswer | null>(null);
  land: Slot<LandAnswer> = new Box<LandAnswer>();
  reject: Slot<RejectAnswer> = new Box<RejectAnswer>();
  turn: Slot<TurnAnswer> = new Box<TurnAnswer>();
  selected = $state<{ brake: string; reverse: string } | null>(null);
  kept = $state.raw<Record<View, Kept[]>>({ land: [], reject: [], turn: [] });
  /** Which two are side by side, by name; an empty name is what is shown now. */
  pair = $state.raw<Record<View, [string, string]>>({ land: ["", ""], reject: ["", ""], turn: ["", ""] });
  chosen = $state.raw<{ fleet: string; recording: string; plan: string }>({ fleet: "", recording: "", plan: "" });
  reportAside = $state("");
  notice = $state("");
  away = $state(false);
  latency = $state<number | null>(null);

  #changedAt: Record<View, number | null> = { land: null, reject: null, turn: null };
  #wanted: Record<View, number> = { land: 0, reject: 0, turn: 0 };
  #running: Record<View, boolean> = { land: false, reject: false, turn: false };
  #settling: ReturnType<typeof setTimeout> | undefined;
  #saving: ReturnType<typeof setTimeout> | undefined;
  #again: ReturnType<typeof setTimeout> | undefined;
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
    await this.#openFirst();
    if (isCase(this.view)) this.ask(this.view);
    if (this.away) this.#tryAgain();
  }

  async #openFirst(): Promise<void> {
    for (const view of CASES) {
      if (!this[view].case) await this.open(view, FIRST[view], false).catch(() => undefined);
    }
  }

  show(view: string): void {
    this.view = view;
    this.#picked = true;
    this.#remember();
    if (this.#ready && isCase(view) && !this[view].answer) this.ask(view);
  }

  choose(chosen: Partial<typeof this.chosen>): void {
    this.chosen = { ...this.chosen, ...chosen };
    this.#remember();
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
    this.#changedAt[view] = performance.now();
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

  /** Keep the case that is shown, under a name of its own; it becomes the first of the two side by side. */
  keep(view: View, name: string): void {
    const given = this[view].case;
    if (!given) return;
    const wanted = name.trim() || "kept case";
    const others = this.kept[view].filter((one) => one.name !== wanted);
    this.kept = { ...this.kept, [view]: [...others, { name: wanted, case: structuredClone(given) }].slice(-MOST_KEPT) };
    this.setPair(view, [wanted, this.pair[view][1] === wanted ? "" : this.pair[view][1]]);
  }

  letGo(view: View, name: string): void {
    this.kept = { ...this.kept, [view]: this.kept[view].filter((one) => one.name !== name) };
    const left = this.kept[view][0]?.name ?? "";
    const [one, other] = this.pair[view];
    this.setPair(view, [one === name ? left : one, other === name ? "" : other]);
  }

  setPair(view: View, pair: [string, string]): void {
    this.pair = { ...this.pair, [view]: pair };
    this.#remember();
  }

  /** The case under a name of the pair. */
  named(view: View, name: string): Case | null {
    return name === "" ? this[view].case : (this.kept[view].find((one) => one.name === name)?.case ?? null);
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
      const since = this.#changedAt[view];
      this.#changedAt[view] = null;
      try {
        if (view === "land") this.#takeLanding(await api.land(given, false));
        else if (view === "reject") this.reject.answer = await api.reject(given);
        else this.turn.answer = await api.turn(given);
        slot.fault = null;
        this.away = false;
      } catch (error) {
        this.#fault(view, error);
      }
      this.#measure(since);
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
      if (this.away) this.#tryAgain();
    } else slot.fault = { kind: "unexpected", message: String(error), problems: [] };
  }

  #say(error: unknown): void {
    this.notice = error instanceof Error ? error.message : String(error);
    this.away = error instanceof api.Refused && error.status === 0;
    if (this.away) this.#tryAgain();
  }

  /** A server that was stopped may be started again: what was typed meanwhile is brought to it then. */
  #tryAgain(): void {
    clearTimeout(this.#again);
    this.#again = setTimeout(async () => {
      try {
        this.workspace = await api.workspace();
      } catch {
        this.#tryAgain();
        return;
      }
      this.away = false;
      this.notice = "";
      await this.#openFirst();
      this.#remember();
      if (isCase(this.view)) this.ask(this.view);
    }, AGAIN);
  }

  /** From the input that is drawn now to its picture: until the frame that was drawn with the answer is out. */
  #measure(start: number | null): void {
    if (start === null) return;
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
    if (!this.#picked && typeof state.view === "string") this.view = state.view;
    const lists = (state.kept ?? {}) as Partial<Record<View, Kept[]>>;
    const pairs = (state.pair ?? {}) as Partial<Record<View, [string, string]>>;
    for (const view of CASES) {
      const found = state[view] as { file?: string; case?: Case } | undefined;
      if (found?.case && Object.keys(found.case).length > 0) {
        this[view].case = found.case;
        this[view].file = found.file ?? "";
      }
      if (Array.isArray(lists[view])) this.kept = { ...this.kept, [view]: lists[view] };
      if (Array.isArray(pairs[view])) this.pair = { ...this.pair, [view]: pairs[view] };
    }
    this.chosen = { ...this.chosen, ...((state.chosen as typeof this.chosen | undefined) ?? {}) };
    if (typeof state.reportAside === "string") this.reportAside = state.reportAside;
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
      kept: this.kept,
      pair: this.pair,
      chosen: this.chosen,
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
