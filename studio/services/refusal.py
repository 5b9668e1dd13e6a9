"""A refusal as a screen says it: a plan's by its fields, any other as it is."""

from __future__ import annotations

from studio.plan.draft.edits import plan_sentence
from studio.plan.errors import PlanError


def refusal_text(problem: Exception) -> str:
    """The sentence, without the keys of the plan file."""
    cause = problem if isinstance(problem, PlanError) else problem.__cause__
    return plan_sentence(cause) if isinstance(cause, PlanError) else str(problem)
