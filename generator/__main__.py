"""`python -m generator`: the same commands as `soleplate`."""

import sys

from generator.cli import main

if __name__ == "__main__":
    sys.exit(main())
