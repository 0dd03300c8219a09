"""``python -m review`` is ``lesson-review``."""

import sys

from review.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
