// The only file that talks to the server; every type comes from its OpenAPI document (npm run types).
import type { components } from "./schema";

type Shapes = components["schemas"];
export type LandAnswer = Shapes["LandAnswer"];
export type LandingOption = Shapes["LandingOption"];
export type Decision = Shapes["Decision"];
export type History = Shapes["History"];
export type RejectAnswer = Shapes["RejectAnswer"];
export type TurnAnswer = Shapes["TurnAnswer"];
export type ReadAnswer = Shapes["ReadAnswer"];
export type WorkspaceAnswer = Shapes["WorkspaceAnswer"];
export type AircraftEntry = Shapes["AircraftEntry"];
export type RunwayEntry = Shapes["RunwayEntry"];
export type FileAnswer = Shapes["FileAnswer"];
export type Against = Shapes["Against"];
export type TakeOffStrip = Shapes["TakeOffStrip"];
export type FleetAnswer = Shapes["FleetAnswer"];
export type FleetShare = Shapes["FleetShare"];
export type FleetMean = Shapes["FleetMean"];
export type MapPiece = Shapes["MapPiece"];
export type ReviewAnswer = Shapes["ReviewAnswer"];
export type LessonAnswer = Shapes["LessonAnswer"];
export type LessonsAnswer = Shapes["LessonsAnswer"];
export type CompareRequest = Partial<Shapes["CompareRequest"]>;
export type Fault = Shapes["Fault"];
export type Problem = Shapes["Problem"];

export type Value = string | number | boolean | null | Value[] | { [key: string]: Value };
export type Case = { [key: string]: Value };

export class Refused extends Error {
  constructor(
    readonly fault: Fault,
    readonly status: number,
  ) {
    super(fault.message);
  }
}

async function call<Answer>(method: string, path: string, body?: unknown): Promise<Answer> {
  return (await send(method, path, body)).json() as Promise<Answer>;
}

async function send(method: string, path: string, body?: unknown): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(`/api/${path}`, {
      method,
      headers: body === undefined ? {} : { "content-type": "application/json" },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
  } catch {
    const text = "The server does not answer. What you typed is kept here; start it again with: groundroll serve";
    throw new Refused({ kind: "away", message: text, problems: [{ file: null, field: null, text }] }, 0);
  }
  if (!response.ok) {
    const fallback = { kind: "unexpected", message: `The server answered ${response.status}.`, problems: [] };
    const found = (await response.json().catch(() => ({ error: fallback }))) as { error?: Fault };
    throw new Refused(found.error ?? fallback, response.status);
  }
  return response;
}

const name = encodeURIComponent;

export const land = (given: Case, decide: boolean): Promise<LandAnswer> =>
  call("POST", "land", { case: given, decide, history_step_s: 0.5 });
export const reject = (given: Case): Promise<RejectAnswer> => call("POST", "reject", { case: given, strip: true });
/** The second landing less the first, metre by metre. */
export const against = async (first: Case, other: Case): Promise<LandAnswer> =>
  call("POST", "land", { case: first, against: other });
export const fleet = (fleetName: string): Promise<FleetAnswer> => call("POST", "fleet", { name: fleetName });
export const review = (recording: string, plan: Case): Promise<ReviewAnswer> =>
  call("POST", "review", { recording, case: plan });
export const lessons = (): Promise<LessonsAnswer> => call("GET", "lessons");
export const teach = (lesson: string, own: boolean): Promise<LessonAnswer> => call("POST", "teach", { lesson, own });
export const compare = (request: CompareRequest): Promise<LessonAnswer> => call("POST", "compare", request);
export const turn = (given: Case): Promise<TurnAnswer> => call("POST", "turn", { case: given });
export const read = (text: string): Promise<ReadAnswer> => call("POST", "read", { text, words: true });
export const workspace = (): Promise<WorkspaceAnswer> => call("GET", "workspace");
export const openFile = (section: string, file: string): Promise<FileAnswer> =>
  call("GET", `workspace/${name(section)}/${name(file)}`);
export const saveCase = (file: string, given: Case): Promise<unknown> =>
  call("PUT", `workspace/cases/${name(file)}`, { case: given });
export const deleteFile = (section: string, file: string): Promise<unknown> =>
  call("DELETE", `workspace/${name(section)}/${name(file)}`);
export const toToml = (given: Case): Promise<{ text: string }> => call("POST", "toml", { case: given });
export const fromToml = (text: string): Promise<{ kind: string; case: Case }> => call("POST", "content", { text });
export const loadState = (): Promise<{ state: Case | null }> => call("GET", "state");
export const keepState = (state: unknown): Promise<unknown> => call("PUT", "state", state);
export const brief = async (given: Case): Promise<Blob> => (await send("POST", "brief", { case: given })).blob();
