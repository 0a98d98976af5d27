"""Trials a second by vectorized numpy, over the project that `RISK_JOB=path cargo bench --bench risk` writes.

    python benches/risk_numpy.py path

The simulation is that of `tests/outside/risk.py`: finish, total, and the shares on chains that fix the finish; without
and with what a week's wait of each part costs, which goes through all phases again for each part.
"""

import json
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests" / "outside"))
import risk  # noqa: E402

risk.TRIALS = 10_000


def main():
    job = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    calendar = risk.Calendar()
    print(f"{len(job['parts'])} parts that count, {len(job['phases'])} phases, numpy {np.__version__}")
    for with_waits, rounds in ((False, 5), (True, 1)):
        took = []
        for _ in range(rounds):
            begin = time.perf_counter()
            risk.simulate(np.random.default_rng(1), job, calendar, with_waits)
            took.append(time.perf_counter() - begin)
        print(f"10,000 trials {'with' if with_waits else 'without'} waits: fastest {min(took):.3f} s")


if __name__ == "__main__":
    main()
