"""One command run: words in, one answer out, and an exit status.

What a command does lives in its own module; nothing that draws a screen is
loaded here. Statuses are named in `main`.
"""

import json
import os
import sys

from roomtasks.cli.asked import Answer, Asked, Document, problem_document
from roomtasks.cli.page import clean, page_for_output
from roomtasks.cli.parser import command_named, parsed
from roomtasks.cli.words import BadWords
from roomtasks.room.problem import Problem
from roomtasks.store.fault import StoreFault

DONE, NO, BAD_INPUT, NO_STORE = 0, 1, 2, 3


def run(words: list[str]) -> int:
    """Run one command and say what there is to say."""
    _never_choke_on_a_sign()
    as_json = "--json" in words
    try:
        asked = Asked(parsed(words))
        answer = _answer(asked)
    except BadWords as bad:
        problem = Problem("", bad.sentence, "")
        return _refused(problem, as_json, BAD_INPUT, bad.program)
    except StoreFault as fault:
        document = problem_document(Problem(fault.path, fault.what, fault.remedy))
        document["problem"]["store_fault"] = fault.sort
        _say(f"{fault.path}: {fault.what}; {fault.remedy}")
        return _print_json(document, NO_STORE) if as_json else NO_STORE
    if isinstance(answer, int):
        return answer
    for remark in asked.remarks:
        _say(remark)
    if isinstance(answer, Problem):
        return _refused(answer, as_json, NO if answer.rule else BAD_INPUT)
    for line in answer.faults:
        _say(line, "")
    for remark in answer.remarks:
        _say(remark)
    if as_json:
        return _print_json(answer.document, answer.status)
    page = page_for_output()
    answer.text(page)
    return _print(page.text(), answer.status)


def _answer(asked: Asked) -> Answer | Problem | int:
    args = asked.args
    if args.at is not None and args.on is not None:
        return Problem("--at and --on", "both say when now is", "give one of them")
    if args.demo and args.room is not None:
        return Problem("--demo and --room", "both name a room", "give one of them")
    command = command_named(args.command or "open")
    asked.demo_writes = command.writes
    return command.run(asked)


def _refused(problem: Problem, as_json: bool, status: int, program: str = "roomtasks") -> int:
    rule = f" [{problem.rule}]" if problem.rule else ""
    _say(problem.sentence() + rule, program)
    return _print_json(problem_document(problem), status) if as_json else status


def _say(sentence: str, program: str = "roomtasks") -> None:
    """A remark or a refusal, one line on standard error."""
    if sys.stderr is None:
        return
    try:
        lead = f"{program}: " if program else ""
        print(clean(lead + sentence), file=sys.stderr, flush=True)
    except OSError:
        _close_to_nothing(2)


def _print_json(document: Document, status: int) -> int:
    return _print(json_text(document), status)


def json_text(document: Document) -> str:
    """The document with a line for each key, and for each item of a list."""
    lines = [f"{_dumped(key)}: {_laid_out(value)}" for key, value in document.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _laid_out(value: object) -> str:
    if not isinstance(value, list) or not value:
        return _dumped(value)
    return "[\n  " + ",\n  ".join(_dumped(item) for item in value) + "\n]"


def _dumped(value: object) -> str:
    """ASCII, so that no terminal and no encoding can stumble on a name."""
    return json.dumps(value, ensure_ascii=True, allow_nan=False)


def _print(text: str, status: int) -> int:
    """Write all there is to say. A reader that went away is no fault of the command."""
    if sys.stdout is None:
        return status
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        _close_to_nothing(1)
    except OSError as error:
        _close_to_nothing(1)
        _say(f"what there is to say could not be written ({error.strerror})")
        return status or BAD_INPUT
    return status


def _close_to_nothing(number: int) -> None:
    """Point a broken stream at nothing, so that the end of the program does not stumble on it."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, number)
    os.close(nothing)


def _never_choke_on_a_sign() -> None:
    """A sign the terminal's encoding has not is shown as a question mark."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
