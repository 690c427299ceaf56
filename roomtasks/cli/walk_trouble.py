"""The part of a walk that a trouble asks for: its steps of today, and what it changes."""

from collections.abc import Sequence

from roomtasks.cli.asked import Document, Scene
from roomtasks.cli.page import Page
from roomtasks.cli.trouble import SIGNS, plan_document, step_document
from roomtasks.room.problem import Problem
from roomtasks.room.trouble import TroublePlan
from roomtasks.room.trouble_steps import step_words
from roomtasks.work.trouble_view import troubles_view


def troubles_of(scene: Scene) -> tuple[TroublePlan, ...]:
    """The troubles that say something today."""
    found = troubles_view(scene.store, scene.now)
    return () if isinstance(found, Problem) else found.plans


def trouble_documents(plans: Sequence[TroublePlan]) -> list[Document]:
    """Troubles for the walk's document, each with its steps of today only."""
    return [
        {**plan_document(plan), "steps": [step_document(step) for step in plan.today]}
        for plan in plans
    ]


def write_troubles(page: Page, plans: Sequence[TroublePlan]) -> None:
    """What is to be done now for each trouble; 'trouble' says the rest."""
    told = [plan for plan in plans if plan.open or plan.today]
    if not told:
        return
    page.head("Troubles ('roomtasks trouble' says how and what to mind)")
    for plan in told:
        words = plan.words[0].upper() + plan.words[1:]
        page.line(words, hang=4, style="late" if plan.open else "")
        for step in plan.today:
            page.line(f"{SIGNS[step.state]} {step_words(step)}", indent=2, hang=4)
