"""The one value for "the keeper must settle this".

A fault in the room, in a file or in what was asked is a `Problem`, returned as
a value; a fault of the programmer is an exception. Every problem says what
happened, to what, and what to do next.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault: where it is, what was found, what would do.

    `rule` names the rule of the room that refuses (a short stable word such as
    "days-apart"), empty where the fault is plain bad input. `named` is what a
    person reads in place of `where`, where that is a code.
    """

    where: str
    what: str
    remedy: str
    rule: str = ""
    named: str = ""

    def sentence(self) -> str:
        """One line for a person."""
        tail = f"; {self.remedy}" if self.remedy else ""
        where = self.named or self.where
        return f"{where}: {self.what}{tail}" if where else f"{self.what}{tail}"
