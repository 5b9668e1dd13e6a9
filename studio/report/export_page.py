"""HTML from the templates: always escaped, no script, nothing loaded from anywhere. jinja2 is loaded when used."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from jinja2 import Environment

Paper = Literal["A4", "Letter"]


def fill(template: str, **values: Any) -> str:
    """The template of that name with these values; every value is escaped, a missing one is an error."""
    return str(_environment().get_template(template).render(**values))


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    folder = files("studio.report") / "templates"
    return Environment(
        loader=FunctionLoader(lambda name: (folder / name).read_text(encoding="utf-8")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
