"""``python -m tests.bench``, from the top of this project: see ``measure``."""

import sys
from pathlib import Path

HERE = Path(__file__).parent


def start() -> None:
    """What lies here is found by its bare name, as the tests find it; the package is the one of this source."""
    sys.path[:0] = [str(HERE), str(HERE.parents[1])]
    from measure import main

    main()


start()
