"""Data read into a shape, by one thread at a time. Serves every layer.

A shape is looked into when it is first read into: msgspec ends the whole program where two threads do so at once.
"""

from __future__ import annotations

from threading import Lock
from typing import Any, TypeVar

import msgspec

T = TypeVar("T")
_ONE_AT_A_TIME = Lock()


def shaped(data: Any, shape: type[T]) -> T:
    """Plain values as that shape; msgspec.ValidationError where they do not fit."""
    with _ONE_AT_A_TIME:
        return msgspec.convert(data, shape)


def shaped_json(text: bytes, shape: type[T]) -> T:
    """JSON as that shape; msgspec.DecodeError where it is none, its ValidationError where it does not fit."""
    with _ONE_AT_A_TIME:
        return msgspec.json.decode(text, type=shape)
