"""`python -m companion.cli`."""

import sys

from companion.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
