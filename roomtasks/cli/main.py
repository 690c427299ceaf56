"""The command line's own door: exit statuses, and Ctrl-C without a traceback.

0 done; 1 the room says no, with the rule named; 2 bad words or bad input; 3
the store could not be used; 130 ended by Ctrl-C. Everything else is loaded
inside, so that Ctrl-C while loading ends the same way.
"""

import sys
from collections.abc import Sequence

BAD_INPUT, BROKEN_OFF = 2, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command. Gives the exit status; never a traceback for what was typed."""
    try:
        from roomtasks.cli.running import run

        return run(list(sys.argv[1:] if argv is None else argv))
    except KeyboardInterrupt:
        if sys.stderr is not None:
            sys.stderr.write("roomtasks: ended by Ctrl-C; what was acknowledged is kept\n")
        return BROKEN_OFF
    except SystemExit as leave:  # help and version end this way
        return leave.code if isinstance(leave.code, int) else BAD_INPUT
