"""How often do the intervals of a fit to recordings hold? `python -m benchmarks.fit_recordings [OPERATORS] [LANDINGS]`.

Operators are drawn from what the fit is told beforehand, 12 with 30 landings each by default; recordings are invented.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

import numpy as np
from tests.review.operators import fitted


def main() -> None:
    """Print for each parameter how many intervals were given, how many hold, and how wide they are."""
    operators = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    landings = int(sys.argv[2]) if len(sys.argv) > 2 else 30
    given: Counter[str] = Counter()
    held: Counter[str] = Counter()
    widths: dict[str, list[float]] = {}
    refused = counted = 0
    began = time.perf_counter()
    for seed in range(operators):
        operator, fit = fitted(seed, landings)
        refused += bool(fit.refusals)
        counted += len(fit.witnesses)
        for one in fit.parameters:
            key = one.parameter.key
            if one.fitted:
                given[key] += 1
                held[key] += bool(one.low <= operator.truth[key] <= one.high)
                widths.setdefault(key, []).append((one.high - one.low) / (3.92 * one.parameter.spread))
    print(f"{operators} operators, {counted} landings counted, {refused} fits refused")
    for key, number in given.items():
        print(f"{key}: {held[key]} of {number} hold, width {np.mean(widths[key]):.2f} of that before")
    print(f"all: {held.total()} of {given.total()}; {time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
