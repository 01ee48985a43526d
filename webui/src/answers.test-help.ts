// For tests only: answers that Python wrote (python -m tests.web.write_answers).
import { readFileSync } from "node:fs";

export function written<Answer>(name: string): Answer {
  return JSON.parse(readFileSync(`../out/answers/${name}.json`, "utf-8")) as Answer;
}
