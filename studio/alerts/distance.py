"""Whether the dyer sits at this machine or reaches it from another one."""

from __future__ import annotations

from collections.abc import Mapping


def over_ssh(environment: Mapping[str, str]) -> bool:
    """Whether the session came in over ssh; a sound made here would then be heard by nobody.

    >>> over_ssh({"SSH_CONNECTION": "192.0.2.7 50000 192.0.2.1 22"}), over_ssh({"TERM": "xterm"})
    (True, False)
    """
    return any(environment.get(name) for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY"))
