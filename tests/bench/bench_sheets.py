"""How long 30 copies of an exercise take, from the command to the files: under 20 s is promised.

Run it by itself: ``python tests/bench/bench_sheets.py [EXERCISE ...]``.
"""

import sys
import tempfile
import time
from pathlib import Path

from heatlib.classroom.cli import sheets

PROMISED = 20.0


def main(numbers):
    slow = []
    for number in numbers:
        for more in ([], ["--units", "US", "--paper", "Letter"], ["--large-print"]):
            with tempfile.TemporaryDirectory() as folder:
                start = time.perf_counter()
                code = sheets([number, "--copies", "30", "--seed", "7", "--folder", folder, *more])
                took = time.perf_counter() - start
                size = sum(path.stat().st_size for path in Path(folder).iterdir()) / 1e6
            print(f"exercise {number} {' '.join(more) or 'plain'}: {took:.1f} s, {size:.1f} MB")
            if code or took > PROMISED:
                slow.append(number)
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or ["1"]))
