// A ledger of metres as steps of a waterfall: from one distance, cause by cause, to the other. Pure functions.

export interface Step {
  words: string;
  from: number;
  to: number;
  /** First and last row: a whole distance, not a step. */
  whole: boolean;
}

export interface Entry {
  words: string;
  metres: number;
}

const LEAST = 0.5; // metres; what is smaller is put together, as nobody would see it

/** Rows of the waterfall, in the order given; `first` and `other` name the two distances. */
export function waterfall(first: Entry, entries: readonly Entry[], other: Entry): Step[] {
  const shown = entries.filter((one) => Math.abs(one.metres) >= LEAST);
  const rest = other.metres - first.metres - shown.reduce((sum, one) => sum + one.metres, 0);
  const listed = Math.abs(rest) >= 0.05 ? [...shown, { words: "everything smaller", metres: rest }] : shown;
  let place = first.metres;
  const steps = listed.map((one) => {
    const from = place;
    place += one.metres;
    return { words: one.words, from, to: place, whole: false };
  });
  return [
    { words: first.words, from: 0, to: first.metres, whole: true },
    ...steps,
    { words: other.words, from: 0, to: other.metres, whole: true },
  ];
}

/** From where to where the axis has to reach: the steps fill it, so it need not begin at zero. */
export function reach(steps: readonly Step[]): [number, number] {
  const ends = steps.flatMap((one) => (one.whole ? [one.to] : [one.from, one.to]));
  const low = Math.min(...ends);
  const high = Math.max(...ends);
  const room = Math.max((high - low) * 0.12, 10);
  return [Math.max(low - room, 0), high + room];
}
