"""What the reference of the room folder says besides its tables of columns."""

from roomtasks.files.cells import LONGEST_JSON
from roomtasks.files.faults import MOST_SHOWN
from roomtasks.files.opening import MEGABYTE
from roomtasks.files.setup_file import MOST_BYTES as MOST_SETUP_BYTES
from roomtasks.files.sheet_file import LONG_SHEETS, MOST_BYTES, MOST_BYTES_LONG
from roomtasks.room.column import FIRST_YEAR, LARGEST_NUMBER, LAST_YEAR, LONGEST_TEXT
from roomtasks.room.job import RELATIONS
from roomtasks.room.rebase import Keeps
from roomtasks.room.trigger import STATES

START = """\
# A room as a folder

<!-- Made by the program (roomtasks.files.reference); a test compares the two. -->

A room is a folder of plain text: one file of settings and one table for each
sort of fact. `roomtasks import FOLDER` takes such a folder over, whole or not
at all; `roomtasks export FOLDER` writes one. What was exported and imported
again is the same room, and exporting it once more gives the same files, byte
for byte. The folder can be written by hand, kept in a drawer for years, looked
at in a spreadsheet, or compared line by line with last month's.

Only `room.toml` must be there. A file that is not there is a table without
rows.
"""

_LONG_MB = MOST_BYTES_LONG // MEGABYTE
_LONG = ", ".join(f"`{name}.csv`" for name in LONG_SHEETS[:-1]) + f" and `{LONG_SHEETS[-1]}.csv`"

WRITING = f"""\
## How files are written

**Tables** are CSV (RFC 4180). The first line names the columns, in any order;
columns that may be blank may be left out. The program writes commas, UTF-8 and
a line feed at the end of each line, all columns, and rows in the order of their
keys. It also reads semicolons or tabs between cells, a byte-order mark, any
sort of line end, blank lines, and blanks round cells. Every row has as many
cells as the first line.

**Text** that holds a comma, a quotation mark or a line break stands in
quotation marks, and a quotation mark inside them is doubled. A spreadsheet
takes a cell that begins with `=`, `+`, `-` or `@` for a sum. The program writes
such a text behind an apostrophe, and likewise one that begins or ends in
blanks, and takes the apostrophe off when reading: `'-2/+3` and `-2/+3` are the
same. An apostrophe before anything else is part of the text. A text has up to
{LONGEST_TEXT:,} characters, a row kept as JSON up to {LONGEST_JSON:,}; a NUL
character is refused.

**Codes** have 1 to 32 letters, digits, `-`, `_` or `.` and begin with a letter
or digit. Racks, systems, sources, reservoirs, tanks and filters share one set of codes,
in which `room` is taken: a code means one thing.

**Numbers** are digits with a point: `12.5`. Where cells are parted by
semicolons or tabs, `12,5` is read too. No exponents, no signs for thousands,
nothing above {LARGEST_NUMBER:,.0f}.

**Dates** are `2027-03-14`, **times of day** `07:30`, in the years {FIRST_YEAR} to
{LAST_YEAR}. **Date and time** is `2027-03-14T07:30+00:00`; without an offset it
is local to the room's zone. A local time that comes twice is the first of the
two, one that the clocks jump over counts with the offset before the jump (RFC
5545, 3.3.5). The program writes the offset.

**Numbers and codes of the journal's rows** may be left blank or left out where
the tables below say so. They are then given in the order of rows.

**Sizes.** A table may have {MOST_BYTES // MEGABYTE} MB and `room.toml`
{MOST_SETUP_BYTES // 1000} KB. Tables that grow with the years may have more, {_LONG_MB:,} MB:
{_LONG}.

**Faults** are told all at once, with file, line and column, up to
{MOST_SHOWN:,} of them and the number of the rest; then nothing is taken over.

**Writing over.** Without a yes no file of a room is written over. With it, only
files of a room are, and those of tables without rows are taken away; every
other file is left alone, and no link is followed.
"""

LINES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("places", "`where` of a job", ()),
    ("rules", "`rule` of a job", ()),
    ("ways", "How an interval counts on, as in `every 14 days keeps-slot`", tuple(Keeps)),
    ("states", "States of a `state` rule, as in `state restocked +0..+6 after 7 days`", STATES),
    ("windows", "`window` of a job: days early and late", ("-2/+3", "2/3")),
    ("effects", "`effects` of a job, with `;` between", (
        "pump on", "pump off", "event NAME", "pump off; event NAME",
    )),
    ("parties", "`first` and `second` of a pair", (
        "kind filter", "job sponge-1", "event dose (first only, with apart or not-same-day)",
    )),
    ("relations", "`relation` of a pair", RELATIONS),
    ("holds", "`kinds` of a hold", ("all", "filter vac", "job sponge-1")),
)  # fmt: skip

CHECKED = """\
## What is looked at between rows

- There is one setup, and its zone is known.
- A key stands once. A code means one thing in the whole room.
- Racks, shelves, tanks, systems, reservoirs, jobs and people that are named are there. Who stands
  in is one of the people, unless the room lists no people.
- A tank stands on a shelf of its rack, at a place that the shelf has, alone.
- Water stands no higher than the glass; sand, rock and gear leave some water; a measured volume is
  no more than the glass holds.
- A reservoir holds no more than it can; dead volume and keep-back leave something of it.
- A group has no more males and females than fish. A stay ends no earlier than it began, a hold
  likewise. Days away run forward and do not overlap. A counter never goes down.
- Rules, places, windows, effects and pairs can be read, and recurrence rules fall on some day.
  Days early and late reach no neighbouring slot. No jobs wait for one another in a ring.
- A mark done `partly` says how much (`fraction`), one `put-off` to which day (`until`), one
  `left-out` or `blocked` why (`reason`).
- Marks, events and readings are about something in the room; an act they name is in the journal, if
  `acts.csv` is there. They may name what is no more only where the journal's changes show that it
  was taken away. A job with marks that should rest is kept, with `active` = no.
- An act takes back one earlier act, and none is taken back twice. A change belongs to an act and
  holds rows of a sheet as JSON.
- Rows need not be in order of time: a mark may be entered days later.
"""
