"""`python -m roomtasks` is `roomtasks`."""

import sys

from roomtasks.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
